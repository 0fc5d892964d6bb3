"""How cores run from cable ends to the two splices of a box without lying along each other.

How a core whose colour is named in words is drawn.

The table turns plain English words into a colour for the drawing. It is drawing data only and never a default for a
job: the word on the reel always stands beside the wire. Colours may look alike in grey, so core a also has bars across
it and core b has none, and each end of a wire carries its letter.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from slackloop.document.drawings.svg import INK, Canvas, Point, number

CoreLine = tuple[tuple[Point, ...], str]
"""The first points of a core on its way to a splice, and its colour word."""
Cores = tuple[list[CoreLine], list[CoreLine]]
Letters = tuple[list[Point], list[Point]]
"""Where the letters of cores a and b stand."""

PITCH = 17.0
"""From one wire to the next in a connector's mouth (drawing units)."""
APART = 7.0
"""Least distance between level stretches of two wires."""
BETWEEN = 8.0
"""Room between two connectors."""
STEP = 3.0
BADGE = 8.0
"""Half the size of a letter on a wire."""
REACH = 30


def routes(
    cores: Sequence[CoreLine], centre: float, lane: float, pitch: float, mouth_x: float
) -> tuple[tuple[Point, ...], ...]:
    """Return the points of each core's way: level to a lane of its own, up or down it, level into the mouth.

    ``cores`` come from top to bottom and enter a mouth centred on height ``centre`` in the same order; lanes
    start at ``lane``. Those that go down take their lanes from the outside in, so that none crosses another.
    """
    count = len(cores)
    mouths = [centre + (place - (count - 1) / 2) * PITCH for place in range(count)]
    down = sum(1 for (points, _), mouth in zip(cores, mouths, strict=True) if points[-1][1] <= mouth)
    found = []
    for place, ((points, _), mouth) in enumerate(zip(cores, mouths, strict=True)):
        own = lane + pitch * (down - 1 - place if place < down else place)
        found.append((*points, (own, points[-1][1]), (own, mouth), (mouth_x, mouth)))
    return tuple(found)


def place_splices(
    cores: tuple[Sequence[CoreLine], Sequence[CoreLine]],
    lanes: tuple[float, float],
    pitch: float,
    x: float,
    height: float,
    top: float,
    bottom: float,
) -> tuple[float, float]:
    """Return the heights of splices a and b, half way between ``top`` and ``bottom`` or as near as wires allow.

    Places are tried from the middle outwards until no wire lies along another; the first of the best wins.
    """
    step = height + BETWEEN
    highest = top + height / 2 + 2
    first = max((top + bottom) / 2 - step / 2, highest)
    best, fewest = (first, first + step), None
    for shift, gap in _shifts():
        a = first + shift
        b = a + step + gap
        if a < highest:
            continue
        ways = [
            way
            for each, centre, lane in zip(cores, (a, b), lanes, strict=True)
            for way in routes(each, centre, lane, pitch, x)
        ]
        count = clashes(ways)
        if fewest is None or count < fewest:
            best, fewest = (a, b), count
        if count == 0:
            break
    return best


def _shifts() -> Iterator[tuple[float, float]]:
    """Yield shifts of both splices and extra room between them, the smallest first."""
    for size in range(REACH):
        for gap in range(size + 1):
            shift = (size - gap) * STEP
            yield shift, gap * STEP
            if shift:
                yield -shift, gap * STEP


def clashes(ways: Sequence[Sequence[Point]]) -> int:
    """Return how many pairs of level or upright stretches of different wires lie along each other."""
    stretches = [(place, start, end) for place, way in enumerate(ways) for start, end in pairwise(way)]
    count = 0
    for axis in (0, 1):
        straight = sorted(
            (start[1 - axis], min(start[axis], end[axis]), max(start[axis], end[axis]), place)
            for place, start, end in stretches
            if start[1 - axis] == end[1 - axis]
        )
        for index, (level, low, high, place) in enumerate(straight):
            for other_level, other_low, other_high, other in straight[index + 1 :]:
                if other_level - level >= APART:
                    break
                if other != place and min(high, other_high) > max(low, other_low):
                    count += 1
    return count


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


def draw_like_wires(canvas: Canvas, data: str, word: str, core: str, name: str) -> None:
    """The same for wires of one core and colour together, their path data kept once."""
    paint, defined = core_paint(word), canvas.define(name, data)
    canvas.use(defined, INK, CASING_WIDTH)
    canvas.use(defined, paint.base, CORE_WIDTH)
    if paint.band:
        canvas.use(defined, paint.band, CORE_WIDTH, STRIPE)
    if core == "a":
        canvas.use(defined, hatch_colour(word), CORE_WIDTH, HATCH)


def draw_letters(canvas: Canvas, letters: Letters) -> None:
    """A letter on each end of each wire: ink on white for a, white on ink for b; one shape and one text a letter."""
    for letter, places, fill, ink in (("a", letters[0], "#ffffff", "#000000"), ("b", letters[1], "#000000", "#ffffff")):
        r, across, back = number(BADGE), number(2 * BADGE), number(-2 * BADGE)
        data = "".join(
            f"M{number(x - BADGE)} {number(y)}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 {back} 0z" for x, y in places
        )
        edge = INK if letter == "b" else "#000000"  # a black disc on a dark page keeps its edge
        canvas.element("path", name=f"letters-{letter}", d=data, fill=fill, stroke=edge, stroke_width=1.3)
        canvas.letters(letter, places, size=12, fill=ink)
