"""The handbook without a mouse, and a page of the website sent to a printer."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from browser.kinds import PAGES
from pdf_text import texts_of
from shared import short

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser

GONE = (".md-header", ".md-sidebar", ".md-search", ".md-footer__inner", ".box-finder", ".thumb", ".plan-bar")

FOCUSED = """() => {
  const e = document.activeElement;
  const label = e.labels && e.labels[0];
  const palette = document.querySelector("label.md-header__button:not([hidden])[for^=__palette]");
  const shown = e.matches(".md-option") ? palette : e;
  const style = getComputedStyle(shown);
  const box = shown.getBoundingClientRect();
  return {
    what: e.matches(".md-skip") ? "skip" : e.matches(".md-option") ? "theme" : e.matches(".md-search__input") ? "search"
      : e.matches(".doors a") ? "door" : e.matches(".md-nav--primary a, .md-nav--primary label") ? "menu"
      : e.id === "box-field" ? "box" : e.matches("[for=__drawer]") ? "menu button" : e.tagName,
    seen: box.width > 0 && box.height > 0 && box.right > 0 && box.bottom > 0
      && (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 || e.matches(".md-search__input")),
    text: (label || e).textContent.trim().slice(0, 30),
  };
}"""


def tabbed(page: Page, presses: int) -> dict[str, bool]:
    """What Tab reaches from the top of the page, and whether its focus could be seen each time."""
    reached: dict[str, bool] = {}
    for _ in range(presses):
        page.keyboard.press("Tab")
        focus = page.evaluate(FOCUSED)
        reached[focus["what"]] = reached.get(focus["what"], True) and focus["seen"]
    return reached


def test_all_that_a_reader_works_with_is_reached_by_keys_and_seen(demo: Path, screens: Screens) -> None:
    with screens.open() as screen:
        screen.page.goto((demo / "index.html").as_uri())
        reached = tabbed(screen.page, 24)
        wanted = ("skip", "theme", "search", "menu", "box", "door")
        assert {what: reached.get(what) for what in wanted} == dict.fromkeys(wanted, True)


def test_the_skip_link_leads_to_the_words(demo: Path, screens: Screens) -> None:
    with screens.open() as screen:
        page = screen.page
        page.goto((demo / PAGES["section"]).as_uri())
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.matches('.md-skip')")
        page.keyboard.press("Enter")
        assert "#" in page.url
        page.keyboard.press("Tab")
        assert page.evaluate("!!document.activeElement.closest('article')")


def test_the_theme_is_switched_by_keys_and_kept(demo: Path, screens: Screens) -> None:
    with screens.open() as screen:
        page = screen.page
        page.goto((demo / "index.html").as_uri())
        for _ in range(6):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.matches('.md-option')"):
                break
        page.keyboard.press("Enter")
        page.wait_for_function("document.body.dataset.mdColorScheme === 'slate'", timeout=60_000)
        page.goto((demo / PAGES["box"]).as_uri())
        assert page.evaluate("document.body.dataset.mdColorScheme") == "slate"


def test_the_menu_of_a_narrow_screen_opens_and_shuts_by_keys(demo: Path, screens: Screens) -> None:
    with screens.open("zoomed") as screen:
        page = screen.page
        page.goto((demo / PAGES["section"]).as_uri())
        reached = tabbed(page, 3)
        assert reached.get("menu button"), reached
        page.locator("[for=__drawer][role=button]").focus()
        page.keyboard.press("Enter")
        assert page.evaluate("document.getElementById('__drawer').checked")
        assert page.evaluate("document.querySelector('[for=__drawer][role=button]').ariaExpanded") == "true"
        page.keyboard.press("Escape")
        assert not page.evaluate("document.getElementById('__drawer').checked")


@pytest.mark.parametrize("kind", short(["section", "box", "start"], "box"))
def test_on_paper_the_menus_are_gone_and_the_words_stay(kind: str, demo: Path, screens: Screens) -> None:
    with screens.open(own=True) as screen:
        page = screen.page
        page.goto((demo / PAGES[kind]).as_uri())
        page.emulate_media(media="print")
        for part in GONE:
            assert not any(one.is_visible() for one in page.locator(part).all()), part
        assert page.locator("article h1").is_visible()
        assert page.locator(".strip").is_visible(), "the revision must stand on paper"
        data = page.pdf(format="A4")
    text = "\n".join(texts_of(data))
    assert "HF-2031" in text
    assert "Switch to the dark theme" not in text


def test_dark_theme_prints_black_on_white(demo: Path, screens: Screens) -> None:
    with screens.open(scheme="dark", own=True) as screen:
        page = screen.page
        page.goto((demo / PAGES["section"]).as_uri())
        page.emulate_media(media="print", color_scheme="dark")
        assert page.evaluate("getComputedStyle(document.querySelector('article li')).color") == "rgb(0, 0, 0)"
        assert page.evaluate("getComputedStyle(document.querySelector('article h1')).color") == "rgb(0, 0, 0)"
