"""Safety signs as pictures of our own after the referents of ISO 7010: triangle, disc, barred ring or square.

A picture is a few shapes in a field of 72 by 72: outlines that are filled, and strokes. The shape of the frame tells
the group without its colour, and the picture tells the sign without its words.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Literal

from slackloop.document.blocks import Sign
from slackloop.document.drawings.svg import Canvas
from slackloop.document.inline import Line

SIZE = 72.0
BLACK, YELLOW, BLUE, GREEN, RED, WHITE = "#101010", "#f5d000", "#1f5fbf", "#2e8b3d", "#c8102e", "#ffffff"
Layer = Literal["ink", "ground", "ink line", "ground line"]
KINDS = {"W": "Warning", "M": "Must do", "P": "Must not do", "E": "Safe way", "F": "Fire equipment"}
"""First letter of a number in ISO 7010 to what that group of signs says."""

_HEAD = "M36 12c11 0 17 8 17 19 0 13-7 27-17 29-10-2-17-16-17-29 0-11 6-19 17-19z"
_EYES = "M27 30a2.6 2.6 0 1 0 5.2 0 2.6 2.6 0 1 0-5.2 0zM39.8 30a2.6 2.6 0 1 0 5.2 0 2.6 2.6 0 1 0-5.2 0z"

PICTURES: dict[str, tuple[tuple[Layer, str], ...]] = {
    "W001": (("ink", "M32.5 22h7l-1.6 21h-3.8z"), ("ink", "M36 47a3.6 3.6 0 1 0 .01 0z")),
    "W008": (
        ("ink", "M12 57l4-8h13v8z"),
        ("ink", "M35 23a3.8 3.8 0 1 0 .01 0z"),
        ("ink", "M29 30l9 3 7-4 2 3-8 5-3 7 7 7-2 3-9-8 1-8-4-1-4 6-3-2z"),
    ),
    "W012": (("ink", "M37 22L25 42h9l-5 17 17-24h-9l4-13z"),),
    "W014": (
        ("ink", "M20 54V43h6l4-13h9v24z"),
        ("ground", "M31 41l2-8h3.5v8z"),
        ("ink", "M41 27h3v28h-3z"),
        ("ink", "M44 53h12v3h-12zM46 43h8v9h-8z"),
        ("ground", "M26 48.5a5.5 5.5 0 1 0 .01 0zM36 48.5a5.5 5.5 0 1 0 .01 0z"),
        ("ink", "M26 50.2a3.8 3.8 0 1 0 .01 0zM36 50.2a3.8 3.8 0 1 0 .01 0z"),
    ),
    "W015": (
        ("ink", "M34.8 17h2.4v9h-2.4z"),
        ("ink line", "M26 38l10-11 10 11"),
        ("ink", "M22 38h28v11h-28z"),
        ("ink", "M20 56a2.6 2.6 0 1 0 .01 0z"),
        ("ink line", "M23 58h22"),
    ),
    "W022": (
        ("ink", "M27 40L43 20q4 15-8 27z"),
        ("ink", "M25 42l8 7-9 9h-9z"),
        ("ink", "M60 58H41q-5.5 0-5.5-4.5t5.5-4.5h15z"),
        ("ground line", "M42 48l3 5"),
    ),
    "W051": (
        ("ink", "M13 57l5-9h21v9z"),
        ("ink", "M34 17.5a4 4 0 1 0 .01 0z"),
        ("ink", "M30 27h8l3 9-2.6 1-2.4-5v15h-3v-9h-1.5v9h-3v-15l-2 5-2.5-1z"),
        ("ink line", "M48 40v10"),
        ("ink", "M43.5 49h9l-4.5 8z"),
    ),
    "M002": (
        ("ink", "M15 19q11-3 20 3v33q-9-5-20-3z"),
        ("ink", "M57 19q-11-3-20 3v33q9-5 20-3z"),
        ("ground line", "M19 27q7-2 12 1M19 34q7-2 12 1M19 41q7-2 12 1"),
        ("ground line", "M53 27q-7-2-12 1M53 34q-7-2-12 1M53 41q-7-2-12 1"),
    ),
    "M003": (
        ("ink", _HEAD),
        ("ground", _EYES),
        ("ground line", "M18 36C14 2 58 2 54 36"),
        ("ink line", "M16 36C12-2 60-2 56 36"),
        ("ground", "M11 25h14v24h-14zM47 25h14v24h-14z"),
        ("ink", "M13 30q0-3 3-3h5v20h-5q-3 0-3-3zM59 30q0-3-3-3h-5v20h5q3 0 3-3z"),
    ),
    "M004": (
        ("ink", _HEAD),
        ("ground", "M16 24h40v4q0 14-9 15-7 0-9-8-2-3-4 0-2 8-9 8-9-1-9-15z"),
        ("ink", "M20 27.5h13v3q0 8-6 9-7-1-7-10zM39 27.5h13v2q0 9-7 10-6-1-6-9z"),
        ("ground line", "M24 35l4-5M43 35l4-5"),
        ("ground line", "M31 52h10"),
    ),
    "M008": (
        ("ink", "M22 14h15v21q3 6 13 8 8 2 9 9v2h-37z"),
        ("ink", "M22 56h37v4h-37z"),
        ("ground line", "M28 25h9M28 31h9"),
    ),
    "M009": (
        ("ink", "M22 60V39l-7-9q3-5 7-1l5 6V17q3-4 6 0v14h1V14q3-4 6 0v17h1V17q3-4 6 0v16h1V24q3-3 5 0v23l-4 13z"),
        ("ground line", "M24 52h28"),
    ),
    "M014": (
        ("ink", "M15 38a21 21 0 0 1 42 0v3h-42z"),
        ("ink", "M11 42h50v4.5h-50z"),
        ("ink", "M24 49h24q0 11-12 13-12-2-12-13z"),
        ("ground line", "M30 22v15M42 22v15"),
    ),
    "M015": (
        ("ink", "M27 14l4-1q5 9 10 0l4 1 6 13q-4 4-4 9v23H25V36q0-5-4-9z"),
        ("ground line", "M30 16v43M42 16v43M25 40h22M25 49h22"),
    ),
    "M016": (
        ("ink", _HEAD),
        ("ground", "M24 26a2.6 2.6 0 1 0 9 0zM39 26a2.6 2.6 0 1 0 9 0z"),
        ("ground", "M16 34l8 3q12-6 24 0l8-3v5l-6 4q-2 13-14 16-12-3-14-16l-6-4z"),
        ("ink", "M26 40q10-5 20 0v4q-2 9-10 11.5-8-2.5-10-11.5z"),
        ("ground line", "M30 44h12M31 49h10"),
    ),
}  # fmt: skip
"""Layers of each sign, the lowest first: outlines filled and lines drawn in the sign's ink or its ground."""
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
    layers = PICTURES.get(number)
    if layers is None:
        canvas.text(SIZE / 2, 50 if kind == "W" else 41, number, size=14, anchor="middle", bold=True, fill=ink)
    for layer, data in layers or ():
        tone = ground if layer.startswith("ground") else ink
        if layer.endswith("line"):
            canvas.path(data, stroke=tone, width=3.2 if layer == "ink line" else 2.2, cap="round")
        else:
            canvas.path(data, fill=tone, stroke="none")
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
