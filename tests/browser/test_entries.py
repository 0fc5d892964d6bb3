"""What is typed on the page of a box is there after a reload; where nothing can be kept, the page says so."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
FIELDS = ".form input[name], .form textarea[name]"
VALUES = f"[...document.querySelectorAll('{FIELDS}')].map(e => e.type === 'checkbox' ? e.checked : e.value)"
BLOCKED = "void (Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') })"


def fill(page: Page) -> int:
    """Write into every field; how many there are."""
    fields = page.locator(FIELDS).all()
    for number, field in enumerate(fields):
        if field.get_attribute("type") == "checkbox":
            field.check()
        else:
            field.fill(f"{number},5 <b>&\"' Ω")
    return len(fields)


def test_every_field_is_there_after_a_reload_and_only_on_its_own_box(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        assert fill(page) > 10
        written = page.evaluate(VALUES)
        page.reload()
        assert page.evaluate(VALUES) == written
        assert "kept on this device only" in page.locator("p.kept").inner_text()
        page.goto((demo / "boxes" / "b03.html").as_uri())
        assert not any(page.evaluate(VALUES))
        assert screen.complaints == []


def test_two_open_pages_of_a_box_do_not_undo_each_other(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        one, two = screen.page, screen.page.context.new_page()
        for page in (one, two):
            page.goto((demo / "boxes" / "b02.html").as_uri())
        one.locator(FIELDS).nth(0).fill("455")
        two.locator(FIELDS).nth(1).fill("210")
        one.reload()
        assert one.evaluate(VALUES)[:2] == ["455", "210"]


def test_a_device_that_keeps_nothing_says_so(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.add_init_script(BLOCKED)
        page.goto((demo / "boxes" / "b02.html").as_uri())
        assert "cannot keep" in page.locator("p.kept").inner_text()


def test_a_store_that_fills_up_while_writing_is_told_at_once(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        page.evaluate(BLOCKED)
        page.locator(FIELDS).first.fill("455")
        assert "cannot keep" in page.locator("p.kept").inner_text()


def test_without_scripts_the_page_says_that_nothing_is_kept(demo: Path, screens: Screens) -> None:
    with screens.open("phone", scripts=False) as screen:
        screen.page.goto((demo / "boxes" / "b02.html").as_uri())
        assert "lost when it closes" in screen.page.locator("p.kept").inner_text()


def test_entries_that_cannot_be_read_are_put_aside_and_not_thrown_away(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        page.locator(FIELDS).first.fill("455")
        key = page.evaluate("Object.keys(localStorage).find(name => name.endsWith('box B02'))")
        page.evaluate("key => localStorage.setItem(key, '{broken')", key)
        page.reload()
        page.locator(FIELDS).first.fill("460")
        assert page.evaluate("key => localStorage.getItem(key + ' put aside')", key) == "{broken"
