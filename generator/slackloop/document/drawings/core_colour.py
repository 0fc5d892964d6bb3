"""How a core whose colour is named in words is drawn.

The table turns plain English words into a colour for the drawing. It is drawing data only and never a default for a
job: the word on the reel always stands beside the wire. Colours may look alike in grey, so core a also has bars across
it and core b has none, and each end of a wire carries its letter.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from slackloop.document.drawings.svg import INK, Canvas

Core = Literal["a", "b", ""]

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

UNKNOWN = "#c4c4c4"
CORE_WIDTH = 5.4
CASING_WIDTH = 8.0
HATCH = "1.4 4.2"
"""Bars across core a, and the room between them (drawing units)."""
STRIPE = "9 9"
DARK_LUMA = 110.0
"""Bars over a colour darker than this are white, else they could not be seen."""


@dataclass(frozen=True)
class CorePaint:
    """Colour of a core: ``base`` all along, ``band`` in long bands over it (empty: none), ``known`` by the table."""

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
    return CorePaint(UNKNOWN, "", False)


def luma(colour: str) -> float:
    """How light ``#rrggbb`` is in grey, 0 to 255 (ITU-R BT.601 weights)."""
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def hatch_colour(word: str) -> str:
    """The colour of the bars over a core a that is named ``word``: ink over light colours, white over dark ones."""
    return "#ffffff" if luma(core_paint(word).base) < DARK_LUMA else "#000000"


def draw_like_wires(canvas: Canvas, data: str, word: str, core: Core, name: str) -> None:
    """The same for wires of one core and colour together, their path data kept once."""
    paint, defined = core_paint(word), canvas.define(name, data)
    canvas.use(defined, INK, CASING_WIDTH)
    canvas.use(defined, paint.base, CORE_WIDTH)
    if paint.band:
        canvas.use(defined, paint.band, CORE_WIDTH, STRIPE)
    if core == "a":
        canvas.use(defined, hatch_colour(word), CORE_WIDTH, HATCH)
