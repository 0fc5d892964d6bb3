"""How cores run from cable ends to the two splices of a box without lying along each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from slackloop.document.drawings.svg import Point

CoreLine = tuple[tuple[Point, ...], str]
"""The first points of a core on its way to a splice, and its colour word."""

PITCH = 17.0
"""From one wire to the next in a connector's mouth (drawing units)."""
APART = 7.0
"""Least distance between level stretches of two wires."""
BETWEEN = 8.0
"""Room between two connectors."""
STEP = 3.0
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
