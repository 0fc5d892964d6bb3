"""A retrofit of which ten facts are known gives a draft that says what to find out next, what moves most first."""

from __future__ import annotations

from pathlib import Path

import pytest

from book_samples import book_of, html_of, rows_of
from slackloop.cli import main
from slackloop.document.book import Book
from slackloop.document.doubts import EFFECTS, doubts
from slackloop.document.worked import work

JOB = Path(__file__).parents[1] / "job" / "ten-facts.yml"


@pytest.fixture(scope="module")
def book() -> Book:
    return book_of(JOB)


def test_it_is_no_refusal(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(JOB)]) in (0, 1)


def test_every_page_and_table_is_there(book: Book) -> None:
    ids = {page.id for page in book.pages}
    assert {f"boxes/{name.lower()}" for name in ("E1", "E6", "N1", "N3")} <= {each.lower() for each in ids}
    assert {"materials", "runs", "boxes", "assumptions"} <= set(book.tables)


def test_what_rests_on_a_fact_that_nobody_knows_is_told_so_and_not_guessed(book: Book) -> None:
    worked = work(JOB)
    assert worked.analysis.supply.most_stations_at_once is None, "the least volts of the devices are not known"
    assert worked.analysis.volts.worst_volts[0] is not None, "volts rest on currents and wires alone"
    assert any("not known" in " ".join(row) for row in rows_of(book.tables["assumptions"]))


def test_what_to_find_out_next_comes_in_the_order_of_its_effect(book: Book) -> None:
    told, order = doubts(book.context), list(EFFECTS.values())
    places = [order.index(doubt.effect) for doubt in told if doubt.effect in order]
    assert places == sorted(places)
    assert len(places) > 15
    assert told[0].effect.moves.startswith("volts"), "what moves the volts comes first"
    assert len(rows_of(book.tables["assumptions"])) == len(told)
    assert sum(doubt.count for doubt in told) == len(work(JOB).reading.assumptions)
    assert {"not known", "30 V"} & {doubt.value for doubt in told} == {"not known"}, "what is known is not asked for"


def test_it_is_a_draft_and_says_so(book: Book) -> None:
    assert book.header.draft
    assert "draft" in html_of(book, "index").casefold()


@pytest.mark.proof
def test_it_builds_a_draft(tmp_path: Path) -> None:
    assert main(["build", str(JOB), "-o", str(tmp_path / "book")]) == 0
    assert "draft" in (tmp_path / "book" / "index.html").read_text(encoding="utf-8").casefold()
    assert (tmp_path / "book" / "handbook.pdf").read_bytes().startswith(b"%PDF")
