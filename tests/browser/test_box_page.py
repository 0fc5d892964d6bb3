"""The page of a box on a phone: within five screens with everything open, inputs under a thumb, nothing sideways."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from book_samples import demonstration
from browser.kinds import SIZES

if TYPE_CHECKING:
    from browser.conftest import Screens

pytestmark = pytest.mark.browser
MOST_SCREENS = 5.0
LEAST_TARGET_PX = 44


def test_every_box_is_within_five_screens_of_a_phone(demo: Path, screens: Screens) -> None:
    """All folded parts opened, every field shown; no scrolling to the side, and none inside the page."""
    width, height = SIZES["phone"]
    with screens.open("phone") as screen:
        page = screen.page
        for box in demonstration().analysis.network.boxes:
            page.goto((demo / "boxes" / f"{box.lower()}.html").as_uri())
            page.evaluate("document.querySelectorAll('details').forEach(part => part.open = true)")
            tall, wide = page.evaluate("[document.documentElement.scrollHeight, document.documentElement.scrollWidth]")
            assert tall <= MOST_SCREENS * height, (box, tall / height)
            assert wide <= width, (box, wide)
            inner = page.evaluate(
                "[...document.querySelectorAll('article *')].filter(e => e.scrollWidth > e.clientWidth + 1 && "
                "['auto', 'scroll'].includes(getComputedStyle(e).overflowX)).length"
            )
            assert inner == 0, box


def test_fields_and_ticks_are_large_enough_and_in_the_order_of_the_work(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        sizes = page.evaluate(
            "[...document.querySelectorAll('article input, article textarea')].map(e => "
            "{ const r = e.getBoundingClientRect(); return [e.name, r.width, r.height] })"
        )
        assert len(sizes) > 10
        assert [name for name, wide, tall in sizes if min(wide, tall) < LEAST_TARGET_PX] == []
        titles = page.evaluate("[...document.querySelectorAll('.form > h3')].map(e => e.firstChild.textContent.trim())")
        assert titles == ["Run", "Test", "Splice", "Device", "Close", "Notes"]
        ways = page.evaluate("[...document.querySelectorAll('.way a')].map(e => e.textContent)")
        assert ways == ["Previous: B01", "All boxes", "Next: B03"]
