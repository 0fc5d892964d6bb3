"""Loop readings of the job: what a meter at the controller shows with the pair shorted at a box, and what passes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.circuit.conductor import at_temperature, ideal_ohms_per_m, loop_ohms_per_m
from slackloop.compute.circuit.loop_limits import LoopLimit, LoopRule, MeterError, soil_steps
from slackloop.compute.circuit.loop_network import LoopNetwork, loop_network
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.models import Cable, Job
from slackloop.site.network import CONTROLLER, Network
from slackloop.units.unit_table import KELVIN_OF_F


@dataclass(frozen=True)
class LoopReading:
    """Loop resistance at one place, ohm: at 20 °C, coldest and hottest, and what passes at each soil temperature.

    ``rule`` gives the limits at any other.
    """

    ohms_20c: float
    ohms_cold: float
    ohms_hot: float
    limits: tuple[LoopLimit, ...]
    rule: LoopRule


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


def meter_error(job: Job) -> MeterError:
    """The error of the job's loop meter."""
    return MeterError(*resolve.meter_error(job))


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
            tuple(map(rule.at, steps)),
            rule,
        )

    return reading


def box_index(network: Network, box_id: str) -> int:
    """Place of a box in path order; -1 for the controller."""
    return -1 if box_id == CONTROLLER else network.index[box_id]
