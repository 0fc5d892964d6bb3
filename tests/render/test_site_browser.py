"""The website in a browser, opened from a folder: search works, nothing is fetched, nothing goes wrong."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

import pytest

from render.site_samples import sample_book
from slackloop.render.html.site import build_site

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CHROMIUM = shutil.which("chromium")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="Debian's chromium is not installed on this machine"),
]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("site") / "website"
    build_site(sample_book(boxes=30), folder)
    return folder


class Watched:
    """A page with everything that it asked for and complained about."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.asked: list[str] = []
        self.complaints: list[str] = []
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("console", self._heard)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def _heard(self, message: object) -> None:
        if getattr(message, "type", "") in ("error", "warning"):
            self.complaints.append(str(getattr(message, "text", "")))


@pytest.fixture
def watched(browser: Browser) -> Iterator[Watched]:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield Watched(context.new_page())
    context.close()


def search(page: Page, word: str) -> str:
    """Type a word with real keys, open the first result, and give the title of the page that it leads to."""
    page.keyboard.press("/")
    page.keyboard.type(word, delay=20)
    first = page.locator(".md-search-result__link").first
    first.wait_for(timeout=60_000)
    first.click()
    page.wait_for_load_state()
    return page.locator("h1").inner_text()


def test_search_from_a_folder_finds_a_page_shows_titles_as_text_and_fetches_nothing(
    site: Path, watched: Watched
) -> None:
    watched.page.goto((site / "boxes" / "b03.html").as_uri())
    assert search(watched.page, "peculiarword17").startswith("B17")
    assert watched.page.locator("nav.md-nav--primary b").count() == 0
    assert [url for url in watched.asked if not url.startswith(("file:", "data:"))] == []
    assert watched.complaints == []


def test_search_from_a_host_reads_the_same_index(site: Path, watched: Watched) -> None:
    handler = partial(QuietHandler, directory=str(site))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        watched.page.goto(f"http://127.0.0.1:{server.server_address[1]}/index.html")
        assert search(watched.page, "peculiarword9").startswith("B09")
        server.shutdown()
    assert watched.complaints == []


class QuietHandler(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *arguments: object) -> None:
        """Say nothing."""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_reaches_seven_to_one_in_both_themes(site: Path, browser: Browser, scheme: str) -> None:
    """WCAG 2.2, success criterion 1.4.6: contrast of text at least 7:1, by its formula for relative luminance."""
    context = browser.new_context(color_scheme=scheme, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.goto((site / "method" / "opening-the-jacket.html").as_uri())
    page.wait_for_function("document.getAnimations().every(each => each.playState !== 'running')")
    low = page.evaluate(LOW_CONTRAST)
    context.close()
    assert low == []


def test_phone_page_does_not_scroll_sideways(site: Path, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    for name in ("index", "boxes/b03", "method/opening-the-jacket"):
        page.goto((site / f"{name}.html").as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, name
    context.close()


LOW_CONTRAST = """() => {
  const luminance = ([r, g, b]) => {
    const [R, G, B] = [r, g, b].map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * R + 0.7152 * G + 0.0722 * B;
  };
  const numbers = text => text.match(/[\\d.]+/g).map(Number);
  const ground = element => {
    for (let e = element; e; e = e.parentElement) {
      const c = numbers(getComputedStyle(e).backgroundColor);
      if (c.length < 4 || c[3] === 1) return c.slice(0, 3);
    }
    return [255, 255, 255];
  };
  const low = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const e = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim()) continue;
    if (!e.checkVisibility({opacityProperty: true, visibilityProperty: true})) continue;
    if (["SCRIPT", "STYLE"].includes(e.tagName) || e.classList.contains("headerlink")) continue;
    const style = getComputedStyle(e);
    const [a, b] = [luminance(numbers(style.color)), luminance(ground(e))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 7) low.push(`${walker.currentNode.data.trim().slice(0, 30)} ${ratio.toFixed(2)} ${style.color}`);
  }
  return low;
}"""
