"""Loop readings: what a meter at the controller shows with the pair shorted at a box, and the reverse."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slackloop.compute.circuit.circuit_length import CircuitLength, circuit_lengths
from slackloop.compute.circuit.conductor import at_temperature, loop_ohms_per_m
from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Job
from slackloop.site.network import CONTROLLER, Network, Run


@dataclass(frozen=True)
class LoopReading:
    """Loop resistance at one box, ohm: at 20 °C, coldest, hottest, and the band that passes."""

    ohms_20c: float
    ohms_cold: float
    ohms_hot: float
    low_ohms: float
    high_ohms: float


@dataclass(frozen=True)
class ShortPlace:
    """A stretch of one run where a short would give a reading; metres along the run from ``from_id``."""

    run_id: str
    from_id: str
    to_id: str
    nearest_m: float
    likely_m: float | None
    farthest_m: float


@dataclass(frozen=True)
class LoopNetwork:
    """Loop resistances of a path, closures included, seen from the controller's terminals.

    ``ohms`` is the resistance at each box. ``shared`` gives the resistance that two boxes share.
    Arrays follow the boxes in path order; ``parent`` is -1 at the controller.
    """

    parent: tuple[int, ...]
    tree_ohms: tuple[float, ...]
    ohms: tuple[float, ...]
    corrections: tuple[tuple[tuple[float, ...], float], ...]

    def shared(self, i: int, j: int) -> float:
        """Loop resistance that the ways to boxes i and j share, ohm; -1 is the controller."""
        if i < 0 or j < 0:
            return 0.0
        tree = _shared_tree(self.parent, self.tree_ohms, i, j)
        return tree - sum(column[i] * column[j] / ohms for column, ohms in self.corrections)


def loop_network(
    parent: Sequence[int], run_ohms: Sequence[float], closures: Sequence[tuple[int, int, float]] = ()
) -> LoopNetwork:
    """Loop resistances from the run resistances, ohm.

    ``parent[i]`` (shape n, parents before children, -1 the controller) feeds box i over ``run_ohms[i]``;
    each closure is (box, box, ohm), -1 the controller. Without closures a reading is the sum of the runs.
    Each closure adds a rank-one correction (Sherman and Morrison): with d(x) the difference of what x shares
    with the closure's two ends, Z(i,j) falls by d(i)·d(j) ÷ (r + d(end 1) − d(end 2)). Exact for any number
    of closures.
    """
    tree: list[float] = []
    for above, ohms in zip(parent, run_ohms, strict=True):
        tree.append((tree[above] if above >= 0 else 0.0) + ohms)
    columns = np.array(
        [np.subtract(_column(parent, tree, one), _column(parent, tree, two)) for one, two, _ in closures]
    ).reshape(len(closures), len(tree))
    reading = np.array(tree)
    corrections: list[tuple[tuple[float, ...], float]] = []
    for n, (one, two, ohms) in enumerate(closures):
        column = columns[n].tolist()
        total = ohms + _at(column, one) - _at(column, two)
        corrections.append((tuple(column), total))
        reading -= columns[n] ** 2 / total
        shares = [(_at(column, first) - _at(column, second)) / total for first, second, _ in closures[n + 1 :]]
        columns[n + 1 :] -= np.outer(shares, columns[n])
    return LoopNetwork(tuple(parent), tuple(tree), tuple(reading.tolist()), tuple(corrections))


def reading(ohms_20c: float, coldest_c: float, hottest_c: float, tolerance: float, alpha_per_c: float) -> LoopReading:
    """One reading: copper at 20 °C, coldest and hottest soil (°C), and the band widened by ``tolerance`` (fraction)."""
    cold, hot = (at_temperature(ohms_20c, celsius, alpha_per_c) for celsius in (coldest_c, hottest_c))
    return LoopReading(ohms_20c, cold, hot, cold * (1.0 - tolerance), hot * (1.0 + tolerance))


def job_loops(job: Job, network: Network, tables: ReferenceTables) -> LoopNetwork:
    """Loop resistances of the job's circuit lengths at 20 °C, ohm, closing runs joined; no source resistance."""
    lengths = circuit_lengths(job, network)
    per_m = {name: loop_ohms_per_m(cable.conductor, cable.build, tables) for name, cable in job.cables.items()}
    return loop_network(
        network.parent,
        [lengths[run.id].circuit_m * per_m[run.cable] for run in network.runs],
        [
            (_index(network, run.from_id), _index(network, run.to_id), lengths[run.id].circuit_m * per_m[run.cable])
            for run in network.closures
        ],
    )


def readings(job: Job, network: Network, tables: ReferenceTables) -> tuple[LoopReading, ...]:
    """What a meter at the controller shows with the pair shorted at each box, in path order.

    The pair is open at the controller and no device is connected; the meter's own leads are taken off.
    """
    temperature, tolerance = job.conditions.soil_temperature, job.rules.tests.loop_tolerance.si
    return tuple(
        reading(ohms, temperature.low.si, temperature.high.si, tolerance, tables.copper.alpha_per_c)
        for ohms in job_loops(job, network, tables).ohms
    )


