"""How a core whose colour is named in words is drawn.

The table turns plain English words into a colour for the drawing. It is drawing data only and never a
default for a job: the word on the reel always stands beside the wire, and a word that is not in the
table gives a neutral banded grey.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from slackloop.handbook.figures.svg import Canvas

HEX_BY_WORD: dict[str, str] = {
    "white": "#ffffff",
    "black": "#101010",
    "red": "#c8102e",
    "blue": "#1f5fbf",
    "green": "#2e8b3d",
    "yellow": "#f5d000",
    "orange": "#f08000",
    "brown": "#7a4a21",
    "grey": "#8f8f8f",
    "gray": "#8f8f8f",
    "violet": "#7b3fa0",
    "purple": "#7b3fa0",
    "pink": "#f2a0b8",
    "tan": "#d2b48c",
    "turquoise": "#30b8b0",
}
"""Plain colour words to screen colours: our own choice, for drawing only."""

UNKNOWN_BASE = "#c4c4c4"
UNKNOWN_BAND = "#6a6a6a"
CORE_WIDTH = 4.0
CASING_WIDTH = 6.4


@dataclass(frozen=True)
class CorePaint:
    """Colour of a core: ``base`` all along, ``band`` in short bands over it (empty: none), ``known`` by the table."""

    base: str
    band: str
    known: bool


def core_paint(word: str) -> CorePaint:
    """Return how to draw a core named ``word``: a plain word, or two with ``/`` or ``-`` between (a stripe)."""
    parts = [part.strip() for part in re.split(r"[/-]", word.lower())]
    shades = [HEX_BY_WORD[part] for part in parts if part in HEX_BY_WORD]
    if len(shades) == len(parts) == 1:
        return CorePaint(shades[0], "", True)
    if len(shades) == len(parts) == 2:
        return CorePaint(shades[0], shades[1], True)
    return CorePaint(UNKNOWN_BASE, UNKNOWN_BAND, False)


def draw_wire(canvas: Canvas, data: str, word: str, *, width: float = CORE_WIDTH, name: str = "") -> None:
    """Draw a wire along path data: a casing in ink, then the core, then its bands.

    ``word`` empty means a wire whose colour is not given (a device's own lead): plain grey.
    """
    paint = core_paint(word) if word else CorePaint(UNKNOWN_BASE, "", True)
    canvas.path(data, width=width + CASING_WIDTH - CORE_WIDTH, name=name)
    canvas.path(data, stroke=paint.base, width=width)
    if paint.band:
        canvas.path(data, stroke=paint.band, width=width, dash="5 6" if paint.known else "1.6 2.8")
