"""A run that closes a ring is worked and signed off like any other: page, card, tests, registers, steps."""

from __future__ import annotations

import html
from functools import cache

import pytest

from samples import REPOSITORY
from slackloop.handbook.book import Book
from slackloop.handbook.cards import Card, CardMaker
from slackloop.handbook.content_check import work_with_content
from slackloop.handbook.loop_text import passes
from slackloop.handbook.ring_runs import ring_run_card, ring_runs
from slackloop.publish.handbook_folder import book_of
from slackloop.publish.schedules import Schedules

RUN = "B012-B001"


@cache
def book() -> Book:
    return book_of(work_with_content(REPOSITORY / "tests" / "witness" / "jobs" / "ring.yml"))


@cache
def card() -> Card:
    (ring,) = ring_runs(book().context)
    return ring_run_card(ring, CardMaker(book().context))


def words_of(uri: str) -> str:
    return html.unescape(next(page for page in book().pages if page.uri == uri).markdown)


def test_the_card_has_limits_tests_hold_and_the_open_end() -> None:
    checks = {check.id for check in (*card().measured, *card().stops, *card().on_run)}
    assert {"C-TEST-1", "C-TEST-2", "C-TEST-4", "C-LAY-1", "C-LAY-4", "C-FILL-6"} <= checks
    assert {check.id for check in card().stops} == {"C-TEST-4"}
    (loop,) = card().loops
    assert loop.checks == "C-TEST-3"
    reading = book().analysis.loops.closures[0]
    assert [row[0] for row in loop.rows] == [passes(limit) for limit in reading.limits]
    assert "B001" in card().note
    assert "open" in card().note


def test_its_page_has_the_checks_of_its_card() -> None:
    words = words_of("boxes/b012-b001.md")
    for check in (*card().measured, *card().stops, *card().on_run):
        assert check.id in words, check.id
    assert "C-TEST-3" in words
    assert all(row[0] in words for row in card().loops[0].rows)


def test_registers_and_lists_lead_to_it() -> None:
    for table in ("inspection-and-test-plan", "requirements", "loop-readings"):
        shown = " ".join(cell for row in book().tables[table].rows for cell in row)
        assert "boxes/b012-b001.md" in shown, table
    assert "boxes/b012-b001.md" in words_of("boxes-by-arm/all.md")


def test_cards_give_the_ring_open_and_closed() -> None:
    cards = {each.box_id: each for each in CardMaker(book().context).cards()}
    opened, closed = cards["B012"].loops
    assert (opened.title, closed.title) == ("Ring open", "Ring closed")
    assert (opened.checks, closed.checks) == ("C-TEST-3", "C-POWER-7")
    assert opened.rows[0] != closed.rows[0]
    assert cards["B005"].loops[1].checks == "", "the closed ring is read at the end box alone"


def test_the_steps_say_which_reading_is_for_which_state() -> None:
    tests, energising = words_of("method/tests-before-backfill.md"), words_of("method/energising.md")
    assert "Keep the ring open at the far end of the ring run, and use the limits for the ring open." in tests
    closing = energising.index("compare it with the limits for the ring closed")
    assert energising.index("Short the open end of each ring run") < closing


def test_the_schedule_of_readings_has_both_states_and_the_ring_run() -> None:
    readings = next(each for each in Schedules(book()).all() if each.name == "loop-readings")
    places = [(row[0], row[1]) for row in readings.rows]
    assert places.count(("B005", "open")) == places.count(("B005", "closed")) == 1
    assert (RUN, "open") in places
    least, most = readings.rows[0][3], readings.rows[0][4]
    limit = book().analysis.loops.opened[0].limits[0]
    assert limit.low_ohms <= float(str(least)) < limit.low_ohms + 0.01
    assert limit.high_ohms - 0.01 < float(str(most)) <= limit.high_ohms


@pytest.mark.parametrize("table", ["runs", "reels"])
def test_tables_name_its_ends(table: str) -> None:
    rows = [" ".join(row) for row in book().tables[table].rows]
    assert any("B012" in row and "B001" in row for row in rows)
