"""Pages with results on a phone: a box stays within five screens, and no new page goes sideways."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from browser.kinds import SIZES, Choice, boxes_of, likeliest_boxes
from browser.test_phone_budgets import INNER, SIZE, check_box
from records.recorded_book import BAD, LEFT_OUT, recorded_demonstration
from shared import short
from slackloop.document.book import PRINTED, Book
from slackloop.render.html.site import build_site
from slackloop.render.workbook.workbook import table_files

if TYPE_CHECKING:
    from browser.conftest import Screens

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> tuple[Book, Path]:
    """The website of the demonstration with its results."""
    book, folder = recorded_demonstration(), tmp_path_factory.mktemp("recorded") / "site"
    build_site(book, folder, files={**table_files(book), **dict.fromkeys(PRINTED, b"")})
    return book, folder


@pytest.mark.parametrize("chosen", short([likeliest_boxes, boxes_of], likeliest_boxes))
def test_boxes_with_their_results_are_within_five_screens(
    chosen: Choice, recorded: tuple[Book, Path], screens: Screens
) -> None:
    """The likeliest boxes in every run of the tests, all of them in ``make proofs``."""
    book, site = recorded
    with screens.open("phone") as screen:
        for each in chosen(book):
            check_box(screen.page, site, each)


def test_the_new_pages_fit_a_phone_and_ask_for_nothing(recorded: tuple[Book, Path], screens: Screens) -> None:
    book, site = recorded
    width, _ = SIZES["phone"]
    with screens.open("phone") as screen:
        for each in (*book.handover.pages, book.pages[0]):
            screen.page.goto((site / f"{each.id}.html").as_uri())
            assert screen.page.evaluate(SIZE)[1] <= width, each.id
        assert screen.asked_outside == []
        assert screen.complaints == []


def test_progress_is_read_on_a_phone_without_going_sideways(recorded: tuple[Book, Path], screens: Screens) -> None:
    """Nothing rolls inside the page either, and each value has the head of its column before it."""
    _, site = recorded
    with screens.open("phone", own=True) as screen:
        page = screen.page
        page.goto((site / "inspection" / "progress.html").as_uri())
        assert page.locator(".table-frame.stacks").count() >= 3
        assert page.evaluate(INNER) == []
        assert page.evaluate(SIZE)[1] <= SIZES["phone"][0]
        cell = page.locator("#by-branch ~ .table-frame td").first
        assert cell.is_visible()
        head = cell.evaluate("e => getComputedStyle(e, '::before').content")
        assert head.startswith('"Boxes')
        page.set_viewport_size({"width": 1280, "height": 900})
        assert page.locator("#by-branch ~ .table-frame thead").first.is_visible()


def test_results_are_reached_from_the_start_and_lead_to_the_box(recorded: tuple[Book, Path], screens: Screens) -> None:
    _, site = recorded
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((site / "index.html").as_uri())
        page.get_by_role("link", name="2", exact=True).last.click()
        assert page.locator("h1").inner_text() == "Progress"
        assert page.locator("#no-record + p a").inner_text() == LEFT_OUT
        page.locator("#not-good ~ * a", has_text=BAD).first.click()
        assert BAD in page.locator("h1").inner_text()
        assert "Fail: Loop, shorted here: 99.9 Ω" in page.locator(".box.danger").inner_text()
