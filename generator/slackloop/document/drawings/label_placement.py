"""Where labels of points stand on a plan so that none lies over another, over a symbol or over a line.

Labels in a column beside a drawing, each as near to its height as they can stand.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

CELL = 48.0
AWAY = 1.5
NEAR = 9.0
CROWD = 24.0
FARTHEST = 24.0
MOST_MOVES, MOST_TRIES = 2, 6
PLAIN = 1.0
"""A label is that much nearer its own symbol than any other, at least (drawing units)."""


class _Grid:
    """Finds what is near without looking at everything: things filed by the squares that they touch."""

    def __init__(self) -> None:
        self._squares: dict[tuple[int, int], list[int]] = defaultdict(list)
        self._boxes: list[Box] = []
        self._lines: list[tuple[Point, Point] | None] = []

    def add(self, box: Box, line: tuple[Point, Point] | None = None) -> None:
        """File a box, or a line by its box."""
        for square in _squares(box, line):
            self._squares[square].append(len(self._boxes))
        self._boxes.append(box)
        self._lines.append(line)

    def near(self, box: Box) -> list[tuple[int, Box, tuple[Point, Point] | None]]:
        """Return what is filed in the squares that ``box`` covers, in the order of filing."""
        found = {place for square in _squares(box, None) for place in self._squares.get(square, ())}
        return [(place, self._boxes[place], self._lines[place]) for place in sorted(found)]

    def count_within(self, reach: float, box: Box) -> int:
        """Return how many of what is filed are no farther than ``reach`` from ``box``."""
        wide = box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach
        return sum(gap(each, box) <= reach for _, each, _ in self.near(wide))


def _squares(box: Box, line: tuple[Point, Point] | None) -> Iterator[tuple[int, int]]:
    """Yield the squares of the grid that a box covers, for a line only those that it passes."""
    for column in range(int(box[0] // CELL), int(box[2] // CELL) + 1):
        for row in range(int(box[1] // CELL), int(box[3] // CELL) + 1):
            square = (column * CELL, row * CELL, (column + 1) * CELL, (row + 1) * CELL)
            if line is None or _crosses(square, line):
                yield column, row


def gap(one: Box, other: Box) -> float:
    """Return the distance between two boxes; nothing where they touch."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    return math.hypot(across, max(one[1] - other[3], other[1] - one[3], 0.0))


def _middle(box: Box) -> Point:
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _crosses(box: Box, line: tuple[Point, Point]) -> bool:
    """Return whether a straight line passes through a box (clipping by the box's four sides)."""
    (x, y), (end_x, end_y) = line
    enter, leave = 0.0, 1.0
    for start, change, low, high in ((x, end_x - x, box[0], box[2]), (y, end_y - y, box[1], box[3])):
        if change == 0.0:
            if not low <= start <= high:
                return False
            continue
        first, second = sorted(((low - start) / change, (high - start) / change))
        enter, leave = max(enter, first), min(leave, second)
    return enter <= leave


def place_labels(
    symbols: Sequence[Box],
    widths: Sequence[float],
    size: float,
    lines: Sequence[tuple[Point, Point]],
    frame: Box,
    first: Collection[int] = (),
    cores: Sequence[Box] = (),
    *,
    others: bool = True,
) -> tuple[Point | None, ...]:
    """Return for each symbol where its label's baseline starts, or None where there is no room.

    ``widths`` are the labels' widths and ``size`` their font size; a free place off every line is taken
    first, then one that only crosses lines, each near its symbol before farther off (see ``leader``). No label
    ever lies over a symbol or another label, or as near another symbol as its own, edge or middle; ``cores`` are the
    parts of symbols that count for that. Those of ``first`` go first, then, if ``others``, those where symbols
    crowd; one that finds no room asks those in its way to move.
    """
    marks, over = _Grid(), _Grid()
    for symbol in symbols:
        marks.add(symbol)
    for start, end in lines:
        box = (min(start[0], end[0]), min(start[1], end[1]), max(start[0], end[0]), max(start[1], end[1]))
        over.add((box[0] - 1, box[1] - 1, box[2] + 1, box[3] + 1), (start, end))
    rooms = [
        _Rooms(_rooms(own, symbol, cores or symbols, width, size, marks, over, frame))
        for own, (symbol, width) in enumerate(zip(symbols, widths, strict=True))
    ]
    crowd = [marks.count_within(CROWD, symbol) for symbol in symbols]
    placing = _Placing(rooms)
    wanted = range(len(symbols)) if others else sorted(first)
    for own in sorted(wanted, key=lambda place: (place not in first, -crowd[place], place)):
        placing.place(own, frozenset(), MOST_MOVES)
    return tuple(
        None if room is None else (room[0] + 1, room[1] + size * 0.8) for room in placing.taken
    )


