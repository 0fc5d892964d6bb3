"""What the path has room for: spare length at each branch end, and the same path in every other conductor."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.cable.circuit_length import CircuitLengths, tail_length_m
from slackloop.compute.circuit.conductor import Reactance, cable_reactance, loop_ohms_per_m, mains_hz
from slackloop.compute.circuit.feeder import (
    build_feeder,
    build_loads,
    cable_loop_ohms_per_m,
    known_nodes,
    needed_volts,
    ohms_by_cable,
)
from slackloop.compute.circuit.makers_limits import LimitName, makers_limits, room_beyond
from slackloop.compute.circuit.path_volts import try_volts
from slackloop.compute.circuit.power_loads import holds, most_supply_amps
from slackloop.compute.circuit.volts import Feeder, Floats, Loads, with_one_more
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.models import Device, Job
from slackloop.site.network import Network, boxes_in_order
from slackloop.units.conductor_size import ConductorSize, parse_conductor

NEAR_ENOUGH_M = 0.01
SETTLED_VOLTS = 1e-4
"""A run is longer or shorter by far more than this can tell; near collapse it keeps the search short."""
FARTHEST_M = 100_000.0
MOST_ENDS = 60
"""Ends worked out; on a path with more, those with the least volts come first."""


@dataclass(frozen=True)
class SpareEnd:
    """One branch end: how far a new box with ``device`` could stand from it, None where there is no room for it.

    ``stopped_by`` is the maker's limit that stops it there; None where volts or the supply's current do.
    """

    box: str
    device: str
    spare_m: float | None
    stopped_by: LimitName | None = None


@dataclass(frozen=True)
class SizeRow:
    """The whole path in one conductor size: volts at the lowest box, least margin, copper in the ground.

    ``lowest_volts`` and ``margin_volts`` are None where the path has no solution. ``margin_volts`` is the least of
    volts less need over all boxes; ``copper_kg`` counts both cores of all runs with their slack. ``supply_holds`` says
    whether the supply delivers the current, ``limits_hold`` whether the path keeps the makers' limits.
    """

    label: str
    chosen: bool
    lowest_box: str
    lowest_volts: float | None
    margin_volts: float | None
    copper_kg: float
    supply_holds: bool = True
    limits_hold: bool = True

    @property
    def in_range(self) -> bool:
        """Whether every device and solenoid has the volts that it needs."""
        return self.margin_volts is not None and self.margin_volts >= 0

    @property
    def holds(self) -> bool:
        """Whether the path could be built in this size."""
        return self.in_range and self.supply_holds and self.limits_hold


@dataclass(frozen=True)
class Outlook:
    """Spare ends, conductor sizes, and the reactance of each cable that runs use at ``mains_hz``.

    There is no reactance for a dc supply, nor where the frequency is not known.
    """

    ends: tuple[SpareEnd, ...]
    sizes: tuple[SizeRow, ...]
    reactances: tuple[tuple[str, Reactance], ...]
    mains_hz: float | None = None


def outlook(job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths) -> Outlook:
    """Everything at the lowest supply volts, the hottest soil and the largest resistance, for the stations at once."""
    run_cables = sorted({run.cable for run in network.all_runs})
    hottest_c, hertz = job.conditions.soil_temperature.high.si, mains_hz(job, tables.code_bases[job.job.code_basis])
    return Outlook(
        ends=_ends(job, network, tables, lengths),
        sizes=tuple(_size_row(job, network, tables, lengths, size) for size in listed_sizes(tables)),
        reactances=tuple(
            (name, cable_reactance(job.cables[name], cable_loop_ohms_per_m(job.cables[name], tables, hottest_c), hertz))
            for name in run_cables
        )
        if hertz is not None
        else (),
        mains_hz=hertz,
    )


def listed_sizes(tables: ReferenceTables) -> tuple[ConductorSize, ...]:
    """Every conductor size of the tables: AWG from thin to thick, then mm² from thin to thick."""
    gauges = sorted(tables.conductors.awg_sizes, reverse=True)
    areas = sorted(tables.conductors.iec_60228)
    return tuple(parse_conductor(text) for text in (*(f"{g} AWG" for g in gauges), *(f"{a:g} mm2" for a in areas)))


def _ends(
    job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths
) -> tuple[SpareEnd, ...]:
    per_m = ohms_by_cable(job, tables, job.conditions.soil_temperature.high.si)
    feeder, loads = build_feeder(job, network, lengths, per_m), build_loads(job, network)
    needs = needed_volts(job, network, tables)
    at_once, limits = resolve.free_at_once(job), makers_limits(job, network, lengths)
    worst = try_volts(feeder, loads, at_once)
    ends = list(network.ends())
    is_whole = not np.isnan(needs).any() and bool(known_nodes(feeder, loads, max(at_once, 1)).all())
    if worst is not None and is_whole:
        ends = sorted(sorted(ends, key=lambda end: worst[end])[:MOST_ENDS])
    found = []
    for end in ends[:MOST_ENDS]:
        name = _device_near(job, network, end)
        if name is None:
            continue
        spare = None
        room_m, stops = room_beyond(job, network, lengths, limits, end)
        if worst is not None and is_whole:
            ohms_per_m = per_m[network.runs[end].cable]
            joined, slack_m = _one_more_tail(job, feeder, end, ohms_per_m)
            spare = spare_length_m(
                joined, loads, needs, job.supply.limit.si, at_once, end, ohms_per_m, slack_m,
                _new_device(job.devices[name]), room_m,
            )  # fmt: skip
        if not is_whole:
            spare = math.nan
        found.append(SpareEnd(network.boxes[end], name, spare, stops if room_m < 0.0 or spare == room_m else None))
    return tuple(found)


@dataclass(frozen=True)
class NewDevice:
    """The device to be added: amperes with all outputs off and for each output, its outputs, what it needs in volts."""

    standby_a: float
    per_output_a: float
    outputs: int
    least_volts: float
    constant_power: bool


def spare_length_m(
    feeder: Feeder,
    loads: Loads,
    least_volts: Floats,
    limit_a: float,
    at_once: int,
    end: int,
    ohms_per_m: float,
    slack_m: float,
    device: NewDevice,
    most_m: float = FARTHEST_M,
) -> float | None:
    """Metres of run from branch end ``end`` to a new box with ``device``, so that all devices stay in range.

    Every box, old and new, must keep its least volts for any ``at_once`` outputs, and the supply its limit
    ``limit_a`` in amperes. None where the device cannot be added even at the end itself. The volts at the old boxes
    depend on the new device and not on the new length (constant currents), and fall as it grows, so halving finds
    the answer to within a centimetre, rounded down. ``ohms_per_m`` is the loop resistance of the new run,
    ``slack_m`` the slack of its two tails, which counts as wire; the answer is along the trench, without it, and at
    most ``most_m``, where a maker's limit stops it.
    """

    def reaches(length_m: float) -> bool:
        longer = with_one_more(feeder, end, (length_m + slack_m) * ohms_per_m)
        return holds(longer, more, at_once, needs, limit_a, SETTLED_VOLTS)

    more = replace(
        loads,
        standby=np.append(loads.standby, device.standby_a),
        per_output=np.append(loads.per_output, device.per_output_a),
        outputs=np.append(loads.outputs, device.outputs),
        constant_power=np.append(loads.constant_power, device.constant_power),
    )
    needs = np.append(least_volts, device.least_volts)
    if most_m < 0.0 or not reaches(0.0):
        return None
    low, high = 0.0, 64.0
    while high < min(most_m, FARTHEST_M) and reaches(high):
        low, high = high, 2 * high
    if low < most_m <= high and reaches(most_m):
        return most_m
    while high - low > NEAR_ENOUGH_M:
        middle = (low + high) / 2
        low, high = (middle, high) if reaches(middle) else (low, middle)
    return min(low, most_m)


def _one_more_tail(job: Job, feeder: Feeder, end: int, ohms_per_m: float) -> tuple[Feeder, float]:
    """The feeder with one more tail in the box at a branch end, and the slack of the new run's two tails in metres.

    Where slack is shared in a box, the tail that is there gives some of its share to the new one. A branch end has
    one tail, and so has the new box.
    """
    alone_m, shared_m = tail_length_m(job, 1), tail_length_m(job, 2)
    if shared_m == alone_m:
        return feeder, shared_m + alone_m
    run_ohms = feeder.run_ohms.copy()
    run_ohms[end] += (shared_m - alone_m) * ohms_per_m
    return replace(feeder, run_ohms=run_ohms), shared_m + alone_m


def _device_near(job: Job, network: Network, end: int) -> str | None:
    """The device at a branch end, or the nearest one on the way back from it."""
    boxes = boxes_in_order(job, network.boxes)
    while end >= 0:
        if boxes[end].fitted:
            return boxes[end].fitted[0].device
        end = network.parent[end]
    return None


def _new_device(device: Device) -> NewDevice:
    return NewDevice(
        device.standby.si, resolve.per_output_a(device), device.outputs, device.least_volts.si, device.load == "power"
    )


def _size_row(
    job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths, size: ConductorSize
) -> SizeRow:
    own = job.cables[job.path.cable]
    ohms = loop_ohms_per_m(size, own.build, tables, job.conditions.soil_temperature.high.si, "largest")
    feeder = build_feeder(job, network, lengths, dict.fromkeys(job.cables, ohms))
    loads, at_once = build_loads(job, network), resolve.free_at_once(job)
    volts = try_volts(feeder, loads, at_once)
    needs = needed_volts(job, network, tables)
    metres = sum(length.circuit_m for length in lengths.values())
    limits_hold = all(limit.holds for limit in makers_limits(job, network, lengths))
    copper_kg = 2.0 * metres * size.area_mm2 * 1e-6 * tables.copper.density_kg_per_m3
    used = {job.cables[run.cable].conductor.label for run in network.all_runs}
    if volts is None:
        return SizeRow(size.label, used == {size.label}, "", None, None, copper_kg, limits_hold=limits_hold)
    lowest = int(np.argmin(volts[: len(network.boxes)]))
    if np.isnan(volts).any() or np.isnan(needs).any():
        return SizeRow(size.label, used == {size.label}, "", math.nan, math.nan, copper_kg, limits_hold=limits_hold)
    margins = (volts - needs)[needs > 0]
    return SizeRow(
        label=size.label,
        chosen=used == {size.label},
        lowest_box=network.boxes[lowest],
        lowest_volts=float(volts[lowest]),
        margin_volts=float(margins.min()) if len(margins) else None,
        copper_kg=copper_kg,
        supply_holds=most_supply_amps(feeder, loads, at_once, volts) <= job.supply.limit.si,
        limits_hold=limits_hold,
    )
