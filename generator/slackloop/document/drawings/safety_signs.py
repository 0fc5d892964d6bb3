"""Safety signs as pictures of our own after the referents of ISO 7010: triangle, disc, barred ring or square.

A picture is a few shapes in a field of 72 by 72: outlines that are filled, and strokes. The shape of the frame tells
the group without its colour, and the picture tells the sign without its words.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

from slackloop.document.blocks import Sign
from slackloop.document.drawings.svg import Canvas
from slackloop.document.inline import Line

SIZE = 72.0
BLACK, YELLOW, BLUE, GREEN, RED, WHITE = "#101010", "#f5d000", "#1f5fbf", "#2e8b3d", "#c8102e", "#ffffff"
KINDS = {"W": "Warning", "M": "Must do", "P": "Must not do", "E": "Safe way", "F": "Fire equipment"}
"""First letter of a number in ISO 7010 to what that group of signs says."""

# ruff: noqa: E501
FILLED: dict[str, tuple[str, ...]] = {
    "W001": ("M33 24h6l-1.4 20h-3.2z", "M36 48a3.2 3.2 0 1 0 .01 0z"),
    "W008": ("M14 56h18v4h-18z", "M40 27a3.4 3.4 0 1 0 .01 0z", "M34 31l8 4 6-3 2 3-7 4-3 8 6 8-3 2-7-9 2-8-5-1-4 6-3-2z"),
    "W012": ("M38 21l-13 21h9l-6 18 18-25h-9l7-14z",),
    "W014": (
        "M22 52V40h14l5 8h6v-26h3v34h-28z", "M26 58a4 4 0 1 0 .01 0z", "M43 58a4 4 0 1 0 .01 0z", "M50 50h9v3h-9z",
        "M25 37l3-9h6l2 9z",
    ),
    "W015": ("M24 36h24v14h-24z", "M35 18h2v8h-2z", "M36 26l10 10h-3l-7-7-7 7h-3z"),
    "W022": ("M20 50l24-24q8 4 6 12l-16 16h-14z", "M20 54h28v4h-28z"),
    "W051": ("M12 58h24v-14h-24z", "M44 26a3.2 3.2 0 1 0 .01 0z", "M38 32h8l3 9h-4l1 14h-4l-2-10-3 10h-4l4-14z"),
    "M002": ("M17 20q10-3 18 2v32q-8-5-18-2z", "M55 20q-10-3-18 2v32q8-5 18-2z"),
    "M003": (
        "M22 36a14 16 0 0 1 28 0h-4a10 12 0 0 0-20 0z", "M18 34h8v16h-8q-3-8 0-16z", "M54 34h-8v16h8q3-8 0-16z",
        "M28 36a8 10 0 0 1 16 0q0 10-4 15h-8q-4-5-4-15z",
    ),
    "M004": ("M20 30a16 16 0 0 1 32 0v3h-32z", "M17 33h38v4l-3 8h-12l-3-6h-2l-3 6h-12l-3-8z", "M24 47h24q-2 10-12 12-10-2-12-12z"),
    "M008": ("M24 16h14v20q2 6 12 8 8 2 8 8v4h-34z", "M22 57h37v4h-37z"),
    "M009": (
        "M22 58V38l-6-9 4-3 6 7V17h4v15h2V14h4v18h2V16h4v16h2V22h4v22l-4 14z",
    ),
    "M014": ("M16 40a20 20 0 0 1 40 0v3h-40z", "M12 44h48v4h-48z", "M27 50h18q0 10-9 12-9-2-9-12z"),
    "M015": ("M24 16l6-2q6 6 12 0l6 2 8 12-6 6-4-5v31h-20v-31l-4 5-6-6z",),
    "M016": ("M24 26a12 12 0 0 1 24 0v6h-24z", "M20 32h32q2 16-16 26-18-10-16-26z"),
}  # fmt: skip
"""Outlines in the sign's ink."""

CUT: dict[str, tuple[str, ...]] = {
    "W022": ("M24 50l20-20",),
    "M004": ("M35 35h2",),
    "M015": ("M31 17v43", "M41 17v43", "M25 36h22", "M25 48h22"),
    "M016": ("M22 38h28", "M30 46h12", "M30 50h12"),
    "M003": (),
    "M009": ("M26 33v8", "M32 32v8", "M38 32v8", "M44 32v8"),
    "M014": ("M30 24v14", "M42 24v14"),
    "M002": ("M20 27q7-2 12 1", "M20 34q7-2 12 1", "M52 27q-7-2-12 1", "M52 34q-7-2-12 1"),
    "M008": ("M28 26h8", "M28 32h8"),
}
"""Lines in the colour of the ground, over the outlines."""
_NAMES = re.compile(r' id="[^"]*"| role="img" aria-labelledby="[^"]*"|<(title|desc)\b[^>]*>.*?</\1>')


@lru_cache(maxsize=64)
def sign_svg(number: str) -> str:
    """The sign as SVG; ``number`` is that of ISO 7010, as ``W012``. Raises ``ValueError`` for any other text.

    A sign comes more than once on a page, always beside its words: it has no id, and no reader speaks it a second time.
    """
    kind = number[:1]
    if kind not in KINDS or not (number[1:].isascii() and number[1:].isdigit() and len(number) == 4):
        raise ValueError(f"not a sign number of ISO 7010: {number!r}")
    canvas = Canvas(f"sign-{number.lower()}", KINDS[kind], "", SIZE)
    ground, ink = _frame(canvas, kind)
    outlines = FILLED.get(number)
    if outlines is None:
        canvas.text(SIZE / 2, 50 if kind == "W" else 41, number, size=14, anchor="middle", bold=True, fill=ink)
    for data in outlines or ():
        canvas.path(data, fill=ink, stroke="none")
    for data in CUT.get(number, ()):
        canvas.path(data, stroke=ground, width=2.2, cap="round")
    return _NAMES.sub("", canvas.figure(SIZE).svg).replace("<svg ", '<svg aria-hidden="true" ', 1)


def sign(number: str, words: str, more: Line = ()) -> Sign:
    """A sign with its words; without a number, words alone."""
    return Sign(number, sign_svg(number) if number else "", words, more)


def _frame(canvas: Canvas, kind: str) -> tuple[str, str]:
    """Draw the frame of a group; the answer is the colour of its ground and of its ink."""
    middle = SIZE / 2
    if kind == "W":
        canvas.path("M36 6L69 64H3z", fill=YELLOW, stroke=BLACK, width=4)
        return YELLOW, BLACK
    if kind == "M":
        canvas.circle((middle, middle), 35, fill=BLUE, stroke="none")
        return BLUE, WHITE
    if kind == "P":
        reach = 31 / math.sqrt(2)
        canvas.circle((middle, middle), 31, fill=WHITE, stroke=RED, width=6)
        canvas.line((middle - reach, middle - reach), (middle + reach, middle + reach), width=5)
        return WHITE, BLACK
    canvas.rect(3, 3, 66, 66, radius=3, fill=GREEN if kind == "E" else RED, stroke="none")
    return GREEN if kind == "E" else RED, WHITE
