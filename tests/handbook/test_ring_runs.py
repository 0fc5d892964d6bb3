"""A run that closes a ring is worked and signed off like any other: page, card, tests, registers, steps."""

from __future__ import annotations

from functools import cache

from book_samples import RING, page_of, page_words, rows_of, standing
from slackloop.document.blocks import Form
from slackloop.document.book import Book
from slackloop.document.boxes.box_values import passes
from slackloop.document.boxes.card import Card, CardMaker
from slackloop.document.inline import PageTarget
from slackloop.document.walk import targets

RUN = "B012-B001"


@cache
def book() -> Book:
    return standing(RING)


@cache
def cards() -> dict[str, Card]:
    return {card.id: card for card in CardMaker(book().context).cards()}


def checks_of(card: Card) -> set[str]:
    """Every check that the card asks for."""
    found = {name for stage in card.stages for entry in stage.entries for name in entry.ids}
    return found | {said.id for stage in card.stages for said in (*stage.ticks, *stage.seen, *stage.holds)}


def test_the_card_has_limits_tests_hold_and_the_open_end() -> None:
    card = cards()[RUN]
    assert {"C-TEST-1", "C-TEST-2", "C-TEST-3", "C-TEST-4", "C-LAY-4", "C-FILL-6"} <= checks_of(card)
    assert "C-TEST-4" in {hold.id for stage in card.stages for hold in stage.holds}
    (test,) = [stage for stage in card.stages if stage.id == "test"]
    limits = book().analysis.loops.closures[0].limits
    assert (test.bands[0].passes, test.bands[-1].passes) == (passes(limits[0]), passes(limits[-1]))
    assert any("B001" in each.text and "open" in each.text for each in card.watch)


def test_its_page_asks_for_what_its_card_asks() -> None:
    page = page_of(book(), "boxes/b012-b001")
    asked = {field.id for block in page.blocks if isinstance(block, Form) for field in block.fields}
    asked |= {code for block in page.blocks if isinstance(block, Form) for code in block.codes}
    written_together = {"C-CROSS-1"}
    assert checks_of(cards()[RUN]) - written_together <= asked
    for stage in cards()[RUN].stages:
        assert all(band.passes in page_words(book(), page.id) for band in stage.bands)


def test_the_list_of_boxes_leads_to_it() -> None:
    assert PageTarget("boxes/b012-b001") in set(targets(page_of(book(), "boxes/all").blocks))


def test_cards_give_the_ring_open_and_closed() -> None:
    """Open while the path is laid; closed at the end box alone, once it is joined."""
    bands = {stage.id: stage.bands for stage in cards()["B012"].stages if stage.bands}
    loops = book().analysis.loops
    end = book().analysis.network.index["B012"]
    assert bands["test"][0].passes == passes(loops.opened[end].limits[0])
    assert bands["close"][0].passes == passes(loops.closed[end].limits[0])
    assert "C-POWER-7" in checks_of(cards()["B012"])
    assert "C-POWER-7" not in checks_of(cards()["B005"])


def test_the_steps_say_which_reading_is_for_which_state() -> None:
    tests, energising = (page_words(book(), f"method/{name}") for name in ("tests-before-backfill", "energising"))
    assert "Keep the ring open at the far end of the ring run. Use the limits for the ring open." in tests
    closing = energising.index("Compare the reading with the limits for the ring closed")
    assert energising.index("Short the open end of each ring run") < closing


def test_the_table_of_reels_names_its_ends() -> None:
    assert any("B012" in " ".join(row) and "B001" in " ".join(row) for row in rows_of(book().tables["reels"]))