def _rooms(
    own: int, symbol: Box, cores: Sequence[Box], width: float, size: float, marks: _Grid, over: _Grid, frame: Box
) -> Iterator[Box]:
    """Yield the rooms that a label may take beside its symbol, those off every line first."""
    core, reach = cores[own], width + FARTHEST + size
    around = symbol[0] - reach, symbol[1] - reach, symbol[2] + reach, symbol[3] + reach
    others = [(box, cores[place]) for place, box, _ in marks.near(around) if place != own]
    others.sort(key=lambda other: gap(symbol, other[0]))
    lines = [(box, line) for _, box, line in over.near(around) if line is not None]
    crossed = []
    for x, y in _candidates(symbol, width, size):
        box = (x - 1, y - size * 0.8, x + width + 1, y + size * 0.24)
        if frame[0] > box[0] or frame[1] > box[1] or box[2] > frame[2] or box[3] > frame[3]:
            continue
        least = gap(box, core) + PLAIN
        between = math.dist(_middle(box), _middle(core)) + PLAIN
        if any(
            _overlap(box, other) or gap(box, heart) <= least or math.dist(_middle(box), _middle(heart)) <= between
            for other, heart in others
        ):
            continue
        if any(_overlap(box, around_line) and _crosses(box, line) for around_line, line in lines):
            crossed.append(box)
        else:
            yield box
    yield from crossed


class _Rooms:
    """Rooms that are worked out as they are asked for, and kept."""

    def __init__(self, rooms: Iterator[Box]) -> None:
        self._more = rooms
        self._kept: list[Box] = []

    def __iter__(self) -> Iterator[Box]:
        yield from self._kept
        for room in self._more:
            self._kept.append(room)
            yield room


class _Placing:
    """Labels in their rooms; ``taken`` is the room of each, or None."""

    def __init__(self, rooms: Sequence[_Rooms]) -> None:
        self.rooms = rooms
        self.taken: list[Box | None] = [None] * len(rooms)
        self._squares: dict[tuple[int, int], set[int]] = defaultdict(set)

    def place(self, own: int, fixed: frozenset[int], moves: int) -> bool:
        """Give a label its first free room, or one whose holders, but for ``fixed``, can move on; say whether."""
        blocked: list[tuple[Box, int]] = []
        for room in self.rooms[own]:
            holders = self._holders(room)
            if not holders:
                self._take(own, room)
                return True
            if moves and len(holders) == 1 and not holders & fixed:
                blocked.append((room, min(holders)))
        for room, holder in blocked[:MOST_TRIES]:
            before = self.taken[holder]
            self._leave(holder)
            self._take(own, room)
            if self.place(holder, fixed | {own, holder}, moves - 1):
                return True
            self._leave(own)
            if before is not None:
                self._take(holder, before)
        return False

    def _holders(self, room: Box) -> set[int]:
        near = {own for square in _squares(room, None) for own in self._squares.get(square, ())}
        return {own for own in near if (held := self.taken[own]) is not None and _overlap(room, held)}

    def _take(self, own: int, room: Box) -> None:
        self.taken[own] = room
        for square in _squares(room, None):
            self._squares[square].add(own)

    def _leave(self, own: int) -> None:
        room, self.taken[own] = self.taken[own], None
        if room is not None:
            for square in _squares(room, None):
                self._squares[square].discard(own)


def _candidates(symbol: Box, width: float, size: float) -> Iterator[Point]:
    """Yield baselines round a symbol: beside it, above, below, then slid along its sides, then farther off."""
    left, top, right, bottom = symbol
    middle = (left + right) / 2 - width / 2
    level = (top + bottom) / 2 + size * 0.3
    for away in (AWAY, AWAY + 5, AWAY + 12, FARTHEST):
        above, below = top - away - size * 0.24, bottom + away + size * 0.8
        yield right + away, level
        yield left - away - width, level
        yield middle, above
        yield middle, below
        for slid in (-4.0, 4.0, -8.0, 8.0, -12.0, 12.0):
            if abs(slid) <= (bottom - top + size) / 2:
                yield right + away, level + slid
                yield left - away - width, level + slid
        for slid in (-0.25, 0.25, -0.5, 0.5, -0.75, 0.75, -1.0, 1.0):
            x = middle + slid * (width + right - left) / 2
            yield x, above
            yield x, below


def leader(symbol: Box, baseline: Point, width: float, size: float) -> tuple[Point, Point] | None:
    """Return a line from a symbol to its label where they stand too far apart to be read together, else None."""
    box = (baseline[0] - 1, baseline[1] - size * 0.8, baseline[0] + width + 1, baseline[1] + size * 0.24)
    across = max(box[0] - symbol[2], symbol[0] - box[2], 0.0)
    down = max(box[1] - symbol[3], symbol[1] - box[3], 0.0)
    if max(across, down) < NEAR:
        return None
    middle = (symbol[0] + symbol[2]) / 2, (symbol[1] + symbol[3]) / 2
    end = min(max(middle[0], box[0]), box[2]), min(max(middle[1], box[1]), box[3])
    start = min(max(end[0], symbol[0]), symbol[2]), min(max(end[1], symbol[1]), symbol[3])
    return start, end


def spread(targets: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> tuple[float, ...]:
    """Return centres for stacked labels, as near to ``targets`` (rising) as they can stand without overlap.

    Labels stay between ``top`` and ``bottom`` where they fit at all; else they run on below.
    """
    centres: list[float] = []
    floor = top
    for target, height in zip(targets, heights, strict=True):
        centre = max(target, floor + height / 2)
        centres.append(centre)
        floor = centre + height / 2
    ceiling = max(bottom, top + sum(heights))
    for place in range(len(centres) - 1, -1, -1):
        centres[place] = min(centres[place], ceiling - heights[place] / 2)
        ceiling = centres[place] - heights[place] / 2
    return tuple(centres)
