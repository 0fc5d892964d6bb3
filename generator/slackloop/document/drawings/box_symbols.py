"""Symbols for boxes on diagrams and plans, each told by its shape, and the legend that names them.

The tree of boxes cut into chains: each arm's main line, then every branch in the order that it leaves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from slackloop.document.drawings.lettering import text_width
from slackloop.document.drawings.measured import draw_earth_symbol
from slackloop.document.drawings.svg import INK, SMALL_SIZE, Canvas

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


def draw_legend(canvas: Canvas, y: float, kinds: Sequence[str]) -> float:
    """Draw a legend of ``kinds``, as many in a row as fit, below ``y``; return where it ends."""
    words = [LEGEND_WORDS[kind] for kind in kinds]
    widest = max(text_width(word, SMALL_SIZE) for word in words) + 36
    columns = max(1, int((canvas.width - 4) // widest))
    for place, (kind, word) in enumerate(zip(kinds, words, strict=True)):
        x = 2 + (place % columns) * widest
        middle = y + 11 + (place // columns) * 22
        draw_symbol(canvas, x + 12, middle, kind)
        canvas.text(x + 28, middle + 4, word, size=SMALL_SIZE)
    rows = -(-len(kinds) // columns)
    return y + rows * 22


CONTROLLER = "controller"


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
