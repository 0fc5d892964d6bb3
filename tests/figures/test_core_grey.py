"""Cores a and b in grey: told apart by bars and by a letter at every end, whatever their colours."""

from __future__ import annotations

import re

import pytest

from book_samples import demonstration
from slackloop.document.boxes.box_drawing import BoxDrawings
from slackloop.document.drawings.box_wiring import WiredBox, WiredRun, box_wiring_figure
from slackloop.document.drawings.wire_routes import HATCH, HEX_BY_WORD, core_paint, hatch_colour, luma

LEAST_BAR_CONTRAST = 70.0
"""Least difference of grey, of 255, between the bars and the core that they cross."""
MOST_BYTES = 8_000


@pytest.mark.parametrize("word", [*HEX_BY_WORD, "pale moss"])
def test_bars_are_seen_on_every_colour(word: str) -> None:
    """ITU-R BT.601 luma, as a grey printer weighs colours."""
    assert abs(luma(core_paint(word).base) - luma(hatch_colour(word))) >= LEAST_BAR_CONTRAST


def test_every_wire_has_its_letter_at_both_ends_and_only_a_has_bars() -> None:
    book = demonstration()
    drawings = BoxDrawings(book.context)
    for index, box in enumerate(book.analysis.network.boxes):
        svg = drawings.wiring(index).svg
        assert len(svg.encode()) <= MOST_BYTES, box
        wires = len(book.analysis.splices[index][0].wires) if book.analysis.splices[index] else 1
        for letter in "ab":
            (shown,) = re.findall(rf">({letter}+)</text>", svg)
            assert len(shown) == 2 * wires, box
            bars = re.findall(rf'<use href="#[^"]*-core-{letter}\d+"[^>]*stroke-dasharray="{HATCH}"', svg)
            assert bool(bars) == (letter == "a"), box


@pytest.mark.parametrize("word", HEX_BY_WORD)
def test_no_colour_word_is_cut_short(word: str) -> None:
    """The word on the reel stands whole at each end of each core."""
    runs = tuple(WiredRun(f"to B{n}", "62 m", "14 AWG", word, word, slack="1.5 m") for n in range(3))
    svg = box_wiring_figure("w", WiredBox("B02", "", runs, (), "Sealed connector")).svg
    assert svg.count(f">{word}</text>") == 2 * (len(runs) + 1)


def test_demonstration_cores_differ_beyond_their_colours() -> None:
    """Its two colours are nearly the same grey, which is why the bars are there."""
    cable = next(iter(demonstration().job.cables.values()))
    greys = [luma(core_paint(word).base) for word in (cable.cores.a, cable.cores.b)]
    bars = luma(hatch_colour(cable.cores.a))
    assert abs(greys[0] - bars) >= LEAST_BAR_CONTRAST