def places_of_short(
    job: Job, network: Network, tables: ReferenceTables, loop_ohms: float, celsius: float | None = None
) -> tuple[ShortPlace, ...]:
    """Where on the path a short would give ``loop_ohms`` at the controller, in path order.

    ``celsius`` is the soil temperature on the day. Left out, the band of each place is that of the coldest and
    hottest soil, and ``likely_m`` is for the soil half way between (None where the reading falls on the run only
    at an extreme). A resistance in the short itself reads as a place farther away.
    """
    loops = job_loops(job, network, tables)
    coldest, hottest = job.conditions.soil_temperature.low.si, job.conditions.soil_temperature.high.si
    over = (hottest, (coldest + hottest) / 2.0, coldest) if celsius is None else (celsius,) * 3
    at_20c = [loop_ohms / at_temperature(1.0, each, tables.copper.alpha_per_c) for each in over]
    per_m = {name: loop_ohms_per_m(cable.conductor, cable.build, tables) for name, cable in job.cables.items()}
    lengths = circuit_lengths(job, network)
    found: list[ShortPlace] = []
    for run in network.all_runs:
        for piece in _rising_pieces(loops, network, run, lengths[run.id].circuit_m * per_m[run.cable]):
            place = _place_on(piece, run, lengths[run.id], at_20c)
            if place is not None:
                found.append(place)
    return tuple(found)


@dataclass(frozen=True)
class _Piece:
    """A stretch of a run, t from ``start`` to ``stop`` (0 to 1), on which a + b·t + c·t² only rises or falls."""

    start: float
    stop: float
    a: float
    b: float
    c: float

    def ohms(self, t: float) -> float:
        return self.a + self.b * t + self.c * t * t


def _rising_pieces(loops: LoopNetwork, network: Network, run: Run, ohms: float) -> tuple[_Piece, ...]:
    """Readings along a run: (1−t)²·Z11 + t²·Z22 + 2t(1−t)·Z12 + t(1−t)·r, cut at its turning point."""
    one, two = _index(network, run.from_id), _index(network, run.to_id)
    z11, z22, z12 = loops.shared(one, one), loops.shared(two, two), loops.shared(one, two)
    b = -2.0 * z11 + 2.0 * z12 + ohms
    c = z11 + z22 - 2.0 * z12 - ohms
    if abs(c) < 1e-12 * max(ohms, 1e-12):
        return (_Piece(0.0, 1.0, z11, b, 0.0),)
    turn = -b / (2.0 * c)
    if not 0.0 < turn < 1.0:
        return (_Piece(0.0, 1.0, z11, b, c),)
    return (_Piece(0.0, turn, z11, b, c), _Piece(turn, 1.0, z11, b, c))


def _place_on(piece: _Piece, run: Run, length: CircuitLength, at_20c: Sequence[float]) -> ShortPlace | None:
    """The stretch of a piece whose readings lie between the first and last of three values, ohm at 20 °C."""
    low, middle, high = at_20c
    first, last = piece.ohms(piece.start), piece.ohms(piece.stop)
    if high < min(first, last) or low > max(first, last):
        return None
    ends = sorted(_where(piece, min(max(value, min(first, last)), max(first, last))) for value in (low, high))
    inside = min(first, last) <= middle <= max(first, last)
    return ShortPlace(
        run_id=run.id,
        from_id=run.from_id,
        to_id=run.to_id,
        nearest_m=length.trench_m(ends[0] * length.circuit_m),
        likely_m=length.trench_m(_where(piece, middle) * length.circuit_m) if inside else None,
        farthest_m=length.trench_m(ends[1] * length.circuit_m),
    )


def _where(piece: _Piece, ohms: float) -> float:
    """The t of a piece at which the reading is ``ohms`` (which lies on the piece)."""
    if piece.c == 0.0:
        t = (ohms - piece.a) / piece.b if piece.b else piece.start
    else:
        root = math.sqrt(max(piece.b**2 - 4.0 * piece.c * (piece.a - ohms), 0.0))
        roots = [(-piece.b + sign * root) / (2.0 * piece.c) for sign in (1.0, -1.0)]
        t = min(roots, key=lambda r: abs(min(max(r, piece.start), piece.stop) - r))
    return min(max(t, piece.start), piece.stop)


def _index(network: Network, box_id: str) -> int:
    return -1 if box_id == CONTROLLER else network.index[box_id]


def _at(column: Sequence[float], i: int) -> float:
    return column[i] if i >= 0 else 0.0


def _column(parent: Sequence[int], tree: Sequence[float], end: int) -> list[float]:
    """What every box shares with ``end`` along the tree, ohm."""
    on_way: set[int] = set()
    while end >= 0:
        on_way.add(end)
        end = parent[end]
    shared: list[float] = []
    for i, above in enumerate(parent):
        shared.append(tree[i] if i in on_way else (shared[above] if above >= 0 else 0.0))
    return shared


def _shared_tree(parent: Sequence[int], tree: Sequence[float], i: int, j: int) -> float:
    """Loop resistance from the controller to the last box that the ways to i and j both pass."""
    while i != j:
        if i > j:
            i = parent[i]
        else:
            j = parent[j]
    return tree[i] if i >= 0 else 0.0
