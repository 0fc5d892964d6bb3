"""Symbols that drawings share: boxes with their legend, the earth, the ground, dimension lines and scale bars.

The tree of boxes cut into chains: each arm's main line, then every branch in the order that it leaves."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from slackloop.document.drawings.lettering import text_width
from slackloop.document.drawings.svg import INK, SMALL_SIZE, THIN, Canvas, number
from slackloop.site.network import CONTROLLER
from slackloop.units.unit_table import METRES_PER_FOOT, METRES_PER_INCH

FULL = 5.0
"""Half the side of a box with a device."""
HALF = 6.0
"""Half the size of a symbol (drawing units)."""

LEGEND_WORDS = {
    "controller": "controller",
    "device": "box with a device",
    "bare": "box without a device",
    "end": "last box of its line",
    "electrode": "earth electrode",
    "worst": "lowest volts",
    "again": "also drawn elsewhere",
    "closure": "ring closure",
}


def draw_symbol(canvas: Canvas, x: float, y: float, kind: str, *, name: str = "", half: float = FULL) -> None:
    """Draw one symbol of ``LEGEND_WORDS`` centred on x, y; ``half`` makes a box smaller where many stand close."""
    if kind == "controller":
        canvas.rect(x - 8, y - HALF, 16, 2 * HALF, radius=2, width=1.5, name=name)
        canvas.line((x - 4, y - 2), (x + 4, y - 2), width=1.2)
        canvas.circle((x, y + 2.5), 1.3, fill=INK, stroke="none")
    elif kind == "device":
        canvas.rect(x - half, y - half, 2 * half, 2 * half, fill=INK, name=name)
    elif kind == "bare":
        tip = half + 1
        canvas.polygon([(x, y - tip), (x + tip, y), (x, y + tip), (x - tip, y)], width=0.3 * half, name=name)
    elif kind == "end":
        canvas.line((x, y - 8), (x, y + 8), width=2.4, name=name)
    elif kind == "electrode":
        draw_earth_symbol(canvas, x, y - HALF, width=1.3)
    elif kind == "worst":
        canvas.circle((x, y), 9, width=1.5, name=name)
    elif kind == "again":
        canvas.circle((x, y), 5, dash="2 2", name=name)
    elif kind == "closure":
        canvas.line((x - 10, y), (x + 10, y), width=1.5, dash="5 3", name=name)
    else:
        raise ValueError(f"no such symbol: {kind}")


def draw_legend(canvas: Canvas, y: float, kinds: Collection[str]) -> float:
    """Draw a legend of ``kinds``, as many in a row as fit, below ``y``; return where it ends."""
    shown = {kind: word for kind, word in LEGEND_WORDS.items() if kind in kinds}
    widest = max(text_width(word, SMALL_SIZE) for word in shown.values()) + 36
    columns = max(1, int((canvas.width - 4) // widest))
    for place, (kind, word) in enumerate(shown.items()):
        x = 2 + (place % columns) * widest
        middle = y + 11 + (place // columns) * 22
        draw_symbol(canvas, x + 12, middle, kind)
        canvas.text(x + 28, middle + 4, word, size=SMALL_SIZE)
    rows = -(-len(shown) // columns)
    return y + rows * 22


@dataclass(frozen=True)
class Chain:
    """Boxes one after another: ``start`` is the controller or the box that it leaves; ``title`` names it."""

    title: str
    short: str
    start: str
    boxes: tuple[str, ...]


def chains(boxes: Sequence[str], from_id: Mapping[str, str]) -> tuple[Chain, ...]:
    """Cut a tree into chains; at a fork the way with the most boxes in a line goes on, the others are branches.

    ``boxes`` holds ids in path order (each after the box that it comes from); ``from_id`` maps a box to
    the box, or ``controller``, that feeds it. Ties go to the box named first. Arms and branches are
    numbered from 1 in the order drawn, a branch's own branches right after it.
    """
    children: dict[str, list[str]] = {CONTROLLER: []}
    for box in boxes:
        children.setdefault(box, [])
        children[from_id[box]].append(box)
    depth: dict[str, int] = {}
    for box in reversed(boxes):
        depth[box] = 1 + max((depth[child] for child in children[box]), default=0)
    found: list[Chain] = []
    waiting = [(CONTROLLER, root) for root in reversed(children[CONTROLLER])]
    arms = branches = 0
    while waiting:
        start, box = waiting.pop()
        line = [box]
        left_over: list[tuple[str, str]] = []
        while children[line[-1]]:
            here = children[line[-1]]
            onward = max(here, key=lambda child: depth[child])
            left_over.extend((line[-1], child) for child in here if child != onward)
            line.append(onward)
        if start == CONTROLLER:
            arms += 1
            title, short = f"Arm {arms}, from the controller", f"arm {arms}"
        else:
            branches += 1
            title, short = f"Branch {branches}, from {start}", f"branch {branches}"
        found.append(Chain(title, short, start, tuple(line)))
        waiting.extend(reversed(left_over))
    return tuple(found)


def round_length_m(most_m: float) -> float:
    """Return the longest of 1, 2 or 5 times a power of ten that is at most ``most_m`` (metres, above 0)."""
    if not most_m > 0:
        raise ValueError(f"no round length up to {most_m} m")
    power = 10.0 ** math.floor(math.log10(most_m) + 1e-12)
    return next(step * power for step in (5.0, 2.0, 1.0) if step * power <= most_m * (1 + 1e-9))


def both_units(length_m: float) -> str:
    """Return a short length in both unit systems, ``200 mm (7.9 in)`` or ``20 m (66 ft)``, for a scale bar."""
    metric = f"{number(length_m * 1000)} mm" if length_m < 1 else f"{number(length_m)} m"
    feet = length_m / METRES_PER_FOOT
    if length_m < 1:
        return f"{metric} ({length_m / METRES_PER_INCH:.1f} in)"
    return f"{metric} ({feet:.1f} ft)" if feet < 10 else f"{metric} ({feet:,.0f} ft)"


def draw_scale_bar(canvas: Canvas, x: float, y: float, px_per_m: float, room_px: float) -> float:
    """Draw a scale bar of a round length, at most ``room_px`` long, its left end at x, y; return the length in m."""
    length_m = round_length_m(room_px / px_per_m)
    length_px = length_m * px_per_m
    canvas.rect(x, y, length_px, 5, name="scale-bar")
    canvas.rect(x, y, length_px / 2, 5, fill=INK)
    canvas.text(x, y + 18, both_units(length_m), size=SMALL_SIZE)
    return length_m


def _arrow(canvas: Canvas, x: float, y: float, dx: float, dy: float) -> None:
    """Draw a slim arrow head with its point at x, y, pointing along dx, dy (unit vector)."""
    length, half = 6.0, 1.9
    canvas.polygon(
        [
            (x, y),
            (x - dx * length - dy * half, y - dy * length + dx * half),
            (x - dx * length + dy * half, y - dy * length - dx * half),
        ],
        fill=INK,
        stroke="none",
    )


def draw_dimension(
    canvas: Canvas, start: tuple[float, float], end: tuple[float, float], *, name: str, reach: Sequence[float] = ()
) -> None:
    """Draw a dimension line, level or upright, with arrow heads inside (outside when short).

    ``reach`` holds for each end where its extension line starts: x for an upright line, y for a level one.
    """
    upright = start[0] == end[0]
    length = abs(end[1] - start[1]) + abs(end[0] - start[0])
    canvas.line(start, end, name=name, width=0.8)
    sign = 1.0 if length >= 16 else -1.0
    dx, dy = (0.0, 1.0) if upright else (1.0, 0.0)
    for (x, y), way in ((start, -1.0), (end, 1.0)):
        _arrow(canvas, x, y, dx * way * sign, dy * way * sign)
        if sign < 0:
            canvas.line((x, y), (x + dx * way * 12, y + dy * way * 12), width=0.8)
    for (x, y), begin in zip((start, end), reach, strict=False):
        if upright:
            canvas.line((begin, y), (x + math.copysign(4, x - begin), y), width=0.5)
        else:
            canvas.line((x, begin), (x, y + math.copysign(4, y - begin)), width=0.5)


def draw_ground(canvas: Canvas, left: float, right: float, y: float, *, name: str = "ground") -> None:
    """Draw finished grade from left to right at height ``y``, with short strokes under it."""
    if right <= left:
        return
    canvas.line((left, y), (right, y), width=1.8, name=name)
    x = left + 4
    while x + 2 < right:
        canvas.line((x, y + 1), (x - 4 if x - 4 > left else left, y + 6), width=0.7)
        x += 9


def draw_earth_symbol(canvas: Canvas, x: float, y: float, *, width: float = THIN) -> None:
    """Draw the common symbol for an earth electrode (IEC 60617): a stem from x, y and three bars, each shorter."""
    canvas.line((x, y), (x, y + 4), width=width)
    for step, half in enumerate((6.0, 4.0, 2.0)):
        canvas.line((x - half, y + 4 + 3 * step), (x + half, y + 4 + 3 * step), width=width)
