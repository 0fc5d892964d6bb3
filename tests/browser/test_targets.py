"""Whatever a thumb hits is at least 44 pixels high and wide (WCAG 2.2, criterion 2.5.5).

``test_access.py`` looks at every kind of page; here are what opens on them, and whether the measure can fail.

Links inside running text are excepted, as the criterion has it: a link counts as one where the paragraph, cell or list
item around it has letters or digits that are in no link. A label is measured by the field that it names.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from browser.kinds import PAGES, SIZES

if TYPE_CHECKING:
    from browser.conftest import Screens

pytestmark = pytest.mark.browser
SMALL_TARGETS = """() => {
  const hit = "a[href], button, input:not([type=hidden]), textarea, select, summary, label[for], [role=button]";
  const letters = text => text.replace(/[^\\p{L}\\p{N}]+/gu, "").length;
  const inText = e => {
    if (e.tagName !== "A") return false;
    const around = e.closest("p, td, th, li, dd, dt, figcaption, h1, h2, h3, h4");
    if (!around) return false;
    const linked = [...around.querySelectorAll("a[href]")].reduce((sum, a) => sum + letters(a.textContent), 0);
    return letters(around.textContent) > linked;
  };
  const shown = e => e.checkVisibility({visibilityProperty: true, opacityProperty: true});
  const measured = e => e.tagName === "LABEL" && e.control && shown(e.control)
    && e.control.getBoundingClientRect().width > 1 ? e.control : e;
  return [...document.querySelectorAll(hit)].filter(e => shown(e) && !inText(e)).map(measured)
    .map(e => [e, e.getBoundingClientRect()])
    .filter(([, box]) => box.width > 1 && box.height > 1 && box.right > 0 && box.left < innerWidth)
    .filter(([, box]) => box.height < 43.9 || box.width < 43.9)
    .map(([e, box]) => `${e.tagName}.${e.className} ${e.textContent.trim().slice(0, 30)}: `
      + `${box.width.toFixed(1)} x ${box.height.toFixed(1)}`);
}"""


def test_the_menu_of_a_phone_is_44_pixels_a_line(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        screen.page.goto((demo / PAGES["box"]).as_uri())
        screen.page.locator('label.md-header__button[for="__drawer"]').click()
        screen.page.locator(".md-nav--primary .md-nav__link").first.wait_for(state="visible")
        assert screen.page.evaluate(SMALL_TARGETS) == []


def test_found_boxes_and_the_values_of_my_box_are_44_pixels(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        for kind, typed, shown in (("start", "b3", ".box-found a"), ("section", "13", ".my-box [role=status] a")):
            page.goto((demo / PAGES[kind]).as_uri())
            page.locator("#box-field").fill(typed)
            assert page.locator(shown).count() > 0
            assert page.evaluate(SMALL_TARGETS) == []


def test_the_rule_can_fail(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / PAGES["start"]).as_uri())
        page.add_style_tag(content=".md-typeset .doors a { min-height: 0; height: 30px; }")
        found = page.evaluate(SMALL_TARGETS)
        assert any("My box" in each for each in found), found
        assert SIZES["phone"][0] == 390
