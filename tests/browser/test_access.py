"""Every kind of page is held against axe-core (WCAG 2.2, levels A and AA, and the 7:1 contrast of level AAA).

It is opened once for all that is measured on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from browser.kinds import KEPT, PAGES, SIZES
from browser.test_targets import SMALL_TARGETS
from shared import short

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
RUN = """async ([colours, all]) => (await axe.run(colours && !all ? {include: window.looks()} : document, {
  resultTypes: ["violations"],
  preload: false,
  ...(colours ? {runOnly: {type: "rule", values: ["color-contrast", "color-contrast-enhanced"]}}
    : {rules: {"color-contrast": {enabled: false}}}),
})).violations"""
LOOKS = """(() => {
  const parts = ["color", "backgroundColor", "backgroundImage", "opacity", "filter", "mixBlendMode", "fontSize",
    "fontWeight", "textShadow", "position", "fill"];
  window.byLook = () => {
    const known = new Map([[null, ""]]), found = new Map();
    const look = e => {
      if (!known.has(e)) {
        const style = getComputedStyle(e);
        const own = [e.tagName, e.getAttribute("class"), ...parts.map(part => style[part])];
        known.set(e, `${look(e.parentElement)}>${own.join("|")}`);
      }
      return known.get(e);
    };
    for (const e of document.querySelectorAll("body *")) {
      const text = [...e.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim());
      if (!text || !e.checkVisibility()) continue;
      const name = `${look(e)} ${e.textContent.trim().length === 1}`; // axe gives no answer for a single letter
      found.set(name, [...(found.get(name) || []), e]);
    }
    return found;
  };
  window.looks = () => [...window.byLook().values()].flatMap(all => all.length < 3 ? all : [all[0], all.at(-1)]);
})()"""
"""Text of one look: the same elements around it with the same classes, and all that its contrast follows from. The
first and the last of each look stand for those between them."""
NEXT_PICTURE = "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


def prepare(page: Page) -> None:
    """Bring axe and the looks into a page."""
    axe = pytest.importorskip("axe_playwright_python.base", reason="the package axe-playwright-python is missing")
    page.evaluate(axe.AXE_SCRIPT)
    page.evaluate(LOOKS)


def violations(page: Page, *, colours: bool, whole: bool = False) -> list[str]:
    """Serious and critical faults of the page as it stands: of ``colours``, text under 7:1 too, or of all else.

    Contrast is measured once a look; ``whole``: at every text.
    """
    found: list[dict[str, Any]] = page.evaluate(RUN, [colours, whole])
    return [
        f"{fault['id']}: {node['html'][:200]}"
        for fault in found
        if fault["impact"] in ("serious", "critical")
        for node in fault["nodes"]
    ]


@dataclass(frozen=True)
class Look:
    """What is measured on a page that is opened once, in one width and theme."""

    kind: str
    colour_faults: list[str]
    other_faults: list[str]
    over_width: int
    links: int
    unmarked_links: list[str]
    over_width_zoomed: int
    cut_off_zoomed: list[str]
    small_targets: list[str]
    complaints: list[str]
    asked_outside: list[str]


LOOKS_KEPT = (
    *((kind, "light", "phone") for kind in KEPT), *((kind, "light", "desk") for kind in ("start", "section", "box")),
    *((kind, "dark", "phone") for kind in ("section", "box", "sheet")),
)  # fmt: skip
OVER_WIDTH = "Math.max(0, document.documentElement.scrollWidth - document.documentElement.clientWidth)"


@pytest.fixture(
    scope="module", params=short(product(PAGES, ("light", "dark"), ("phone", "desk")), *LOOKS_KEPT), ids="-".join
)
def look(request: pytest.FixtureRequest, demo: Path, screens: Screens) -> Look:
    """Each kind of page; colours are looked at in both themes, all else in the light one."""
    kind, scheme, size = request.param
    with screens.open(size, scheme) as screen:
        page = screen.page
        page.goto((demo / PAGES[kind]).as_uri())
        assert page.evaluate("document.body.dataset.mdColorScheme") == {"light": "default", "dark": "slate"}[scheme]
        assert page.evaluate("document.documentElement.clientWidth") == SIZES[size][0]
        prepare(page)
        page.evaluate(NEXT_PICTURE)
        colours = violations(page, colours=True)
        others = violations(page, colours=False) if scheme == "light" else []
        over_width, links = page.evaluate(OVER_WIDTH), page.locator("article a[href]").count()
        unmarked = page.evaluate(UNMARKED_LINKS)
        width, height = SIZES["zoomed"]
        page.set_viewport_size({"width": width, "height": height})
        zoomed = page.evaluate(OVER_WIDTH), page.evaluate(CUT_OFF)
        width, height = SIZES[size]
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("document.querySelectorAll('article details').forEach(part => part.open = true)")
        small = page.evaluate(SMALL_TARGETS)
    return Look(
        kind, colours, others, over_width, links, unmarked, *zoomed, small, screen.complaints, screen.asked_outside
    )  # fmt: skip


def test_no_serious_fault_on_phone_or_desk(look: Look) -> None:
    assert look.colour_faults == []
    assert look.other_faults == []
    assert look.over_width == 0


def test_no_page_complains_or_asks_for_anything(look: Look) -> None:
    assert look.complaints == []
    assert look.asked_outside == []


def test_links_are_told_by_more_than_colour(look: Look) -> None:
    assert look.unmarked_links == []
    assert look.links > 0 or look.kind not in ("start", "section", "box", "register", "all boxes", "sections")


def test_nothing_is_lost_at_200_percent(look: Look) -> None:
    """WCAG 2.2, success criterion 1.4.4: text at 200 % without loss; a desk of 1,280 pixels shows 640 then."""
    assert look.over_width_zoomed == 0
    assert look.cut_off_zoomed == []


def test_what_a_thumb_hits_is_44_pixels(look: Look) -> None:
    """WCAG 2.2, success criterion 2.5.5, with everything opened that opens (``test_targets.py``)."""
    assert look.small_targets == []


@pytest.mark.parametrize("kind", short(["box", "section"], "box"))
def test_every_text_of_a_page_has_its_contrast(kind: str, demo: Path, screens: Screens) -> None:
    """Not one of each look alone."""
    with screens.open("phone") as screen:
        screen.page.goto((demo / PAGES[kind]).as_uri())
        prepare(screen.page)
        assert violations(screen.page, colours=True, whole=True) == []


MARKED_LOOKS = """async () => {
  const faults = (await axe.run(document, {resultTypes: ["violations"], preload: false, elementRef: true,
    runOnly: {type: "rule", values: ["color-contrast", "color-contrast-enhanced"]}})).violations;
  const wrong = new Set(faults.flatMap(fault => fault.nodes.map(node => node.element)));
  const all = [...window.byLook().values()];
  return [wrong.size, all.filter(each => each.some(e => wrong.has(e))).length,
    all.filter(each => each.some(e => wrong.has(e)) && !each.every(e => wrong.has(e))).length];
}"""


def test_the_contrast_rule_can_fail_and_texts_of_one_look_have_one_contrast(demo: Path, screens: Screens) -> None:
    """With colours that fail in many places, every text is measured: those of one look all fail or all pass."""
    with screens.open("phone") as screen:
        screen.page.goto((demo / PAGES["section"]).as_uri())
        prepare(screen.page)
        screen.page.add_style_tag(content="article *, nav * { color: #767676 !important; }")
        found = violations(screen.page, colours=True)
        assert any(fault.startswith("color-contrast-enhanced") for fault in found)
        wrong, failing, divided = screen.page.evaluate(MARKED_LOOKS)
        assert wrong > len(found)
        assert failing > 3
        assert divided == 0


def test_one_text_of_another_colour_among_many_is_found(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        screen.page.goto((demo / PAGES["section"]).as_uri())
        prepare(screen.page)
        screen.page.evaluate(
            "all => { const e = all[Math.floor(all.length / 2)]; e.style.color = '#888'; e.textContent = 'odd one'; }",
            screen.page.evaluate_handle("document.querySelectorAll('article .step-body > p')"),
        )
        found = violations(screen.page, colours=True)
        assert len(found) > 0
        assert all("odd one" in fault for fault in found)


UNMARKED_LINKS = """() => [...document.querySelectorAll("article a[href]")]
  .filter(link => !link.closest("svg") && !link.classList.contains("headerlink") && link.checkVisibility())
  .filter(link => {
    const marked = e => getComputedStyle(e).textDecorationLine.includes("underline")
      || parseFloat(getComputedStyle(e).borderTopWidth) > 0;
    return !marked(link) && ![...link.querySelectorAll("*")].some(marked);
  }).map(link => link.textContent)"""


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
