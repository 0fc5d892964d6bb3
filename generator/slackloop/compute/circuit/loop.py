"""Loop readings of the job: what a meter at the controller shows with the pair shorted at a box, and what passes.

Limits of a loop reading: from the soil temperature of the day, the job's tolerance and the meter's own error.

Loop resistances of a network seen from the controller: on a tree the sum of the runs, with rings less.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.circuit.conductor import at_temperature, ideal_ohms_per_m, loop_ohms_per_m
from slackloop.compute.circuit.tree_drops import along_path
from slackloop.reference.tables import ReferenceTables
from slackloop.site.effective_values import MeterError, meter_error
from slackloop.site.models import Cable, Job
from slackloop.site.network import CONTROLLER, Network
from slackloop.units.unit_table import KELVIN_OF_F

FEW_DEGREES, MANY_DEGREES = 1.0, 12.0
"""Soil that hardly changes has one row of limits; one that changes by ``MANY_DEGREES`` or more has five, else three."""


@dataclass(frozen=True)
class LoopLimit:
    """What a meter should read at one soil temperature (°C), and the least and most that pass, ohm."""

    celsius: float
    expected_ohms: float
    low_ohms: float
    high_ohms: float


@dataclass(frozen=True)
class LoopRule:
    """What the limits at one place are worked out from, whatever the soil temperature.

    ``expected_20c`` in ohm at 20 °C, ``tolerance`` a fraction, ``alpha_per_c`` copper's coefficient. Where what is
    expected is a maximum (mm² sizes, IEC 60228), ``least_20c`` is what copper of the nominal area alone comes to, and
    the low limit is never above that: a good cable lies anywhere between the two.
    """

    expected_20c: float
    tolerance: float
    meter: MeterError
    alpha_per_c: float
    least_20c: float | None = None

    def at(self, celsius: float) -> LoopLimit:
        """Limits at one soil temperature: expected there × (1 ± ``tolerance``), and the meter's error on either side.

        3 ohm at 20 °C, 10 %, 1 % and 0.05 ohm: 2.623 ohm to 3.383 ohm."""
        expected = at_temperature(self.expected_20c, celsius, self.alpha_per_c)
        low, high = expected * (1.0 - self.tolerance), expected * (1.0 + self.tolerance)
        if self.least_20c is not None:
            low = min(low, at_temperature(self.least_20c, celsius, self.alpha_per_c))
        return LoopLimit(celsius, expected, max(low - self.meter.of(low), 0.0), high + self.meter.of(high))

    def repeat_ohms(self, celsius: float) -> float:
        """How far a second reading in the same soil, °C, may be from the first, ohm: the meter's error of both.

        At the least that passes there, where the error is least, so that it holds for all that pass."""
        return 2.0 * self.meter.of(self.at(celsius).low_ohms)


def soil_steps(coldest_c: float, hottest_c: float, degree_c: float = 1.0) -> tuple[float, ...]:
    """Soil temperatures to give limits at, °C: from the coldest to the hottest, three or five of them.

    Those between are whole degrees of ``degree_c`` each (1 for °C, 5/9 for °F).
    """
    span = hottest_c - coldest_c
    if span < FEW_DEGREES:
        return (hottest_c,) if span <= 0 else (coldest_c, hottest_c)
    steps = 4 if span >= MANY_DEGREES else 2
    between = (coldest_c + span * n / steps for n in range(1, steps))
    whole = [coldest_c + round((each - coldest_c) / degree_c) * degree_c for each in between]
    return tuple(dict.fromkeys((coldest_c, *whole, hottest_c)))


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
    tree = along_path(parent, np.array(run_ohms)).tolist()
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


@dataclass(frozen=True)
class LoopReading:
    """Loop resistance at one place, ohm: at 20 °C, coldest and hottest, and what passes at each soil temperature.

    ``rule`` gives the limits at any other.
    """

    ohms_20c: float
    ohms_cold: float
    ohms_hot: float
    rule: LoopRule
    soil_c: tuple[float, ...]

    @cached_property
    def limits(self) -> tuple[LoopLimit, ...]:
        """What passes at each soil temperature of ``soil_c``, °C."""
        return tuple(map(self.rule.at, self.soil_c))


@dataclass(frozen=True)
class LoopReadings:
    """Readings of one job. ``closed`` and ``opened`` are by box in path order, ``closures`` by closing run.

    ``closed`` has every ring closed; ``opened`` every ring open at the ``to`` end of its closing run, as while the path
    is laid; the two are the same without rings. ``closures`` is the reading at the ``to`` end of each closing run
    before that end is joined.
    """

    closed: tuple[LoopReading, ...]
    opened: tuple[LoopReading, ...]
    closures: tuple[LoopReading, ...]


@dataclass(frozen=True)
class LoopOhms:
    """Loop ohms a metre of circuit at 20 °C: of nominal copper alone, expected, and the largest that may be."""

    least: float
    expected: float
    largest: float


def cable_loop_ohms(cable: Cable, tables: ReferenceTables) -> LoopOhms:
    """The least, expected and largest loop resistance of one cable, ohms a metre at 20 °C.

    Expected is nominal for AWG and the limit of IEC 60228 for mm² sizes. That limit is a maximum: the least is then
    what copper of the nominal area comes to by itself.
    """
    expected = loop_ohms_per_m(cable.conductor, cable.build, tables)
    copper = 2.0 * ideal_ohms_per_m(cable.conductor.area_mm2, tables.copper.conductivity_m_per_ohm_mm2)
    least = expected if cable.conductor.system == "AWG" else min(copper, expected)
    largest = loop_ohms_per_m(cable.conductor, cable.build, tables, basis="largest")
    return LoopOhms(least, expected, largest)


def job_network(
    network: Network, lengths: CircuitLengths, ohms_per_m: dict[str, float], opened: bool
) -> LoopNetwork:
    """The circuit lengths as loop resistances, ohm; ``ohms_per_m`` is by cable name.

    With the rings ``opened`` each closing run is a branch of its own: its loose end comes after the boxes, in the
    order of the closing runs.
    """
    ohms = {run.id: lengths[run.id].circuit_m * ohms_per_m[run.cable] for run in network.all_runs}
    along = [ohms[run.id] for run in network.runs]
    ends = [(box_index(network, run.from_id), box_index(network, run.to_id), ohms[run.id]) for run in network.closures]
    if opened:
        starts = [start for start, _, _ in ends]
        return loop_network((*network.parent, *starts), (*along, *(each for _, _, each in ends)))
    return loop_network(network.parent, along, ends)


def readings(job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths) -> LoopReadings:
    """What a meter at the controller shows with the pair shorted at each box and at the loose end of a closing run.

    The pair is open at the controller and no device is connected; the meter's own leads are taken off.
    """
    cables = {name: cable_loop_ohms(cable, tables) for name, cable in job.cables.items()}

    reading = _reader(job, tables)

    def every(opened: bool) -> tuple[LoopReading, ...]:
        expected = job_network(network, lengths, {name: each.expected for name, each in cables.items()}, opened)
        least = job_network(network, lengths, {name: each.least for name, each in cables.items()}, opened)
        return tuple(map(reading, expected.ohms, least.ohms))

    opened, count = every(True), len(network.boxes)
    return LoopReadings(every(False) if network.closures else opened, opened[:count], opened[count:])


def _reader(job: Job, tables: ReferenceTables) -> Callable[[float, float], LoopReading]:
    """What gives a reading of the job for the expected and the least ohms at 20 °C."""
    alpha, soil = tables.copper.alpha_per_c, job.conditions.soil_temperature
    tolerance, meter = job.rules.tests.loop_tolerance.si, meter_error(job)
    steps = soil_steps(soil.low.si, soil.high.si, float(KELVIN_OF_F) if job.job.units == "us" else 1.0)

    def reading(ohms_20c: float, least_20c: float) -> LoopReading:
        rule = LoopRule(ohms_20c, tolerance, meter, alpha, least_20c)
        return LoopReading(
            ohms_20c,
            at_temperature(ohms_20c, soil.low.si, alpha),
            at_temperature(ohms_20c, soil.high.si, alpha),
            rule,
            steps,
        )

    return reading


def box_index(network: Network, box_id: str) -> int:
    """Place of a box in path order; -1 for the controller."""
    return -1 if box_id == CONTROLLER else network.index[box_id]
