"""The worked example of a firm's own content: one section replaced, one added, a tool named, and all of it marked."""

from __future__ import annotations

import html
import re
from functools import cache

import pytest

from book_samples import book_of, html_of, page_of, page_words, pages_of, rows_of
from samples import REPOSITORY
from slackloop.cli import main
from slackloop.document.blocks import Note, TableBlock
from slackloop.document.book import Book
from slackloop.document.inline import PageTarget, links_in
from slackloop.document.standard_book import standard_book_of, work_standard
from slackloop.document.worked import work_with_content

JOB = REPOSITORY / "site_data" / "examples" / "firm" / "job.yml"
MARK = "The firm's own section"


@cache
def book() -> Book:
    """The book of the example."""
    return book_of(JOB)


def text(id: str) -> str:
    """What one page of it says."""
    return page_words(book(), id)


def test_the_example_has_no_findings() -> None:
    """What is left are questions to others, and a note on sheets that it has not read; the example itself is sound."""
    found = {finding.code for finding in work_with_content(JOB).findings}
    assert found == {"power-class-wet", "power-class-waveform", "surge-part-missing", "limits-unstated"}


def test_a_section_is_replaced_by_its_name() -> None:
    assert "Find a partner before you leave the yard" in text("safety/lone-work")
    assert "Try the phone at the far boxes" not in text("safety/lone-work")
    assert "replaces the standing section" in text("safety/lone-work")


def test_a_section_is_added_in_its_order() -> None:
    method = [each.id for each in book().pages if each.id.startswith("method/") and each.kind == "section"]
    assert method[:2] == ["method/morning-talk", "method/before-digging"]
    assert "This section is added" in text("method/morning-talk")
    assert "The groundwater is high here." in text("method/morning-talk")


def test_only_the_firms_own_pages_are_marked() -> None:
    notes = [(each.id, block) for each in book().pages for block in each.blocks if isinstance(block, Note)]
    marked = {id for id, note in notes if note.kind == "own" and note.title == MARK}
    assert marked == {"safety/lone-work", "method/morning-talk"}
    assert MARK in html.unescape(html_of(book(), "method/morning-talk"))


def test_document_control_lists_them() -> None:
    listed = [block.table for block in page_of(book(), "design/document").blocks if isinstance(block, TableBlock)]
    (own,) = [table for table in listed if table.id == "own-sections"]
    assert sorted(rows_of(own)) == [
        ("Lone work", "Replaces the standing section"), ("Morning talk", "Is added"),
    ]  # fmt: skip
    led = {link.target for row in own.rows for link in links_in(row[0].line)}
    assert led == {PageTarget("safety/lone-work"), PageTarget("method/morning-talk")}


def test_what_the_firm_asks_stands_in_lists_and_registers() -> None:
    assert re.search(r"Bring .*tally board", text("method/morning-talk"))
    matrix = text("tables/matrix")
    assert "R-TALK-1" in matrix
    assert "C-TALK-1" in matrix
    (departure,) = rows_of(book().tables["departures"])
    assert "cover" in departure[0].lower()
    assert "aerates" in departure[3]


def test_the_firms_standard_has_its_own_content_too() -> None:
    worked = work_standard(JOB.with_name("standard.yml"))
    assert worked.findings == ()
    pages = pages_of(standard_book_of(worked))
    assert "On [the job's site] nobody works alone" in pages["safety/lone-work"]
    assert "Morning talk" in pages["design/document"]
    assert "Only where groundwater is high." in pages["method/morning-talk"]


@pytest.mark.proof
def test_the_example_builds(tmp_path_factory: pytest.TempPathFactory) -> None:
    out = tmp_path_factory.mktemp("firm") / "out"
    assert main(["build", str(JOB), "-o", str(out), "--strict"]) == 0
    assert MARK in html.unescape((out / "method" / "morning-talk.html").read_text(encoding="utf-8"))
    assert (out / "handbook.pdf").read_bytes().startswith(b"%PDF")
