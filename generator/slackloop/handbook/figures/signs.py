"""Plain sign shapes for safety pages: our own simple drawing with the number of the ISO 7010 sign in it."""

from __future__ import annotations

import math

from slackloop.handbook.figures.svg import Canvas, Figure

SIZE = 72.0
BLACK = "#101010"
YELLOW = "#f5d000"
BLUE = "#1f5fbf"
GREEN = "#2e8b3d"
RED = "#c8102e"
WHITE = "#ffffff"
KINDS = {"W": "Warning", "M": "Must do", "P": "Must not do", "E": "Safe way", "F": "Fire equipment"}
"""First letter of a number in ISO 7010 to what that group of signs says."""


def sign_figure(id: str, number: str, title: str) -> Figure:
    """Draw the shape of the sign's group with its number: triangle W, disc M, barred ring P, square E or F.

    ``number`` is that of ISO 7010, as ``W012``; any other text raises ``ValueError``. The shape tells the
    group without its colour.
    """
    kind = number[:1]
    if kind not in KINDS or not (number[1:].isascii() and number[1:].isdigit() and len(number) == 4):
        raise ValueError(f"not a sign number of ISO 7010: {number!r}")
    canvas = Canvas(id, f"{KINDS[kind]}: {title}", f"Sign {number} of ISO 7010: {title}.", SIZE)
    middle = SIZE / 2
    if kind == "W":
        _draw_warning(canvas, number)
        return canvas.figure(SIZE)
    if kind == "M":
        canvas.circle((middle, middle), 33, fill=BLUE, stroke=BLACK, width=1)
    elif kind == "P":
        reach = 30 / math.sqrt(2)
        canvas.circle((middle, middle), 31, fill=WHITE, stroke=BLACK, width=6.5)
        canvas.circle((middle, middle), 31, stroke=RED, width=5)
        for start, end in ((-reach, -12.0), (12.0, reach)):
            data = f"M{middle + start:.2f} {middle + start:.2f}L{middle + end:.2f} {middle + end:.2f}"
            canvas.path(data, stroke=RED, width=5)
    else:
        canvas.rect(4, 4, 64, 64, radius=3, fill=GREEN if kind == "E" else RED, stroke=BLACK)
    ink = BLACK if kind == "P" else WHITE
    canvas.text(middle, middle + 5, number, size=15, anchor="middle", bold=True, fill=ink)
    return canvas.figure(SIZE)


def _draw_warning(canvas: Canvas, number: str) -> None:
    """Draw a warning triangle with a bar and dot of our own, the number along its foot."""
    canvas.polygon([(36, 5), (68, 62), (4, 62)], fill=YELLOW, stroke=BLACK, width=4)
    canvas.path("M36 23L36 36", stroke=BLACK, width=4.5, cap="round")
    canvas.circle((36, 43), 2.6, fill=BLACK, stroke="none")
    canvas.text(36, 58, number, size=11, anchor="middle", bold=True, fill=BLACK)
