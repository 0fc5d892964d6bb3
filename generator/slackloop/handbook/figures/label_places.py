"""Where labels of points stand on a plan so that none lies over another, over a symbol or over a line."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

CELL = 48.0
AWAY = 2.5
NEAR = 9.0


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

    def hits(self, box: Box) -> bool:
        """Return whether anything filed touches ``box``."""
        near = {place for square in _squares(box, None) for place in self._squares.get(square, ())}
        return any(
            _overlap(box, self._boxes[place]) and (line is None or _crosses(box, line))
            for place in near
            for line in (self._lines[place],)
        )


def _squares(box: Box, line: tuple[Point, Point] | None) -> Iterator[tuple[int, int]]:
    """Yield the squares of the grid that a box covers, for a line only those that it passes."""
    for column in range(int(box[0] // CELL), int(box[2] // CELL) + 1):
        for row in range(int(box[1] // CELL), int(box[3] // CELL) + 1):
            square = (column * CELL, row * CELL, (column + 1) * CELL, (row + 1) * CELL)
            if line is None or _crosses(square, line):
                yield column, row


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
) -> tuple[Point | None, ...]:
    """Return for each symbol where its label's baseline starts, or None where there is no room.

    ``widths`` are the labels' widths and ``size`` their font size; a free place off every line is taken
    first, then one that only crosses lines, then one farther off (see ``leader``). No label ever lies
    over a symbol or another label.
    """
    taken, over = _Grid(), _Grid()
    for symbol in symbols:
        taken.add(symbol)
    for start, end in lines:
        box = (min(start[0], end[0]), min(start[1], end[1]), max(start[0], end[0]), max(start[1], end[1]))
        over.add((box[0] - 1, box[1] - 1, box[2] + 1, box[3] + 1), (start, end))
    found: list[Point | None] = []
    for symbol, width in zip(symbols, widths, strict=True):
        fallback: tuple[Point, Box] | None = None
        chosen: tuple[Point, Box] | None = None
        for baseline in _candidates(symbol, width, size):
            box = (baseline[0] - 1, baseline[1] - size * 0.8, baseline[0] + width + 1, baseline[1] + size * 0.24)
            inside = frame[0] <= box[0] and frame[1] <= box[1] and box[2] <= frame[2] and box[3] <= frame[3]
            if not inside or taken.hits(box):
                continue
            if not over.hits(box):
                chosen = (baseline, box)
                break
            fallback = fallback or (baseline, box)
        chosen = chosen or fallback
        if chosen:
            taken.add(chosen[1])
        found.append(chosen[0] if chosen else None)
    return tuple(found)


def _candidates(symbol: Box, width: float, size: float) -> Iterator[Point]:
    """Yield baselines round a symbol: beside it, above, below, at its corners, then a little farther off."""
    left, top, right, bottom = symbol
    middle = (left + right) / 2 - width / 2
    level = (top + bottom) / 2 + size * 0.3
    for away in (AWAY, AWAY + 5, AWAY + 14, AWAY + 24, AWAY + 36):
        above, below = top - away - size * 0.1, bottom + away + size * 0.72
        yield right + away, level
        yield left - away - width, level
        yield middle, above
        yield middle, below
        for x in (right - 2, left + 2 - width):
            yield x, above
            yield x, below
        for y in (top + size * 0.4, bottom):
            yield right + away, y
            yield left - away - width, y


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
