"""A box is found by typing: in the search of the theme, and in the field that needs no search."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from browser.kinds import PAGES
from render.site_samples import sample_book
from shared import short, short_pairs
from slackloop.document.blocks import Paragraph
from slackloop.document.boxes.stages import box_page_id
from slackloop.document.inline import line
from slackloop.document.page import Page as BookPage
from slackloop.render.html.site import build_site

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
HOSTILE = ("</script><script>window.hit = 1</script>", '"><img src=x onerror="window.hit=1">', "B’1 {{ v }} & \u2028x")


def type_id(page: Page, text: str) -> None:
    """Put ``text`` into the field with real keys."""
    page.locator("#box-field").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type(text)


@pytest.mark.parametrize("size", short(["phone", "desk"], "phone"))
def test_the_search_finds_codes_work_before_codes_and_a_box_that_enter_opens(
    size: str, demo: Path, screens: Screens
) -> None:
    """Many codes have a word of the work in their names, which weighs most elsewhere."""
    with screens.open(size) as screen:
        page = screen.page
        page.goto((demo / PAGES["section"]).as_uri())
        found = page.locator(".md-search-result__list")
        page.keyboard.press("/")
        page.keyboard.type("volts-low")
        one = found.locator(f'a[href*="{PAGES["codes"]}"][href$="volts-low"]').first
        one.wait_for(state="attached", timeout=60_000)
        for typed in ("splice", "reel"):
            page.keyboard.press("Control+A")
            page.keyboard.type(typed)
            found.locator(f'a[href*="h={typed}"]').first.wait_for(timeout=60_000)
            assert re.search("/(method|tables|sheets)/", found.locator("a").first.get_attribute("href") or "")
        page.keyboard.press("Control+A")
        page.keyboard.type("B13")
        found.locator('a[href*="boxes/b13.html"]').first.wait_for(timeout=60_000)
        page.keyboard.press("Enter")
        page.wait_for_url("**/boxes/b13.html**", timeout=60_000)
        assert page.locator("h1").inner_text().startswith("Box B13")
        assert screen.complaints == []
        assert screen.asked_outside == []


STARTS, TYPED = (PAGES["start"], "boxes/b02.html", PAGES["all boxes"]), ("B13", "b13", " b13 ")
OPENED = short_pairs(product(STARTS, TYPED), (STARTS[0], " b13 "), (STARTS[1], "b13"))


@pytest.mark.parametrize(("start", "typed"), OPENED)
def test_the_field_opens_a_box_at_enter(start: str, typed: str, demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        screen.page.goto((demo / start).as_uri())
        type_id(screen.page, typed)
        screen.page.keyboard.press("Enter")
        screen.page.wait_for_url("**/boxes/b13.html", timeout=60_000)
        assert screen.complaints == []
        assert screen.asked_outside == []


def test_the_field_shows_which_boxes_begin_so(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "index.html").as_uri())
        type_id(page, "b3")
        assert page.locator("#box-said").inner_text() == "10 boxes begin so. The first 8:"
        assert page.locator(".box-found a").all_inner_texts() == [f"B3{number}" for number in range(8)]
        page.keyboard.press("Enter")
        page.keyboard.press("Tab")
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        page.wait_for_url("**/boxes/b30.html", timeout=60_000)


def test_the_field_says_plainly_that_there_is_no_such_box(demo: Path, screens: Screens) -> None:
    with screens.open() as screen:
        page = screen.page
        page.goto((demo / "index.html").as_uri())
        type_id(page, "B99")
        page.keyboard.press("Enter")
        assert page.locator("#box-said").inner_text() == "No box is called “B99”, and none begins so."
        assert page.locator(".box-found a").count() == 0
        assert page.url.endswith("/index.html")
        page.keyboard.press("Control+A")
        page.keyboard.press("Delete")
        page.keyboard.press("Enter")
        assert page.locator("#box-said").inner_text() == "Type the number of a box."


def test_without_scripts_the_lists_remain_and_the_field_is_hidden(demo: Path, screens: Screens) -> None:
    with screens.open(scripts=False) as screen:
        screen.page.goto((demo / PAGES["all boxes"]).as_uri())
        assert not screen.page.locator(".box-finder").is_visible()
        assert screen.page.locator(".chips a").count() == 40


@pytest.fixture(scope="module")
def hostile_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile") / "site"
    book = sample_book(1)
    boxes = [
        BookPage(
            box_page_id(name), f"Box {name}", (Paragraph(line(name)),), "box", "method", ("Boxes", "Arm 1"), box=name
        )
        for name in (*HOSTILE, "Pump A", "PUMP A", "Pump B")
    ]
    build_site(replace(book, pages=(*book.pages, *boxes)), folder)
    return folder


def test_an_id_is_text_and_nothing_else(hostile_site: Path, screens: Screens) -> None:
    with screens.open() as screen:
        page = screen.page
        for name in HOSTILE:
            page.goto((hostile_site / "index.html").as_uri())
            page.locator("#box-field").fill(name[:4])
            assert name in page.locator(".box-found a").all_text_contents()
            page.keyboard.press("Enter")
            page.wait_for_url(f"**/{box_page_id(name)}.html", timeout=60_000)
            assert page.evaluate("window.hit") is None
        assert screen.complaints == []
        assert screen.asked_outside == []


def test_two_ids_that_differ_in_letter_size_are_told_apart(hostile_site: Path, screens: Screens) -> None:
    with screens.open() as screen:
        page = screen.page
        page.goto((hostile_site / "index.html").as_uri())
        type_id(page, "pump a")
        page.keyboard.press("Enter")
        assert page.locator(".box-found a").all_inner_texts() == ["Pump A", "PUMP A"]
        assert page.url.endswith("/index.html")
        type_id(page, "PUMP A")
        page.keyboard.press("Enter")
        page.wait_for_url(f"**/{box_page_id('PUMP A')}.html", timeout=60_000)
