"""Lines of trenches or pipes as a network, with each place joined to the nearest spot on it; lengths in metres."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    import networkx as nx

Floats = NDArray[np.float64]

TOUCH_M = 0.5
"""A line that ends this near to another one is joined to it: drawn lines seldom meet to the centimetre."""
SAME_M = 0.001
SAME_PLACE_M = 0.05
"""Places nearer than this are one: from one to the other nobody goes by the lines."""
CHUNK = 64
"""Places looked at together, near one another: only pieces near all of them are compared."""

MOST_CROSSINGS = 100_000
"""Most places where pieces cross or touch: a site of streets has some hundred."""

Spot = tuple[str, int, int]
"""A node of the network: a spot to the millimetre, or ``("place", i, 0)`` for a place that is joined."""


class TooManyCrossings(Exception):
    """Lines that cross one another more often than is read."""


def place_node(index: int) -> Spot:
    """The node of the place number ``index``."""
    return ("place", index, 0)


class LineNetwork:
    """The network of some lines: ``graph`` with the length ``m`` of each edge; ``off_m`` how far each place is off it.

    Lines are joined where they cross or touch, and where one ends within ``TOUCH_M`` of another. A place has a node of
    its own, with an edge to the nearest spot as long as the way there. Raises ``TooManyCrossings``.
    """

    def __init__(self, lines: list[Floats], places: Floats) -> None:
        starts = [line[i] for line in lines for i in range(len(line) - 1)]
        ends = [line[i + 1] for line in lines for i in range(len(line) - 1)]
        self._one, self._other = np.array(starts).reshape(-1, 2), np.array(ends).reshape(-1, 2)
        self._along = self._other - self._one
        self._square = np.maximum((self._along**2).sum(axis=1), 1e-12)
        self._cuts: dict[int, set[float]] = defaultdict(set)
        self._joints: list[tuple[Floats, int, float]] = []
        self._cross()
        self._touch(lines)
        self.off_m = np.zeros(len(places))
        self._feet: list[tuple[int, float]] = [(0, 0.0)] * len(places)
        for some in _near_one_another(places):
            pieces, parts, self.off_m[some] = self._nearest(places[some])
            for index, piece, part in zip(some.tolist(), pieces.tolist(), parts.tolist(), strict=True):
                self._feet[index] = (piece, part)
        for piece, part in self._feet:
            self._cuts[piece].add(part)
        self.graph = self._graph(places)

    def _cross(self) -> None:
        """Cut pieces where they cross or touch one another; pieces of one direction meet at their ends alone."""
        crossings = 0
        low = np.minimum(self._one, self._other) - SAME_M
        high = np.maximum(self._one, self._other) + SAME_M
        for i in range(len(self._one) - 1):
            near = np.flatnonzero(
                (low[i + 1 :] <= high[i]).all(axis=1) & (high[i + 1 :] >= low[i]).all(axis=1)
            ) + (i + 1)  # fmt: skip
            if not len(near):
                continue
            here, there = self._along[i], self._along[near]
            turn = here[0] * there[:, 1] - here[1] * there[:, 0]
            between = self._one[near] - self._one[i]
            with np.errstate(divide="ignore", invalid="ignore"):
                mine = (between[:, 0] * there[:, 1] - between[:, 1] * there[:, 0]) / turn
                theirs = (between[:, 0] * here[1] - between[:, 1] * here[0]) / turn
            slip_i = SAME_M / np.sqrt(self._square[i])
            slip = SAME_M / np.sqrt(self._square[near])
            meets = (mine >= -slip_i) & (mine <= 1 + slip_i) & (theirs >= -slip) & (theirs <= 1 + slip)
            crossings += int(meets.sum())
            if crossings > MOST_CROSSINGS:
                raise TooManyCrossings
            for j, part, part_there in zip(near[meets], mine[meets], theirs[meets], strict=True):
                self._cuts[i].add(min(max(float(part), 0.0), 1.0))
                self._cuts[int(j)].add(min(max(float(part_there), 0.0), 1.0))

    def _touch(self, lines: list[Floats]) -> None:
        """Join each end of a line to the nearest piece of another line, where that is near."""
        owner = np.repeat(np.arange(len(lines)), [len(line) - 1 for line in lines])
        for number, line in enumerate(lines):
            for end in (line[0], line[-1]):
                away, part = self._away(end[None])
                away[0, owner == number] = np.inf
                piece = int(away[0].argmin())
                if away[0, piece] <= TOUCH_M:
                    self._cuts[piece].add(float(part[0, piece]))
                    self._joints.append((end, piece, float(part[0, piece])))

    def _away(self, places: Floats, pieces: NDArray[np.int64] | None = None) -> tuple[Floats, Floats]:
        """Distance from each place to each piece, and how far along the piece the nearest spot is, 0 to 1."""
        chosen = slice(None) if pieces is None else pieces
        one, along, square = self._one[chosen], self._along[chosen], self._square[chosen]
        from_one = places[:, None, :] - one[None]
        part = np.clip((from_one * along).sum(axis=2) / square, 0.0, 1.0)
        return np.linalg.norm(from_one - part[:, :, None] * along, axis=2), part

    def _nearest(self, places: Floats) -> tuple[NDArray[np.int64], Floats, Floats]:
        """The nearest piece of each place: near enough to their middle that no other can be nearer to one of them."""
        middle = places.mean(axis=0)
        reach = float(np.hypot(*(places - middle).T).max())
        from_middle = self._away(middle[None])[0][0]
        near = np.flatnonzero(from_middle <= from_middle.min() + 2 * reach + SAME_M)
        away, part = self._away(places, near)
        nearest = away.argmin(axis=1)
        row = np.arange(len(places))
        return near[nearest], part[row, nearest], away[row, nearest]

    def _spot(self, piece: int, part: float) -> tuple[Spot, Floats]:
        at = self._one[piece] + part * self._along[piece]
        return _node(at), at

    def _graph(self, places: Floats) -> nx.Graph[Any]:
        import networkx as nx

        graph: nx.Graph[Any] = nx.Graph()
        for piece in range(len(self._one)):
            before, last = self._spot(piece, 0.0)
            for part in sorted({*self._cuts.get(piece, ()), 1.0}):
                node, at = self._spot(piece, part)
                if node != before:
                    _join(graph, before, node, float(np.hypot(*(at - last))))
                before, last = node, at
        for end, piece, part in self._joints:
            node, at = self._spot(piece, part)
            if node != _node(end):
                _join(graph, _node(end), node, float(np.hypot(*(at - end))))
        for index, (piece, part) in enumerate(self._feet):
            _join(graph, place_node(index), self._spot(piece, part)[0], float(self.off_m[index]))
        first: dict[tuple[int, ...], int] = {}
        for index, at in enumerate(np.round(places / SAME_PLACE_M).astype(np.int64).tolist()):
            other = first.setdefault(tuple(at), index)
            if other != index:
                _join(graph, place_node(other), place_node(index), float(np.hypot(*(places[index] - places[other]))))
        return graph


def _near_one_another(places: Floats) -> Iterator[NDArray[np.int64]]:
    """Numbers of places, a few at a time that lie in one square."""
    low, high = places.min(axis=0), places.max(axis=0)
    side = max(float((high - low).max()) / max(np.sqrt(len(places) / CHUNK), 1.0), SAME_M)
    square = ((places - low) / side).astype(np.int64)
    order = np.lexsort((square[:, 0], square[:, 1]))
    ends = np.flatnonzero((np.diff(square[order], axis=0) != 0).any(axis=1)) + 1
    for some in np.split(order, ends):
        yield from (some[start : start + CHUNK] for start in range(0, len(some), CHUNK))


def _node(at: Floats) -> Spot:
    return ("spot", round(float(at[0]) / SAME_M), round(float(at[1]) / SAME_M))


def _join(graph: nx.Graph[Any], one: Spot, other: Spot, metres: float) -> None:
    """An edge; where there is one already, the shorter of the two."""
    known = graph.get_edge_data(one, other)
    if known is None or known["m"] > metres:
        graph.add_edge(one, other, m=metres)
