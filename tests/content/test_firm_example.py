"""The worked example of a firm's own content: one section replaced, one added, a tool named, and all of it marked."""

from __future__ import annotations

import html
from functools import cache

import pytest

from samples import REPOSITORY
from slackloop.cli import main
from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.book import Book
from slackloop.handbook.content_check import work_with_content
from slackloop.handbook.page import Page
from slackloop.handbook.standard_work import standard_book_of, work_standard

JOB = REPOSITORY / "site_data" / "examples" / "firm" / "job.yml"
MARK = "The firm's own section"


@cache
def book() -> Book:
    """The book of the example."""
    return book_from_job(JOB)


def page(uri: str) -> Page:
    """One page of it."""
    return next(each for each in book().pages if each.uri == uri)


def text(uri: str) -> str:
    """A page's Markdown with its marks as typed."""
    return html.unescape(page(uri).markdown)


def test_the_example_has_no_findings() -> None:
    """What is left are questions that the code basis puts to others; the example itself is sound."""
    found = {finding.code for finding in work_with_content(JOB).findings}
    assert found == {"power-class-wet", "power-class-waveform", "surge-part-missing"}


def test_a_section_is_replaced_by_its_name() -> None:
    assert "Pair up before you leave the yard" in text("safety/lone-work.md")
    assert "Try the phone at the far boxes" not in text("safety/lone-work.md")
    assert "takes the place of the standing section" in text("safety/lone-work.md")


def test_a_section_is_added_in_its_order() -> None:
    method = [each.uri for each in book().pages if each.uri.startswith("method/")]
    assert method[:2] == ["method/morning-talk.md", "method/before-digging.md"]
    assert "This section is added" in text("method/morning-talk.md")
    assert "Water stands high in the ground here." in text("method/morning-talk.md")


def test_only_the_firms_own_pages_are_marked() -> None:
    marked = {each.uri for each in book().pages if MARK in html.unescape(each.markdown) and each.kind != "document"}
    assert marked == {"safety/lone-work.md", "method/morning-talk.md"}


def test_document_control_lists_them() -> None:
    control = text("issue/document.md")
    assert "[Morning talk](../method/morning-talk.md) | Is added" in control
    assert "[Lone work](../safety/lone-work.md) | Takes the place of the standing section" in control


def test_what_the_firm_asks_stands_in_lists_and_registers() -> None:
    assert "Tally board" in text("tables/tools.md")
    assert any("R-TALK-1" in html.unescape(row[0]) for row in book().tables["requirements"].rows)
    assert any("C-TALK-1" in html.unescape(row[0]) for row in book().tables["inspection-and-test-plan"].rows)
    rows = book().tables["departures"].rows
    assert [row[0] for row in rows] == ["rules.cover"]
    assert "aerates" in rows[0][3]


def test_the_firms_standard_has_its_own_content_too() -> None:
    worked = work_standard(JOB.with_name("standard.yml"))
    assert worked.findings == ()
    pages = {each.uri: html.unescape(each.markdown) for each in standard_book_of(worked).pages}
    assert "On [the job's site] nobody works alone" in pages["safety/lone-work.md"]
    assert "Morning talk" in pages["issue/document.md"]
    assert "Only where groundwater stands high." in pages["method/morning-talk.md"]


@pytest.mark.slow
def test_the_example_builds(tmp_path_factory: pytest.TempPathFactory) -> None:
    out = tmp_path_factory.mktemp("firm") / "out"
    assert main(["build", str(JOB), "-o", str(out), "--strict"]) == 0
    assert MARK in html.unescape((out / "method" / "morning-talk.html").read_text(encoding="utf-8"))
    assert (out / "handbook.pdf").read_bytes().startswith(b"%PDF")
