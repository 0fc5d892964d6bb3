"""Every kind of page is held against axe-core (WCAG 2.2, levels A and AA, and the 7:1 contrast of level AAA)."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from browser.kinds import PAGES, SIZES

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
RUN = """async only => (await axe.run(document, {
  resultTypes: ["violations"],
  preload: false,
  ...(only.length ? {runOnly: {type: "rule", values: only}} : {}),
  rules: {"color-contrast-enhanced": {enabled: true}},
})).violations"""
NEXT_PICTURE = "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
COLOURS = ["color-contrast", "color-contrast-enhanced"]
"""The rules whose answer depends on the theme."""


def violations(page: Page, *only: str) -> list[str]:
    """Serious and critical faults of the page as it stands, and text under 7:1; by the named rules only, if any."""
    found: list[dict[str, Any]] = page.evaluate(RUN, list(only))
    return [
        f"{fault['id']}: {node['html'][:200]}"
        for fault in found
        if fault["impact"] in ("serious", "critical")
        for node in fault["nodes"]
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("kind", PAGES)
def test_no_serious_fault_on_phone_or_desk(kind: str, scheme: str, demo: Path, screens: Screens) -> None:
    axe = pytest.importorskip("axe_playwright_python.base", reason="the package axe-playwright-python is missing")
    with screens.open("phone", scheme) as screen:
        page = screen.page
        page.goto((demo / PAGES[kind]).as_uri())
        assert page.evaluate("document.body.dataset.mdColorScheme") == {"light": "default", "dark": "slate"}[scheme]
        page.evaluate(axe.AXE_SCRIPT)
        for width, height in (SIZES["phone"], SIZES["desk"]):
            page.set_viewport_size({"width": width, "height": height})
            page.evaluate(NEXT_PICTURE)
            assert violations(page, *(COLOURS if scheme == "dark" else ())) == [], f"{width} pixels wide"
            assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert screen.complaints == []
        assert screen.asked_outside == []


def test_the_contrast_rule_can_fail(demo: Path, screens: Screens) -> None:
    axe = pytest.importorskip("axe_playwright_python.base", reason="the package axe-playwright-python is missing")
    with screens.open() as screen:
        screen.page.goto((demo / PAGES["section"]).as_uri())
        screen.page.evaluate(axe.AXE_SCRIPT)
        screen.page.add_style_tag(content=".md-typeset p { color: #6b6b6b !important; }")
        assert any(fault.startswith("color-contrast-enhanced") for fault in violations(screen.page))


UNMARKED_LINKS = """() => [...document.querySelectorAll("article a[href]")]
  .filter(link => !link.closest("svg") && !link.classList.contains("headerlink") && link.checkVisibility())
  .filter(link => {
    const marked = e => getComputedStyle(e).textDecorationLine.includes("underline")
      || parseFloat(getComputedStyle(e).borderTopWidth) > 0;
    return !marked(link) && ![...link.querySelectorAll("*")].some(marked);
  }).map(link => link.textContent)"""


@pytest.mark.parametrize("kind", ["start", "section", "box", "register", "all boxes", "sections"])
def test_links_are_told_by_more_than_colour(kind: str, demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        screen.page.goto((demo / PAGES[kind]).as_uri())
        assert screen.page.locator("article a[href]").count() > 0
        assert screen.page.evaluate(UNMARKED_LINKS) == []


CUT_OFF = """() => {
  const wide = document.documentElement.clientWidth;
  const scrolled = e => e.closest(".table-frame, figure, .md-sidebar, .md-search, .md-header, .md-toggle, pre")
    || e.closest("details.bring:not([open])"); // one line until a tap opens it
  return [...document.querySelectorAll("body *")].filter(e => e.checkVisibility() && !scrolled(e)).filter(e => {
    const box = e.getBoundingClientRect();
    const style = getComputedStyle(e);
    const hides = style.overflowX !== "visible" && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1;
    return e.textContent.trim() && box.width > 1 && (box.right > wide + 1 || hides);
  }).map(e => `${e.tagName}.${e.className}: ${e.textContent.trim().slice(0, 40)}`);
}"""


@pytest.mark.parametrize("kind", PAGES)
def test_nothing_is_lost_at_200_percent(kind: str, demo: Path, screens: Screens) -> None:
    """WCAG 2.2, success criterion 1.4.4: text at 200 % without loss; a desk of 1,280 pixels shows 640 then."""
    with screens.open("zoomed") as screen:
        screen.page.goto((demo / PAGES[kind]).as_uri())
        assert screen.page.evaluate("document.documentElement.scrollWidth") <= 640
        assert screen.page.evaluate(CUT_OFF) == []
