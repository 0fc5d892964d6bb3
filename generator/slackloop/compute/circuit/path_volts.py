"""The job's volts: what each box sees, what the supply delivers, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.circuit.feeder import (
    DeviceNode,
    build_feeder,
    build_loads,
    device_nodes,
    filled,
    known_nodes,
    least_volts,
    needed_volts,
    ohms_by_cable,
)
from slackloop.compute.circuit.power_loads import (
    NoSolution,
    most_at_once,
    most_supply_amps,
    tightened_volts,
    worst_volts,
)
from slackloop.compute.circuit.rings import Break, break_table, ring_runs, runs_tried
from slackloop.compute.circuit.volts import Feeder, Floats, Loads
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import EXACT, MeterError
from slackloop.site.models import Job
from slackloop.site.network import JobPlaces, Network
from slackloop.source.finding import Finding
from slackloop.units.figure import amps, is_unknown, stated, volts


@dataclass(frozen=True)
class VoltsAnswer:
    """Volts at each box in path order, at the lowest supply volts, the hottest soil and the largest resistance.

    ``standby_volts`` with nothing running but what always runs; ``worst_volts`` the lowest for any choice of running
    outputs. Slack in the boxes counts as wire. None throughout where the path has no solution.
    ``terminal_volts`` are those at the controller's path terminals with nothing running but what always runs.
    """

    standby_volts: tuple[float | None, ...]
    worst_volts: tuple[float | None, ...]
    constant_power: bool
    terminal_volts: float | None = None


def least_at_controller(answer: VoltsAnswer, meter: MeterError) -> float | None:
    """The least volts that a meter may show at the controller's terminals with all outputs off; None where no figure.
    """
    volts = answer.terminal_volts
    return None if volts is None or is_unknown(volts) else meter.least_shown(volts)


@dataclass(frozen=True)
class OffLimit:
    """What volts read at a box with all outputs off must come to, by what was read at the controller; volts.

    ``most_below`` is how far under the reading at the controller they may be, ``meter`` says how far above it.
    ``unread`` is the least where nobody read that, ``floor`` what the device needs, 0 where there is none.
    """

    most_below: float
    unread: float
    floor: float = 0.0
    meter: MeterError = EXACT

    def least(self, controller: float | None) -> float:
        """The least volts that pass, without what subtraction leaves behind the ninth decimal."""
        return max(self.unread if controller is None else round(controller - self.most_below, 9), self.floor)


def off_limit(terminal_volts: float, box_volts: float, meter: MeterError, floor: float = 0.0) -> OffLimit:
    """The limit of a reading at a box with all outputs off, from the volts there and at the controller's terminals.

    Both are those at the lowest supply volts, the hottest soil and the largest conductor resistance, so their
    difference is the most that the devices' own current can lose on the way (Kirchhoff's laws). A meter may show too
    much at the controller and too little at the box: a good path reads at most that drop and both errors below. The
    errors are taken at the lowest volts, where they are smallest. 36 V and 35.7 V, 1 % and 0.1 V: 1.217 V below.
    """
    errors = sum(volts - meter.least_shown(volts) for volts in (terminal_volts, box_volts))
    return OffLimit(terminal_volts - box_volts + errors, meter.least_shown(box_volts), floor, meter)


@dataclass(frozen=True)
class SupplyAnswer:
    """What the supply delivers, amperes, and how many stations may run at once; None where that is not known."""

    standby_a: float | None
    worst_a: float | None
    most_stations_at_once: int | None


@dataclass(frozen=True)
class PathVolts:
    """Everything about volts, with the findings and each broken ring run by its id."""

    volts: VoltsAnswer
    supply: SupplyAnswer
    breaks: tuple[tuple[str, Break], ...]
    findings: tuple[Finding, ...]


def solve_path(job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths) -> PathVolts:
    """Volts of the whole path at its worst (see ``VoltsAnswer``), and the findings that follow."""
    ohms_per_m = ohms_by_cable(job, tables, job.conditions.soil_temperature.high.si)
    nodes = device_nodes(network)
    feeder, loads = build_feeder(job, network, lengths, ohms_per_m, nodes), build_loads(job, network, nodes)
    needs, device_needs = needed_volts(job, network, tables, nodes), least_volts(nodes)
    at_once = resolve.free_at_once(job)
    standby = try_volts(feeder, loads, 0)
    worst = try_volts(feeder, loads, at_once)
    limit_a = job.supply.limit.si
    is_whole = not np.isnan(needs).any() and bool(known_nodes(feeder, loads, max(at_once, 1)).all())
    supply = SupplyAnswer(
        standby_a=None if standby is None else most_supply_amps(feeder, loads, 0, standby),
        worst_a=None if worst is None else most_supply_amps(feeder, loads, at_once, worst),
        most_stations_at_once=most_at_once(feeder, loads, needs, limit_a, resolve.all_always_on(job))
        if is_whole
        else None,
    )
    tried = runs_tried(feeder, loads, at_once) if feeder.links and is_whole else ()
    breaks = break_table(feeder, loads, at_once, needs, tried)
    untried = 0 if not is_whole else len(ring_runs(feeder.parent, feeder.links)) - len(tried)
    named_breaks = tuple(_named(each, network, nodes) for each in breaks)
    answer = VoltsAnswer(
        standby_volts=_listed(standby, network),
        worst_volts=_listed(worst, network),
        constant_power=bool(loads.constant_power.any()),
        terminal_volts=None if supply.standby_a is None
        else feeder.supply_volts - feeder.source_ohms * supply.standby_a,
    )  # fmt: skip
    findings = (
        *_box_findings(job, network, worst, device_needs, nodes),
        *_supply_findings(job, supply, sum(len(box.station_numbers) for box in job.path.boxes)),
        *_break_findings(network, named_breaks),
        *_untried_findings(len(tried), untried),
    )
    return PathVolts(answer, supply, named_breaks, findings)


def try_volts(feeder: Feeder, loads: Loads, at_once: int) -> Floats | None:
    """Lowest volts at each box for any ``at_once`` outputs, None where the path has no solution.

    Not a number where they rest on a fact that nobody knows (see ``unknown_loads``).
    """
    known = known_nodes(feeder, loads, at_once)
    if not known.all():
        if not known.any():
            return np.full(len(known), np.nan)
        volts = try_volts(*filled(feeder, loads), at_once)
        return None if volts is None else np.where(known, volts, np.nan)
    feeder, loads = filled(feeder, loads)
    try:
        if at_once and loads.constant_power.any():
            return tightened_volts(feeder, loads, at_once)
        return worst_volts(feeder, loads, at_once)
    except NoSolution:
        return None


def _listed(volts: Floats | None, network: Network) -> tuple[float | None, ...]:
    """Volts at the boxes, without the nodes of further devices in them."""
    return (None,) * len(network.boxes) if volts is None else tuple(volts[: len(network.boxes)].tolist())


def _named(each: Break, network: Network, nodes: Sequence[DeviceNode]) -> tuple[str, Break]:
    """A broken run with its id, and its boxes in path order instead of nodes."""
    count = len(network.boxes)
    run = each.run if each.run < count else each.run - (len(nodes) - count)
    lowest = None if each.lowest_box is None else nodes[each.lowest_box].box
    short = tuple(sorted({nodes[i].box for i in each.short_boxes}))
    return network.all_runs[run].id, replace(each, run=run, lowest_box=lowest, short_boxes=short)


def _box_findings(
    job: Job, network: Network, worst: Floats | None, needs: Floats, nodes: Sequence[DeviceNode]
) -> list[Finding]:
    if worst is None:
        return [
            Finding("error", "volts-collapse",
                    f"with {job.supply.stations_at_once} stations at once the path has no volts that can be relied on: "
                    "constant-power devices take more current as volts fall, so here the volts go on falling",
                    ("supply", "stations_at_once"),
                    hint="use a larger conductor, shorter branches, or fewer stations at once")
        ]  # fmt: skip
    places, units = JobPlaces(job), job.job.units
    least: dict[str, str] = {}
    findings: dict[str, Finding] = {}
    short = np.flatnonzero((needs > 0) & (worst < needs)).tolist()
    for i in sorted(short, key=lambda node: (nodes[node].box, -float(needs[node]))):
        box, placed = network.boxes[nodes[i].box], nodes[i].placed
        assert placed is not None
        if box in findings:
            continue
        if placed.kind not in least:
            least[placed.kind] = stated(placed.device.least_volts, "least").brief(units)
        findings[box] = Finding(
            "error",
            "volts-low",
            f"{box} gets {volts(worst[i], 'lowest').brief(units)} at worst; its {placed.device.title} needs "
            f"{least[placed.kind]}",
            places.box(box),
            box,
            hint="use a larger conductor before that box, fewer stations at once, or another route",
        )
    return list(findings.values())


def _supply_findings(job: Job, supply: SupplyAnswer, total_outputs: int) -> list[Finding]:
    findings, units = [], job.job.units
    if supply.worst_a is not None and supply.worst_a > job.supply.limit.si:
        findings.append(
            Finding("error", "supply-over", f"the path may take {amps(supply.worst_a, 'highest').brief(units)} with "
                    f"{job.supply.stations_at_once} stations at once; the controller delivers "
                    f"{stated(job.supply.limit, 'most').brief(units)}", ("supply", "limit"),
                    hint=f"operate at most {supply.most_stations_at_once} at once")
        )  # fmt: skip
    if job.supply.stations_at_once > total_outputs:
        findings.append(
            Finding("note", "stations-beyond-path",
                    f"stations_at_once is {job.supply.stations_at_once}, but the path has {total_outputs} stations: "
                    "the worst case is all of them", ("supply", "stations_at_once"))
        )  # fmt: skip
    return findings


def _break_findings(network: Network, breaks: tuple[tuple[str, Break], ...]) -> list[Finding]:
    failing = [(run, each) for run, each in breaks if not each.holds]
    if not failing:
        return []
    run, worst = failing[0]
    if worst.lowest_box is None or worst.lowest_volts is None:
        what = "the path then has no volts that can be relied on"
    else:
        lowest = volts(worst.lowest_volts, "lowest").alone("metric")
        what = f"{network.boxes[worst.lowest_box]} is then lowest with {lowest}"
    return [
        Finding(
            "warning",
            "ring-break-fails",
            f"the ring passes whole, but with one run broken {len(failing)} of {len(breaks)} breaks leave a device or "
            f"a solenoid with too few volts; worst is run {run}: {what}",
            ("path", "ring_closures"),
            hint="do not count on the ring to cover a break, or use a larger conductor",
            asks="the designer",
        )
    ]


def _untried_findings(tried: int, untried: int) -> list[Finding]:
    if not untried:
        return []
    which = f"the {tried} that carry most current were broken" if tried else "none was broken"
    return [
        Finding("warning", "ring-breaks-untried",
                f"the rings have {tried + untried} runs, too many to break each in turn: {which}; what a break of any "
                "other does is not known", ("path", "ring_closures"),
                hint="do not count on the rings to cover a break, or close fewer of them",
                asks="the designer")
    ]  # fmt: skip
