"""What the path has room for: spare length at each branch end, and the same path in every other conductor."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.circuit import build_feeder, build_loads, cable_loop_ohms_per_m, least_volts, ohms_by_cable
from slackloop.compute.circuit_length import circuit_lengths
from slackloop.compute.conductor import loop_ohms_per_m
from slackloop.compute.path_volts import try_volts
from slackloop.compute.places import boxes_in_order
from slackloop.compute.reactance import Reactance, cable_reactance
from slackloop.compute.spare_length import NewDevice, spare_length_m
from slackloop.compute.tails import tail_length_m
from slackloop.compute.volts import Feeder
from slackloop.job import resolve
from slackloop.job.models import Device, Job
from slackloop.path.network import Network
from slackloop.reference.tables import ReferenceTables
from slackloop.units.quantity import ConductorSize, parse_conductor

MOST_ENDS = 60
"""Ends worked out; on a path with more, those with the least volts come first."""


@dataclass(frozen=True)
class SpareEnd:
    """One branch end: how far a new box with ``device`` could stand from it, None where there is no room for it."""

    box: str
    device: str
    spare_m: float | None


@dataclass(frozen=True)
class SizeRow:
    """The whole path in one conductor size: volts at the lowest box, least margin, copper in the ground.

    ``lowest_volts`` and ``margin_volts`` are None where the path has no solution. ``margin_volts`` is the least of
    volts less need over all devices; ``copper_kg`` counts both cores of all runs with their slack.
    """

    label: str
    chosen: bool
    lowest_box: str
    lowest_volts: float | None
    margin_volts: float | None
    copper_kg: float

    @property
    def holds(self) -> bool:
        """Whether every device stays in range."""
        return self.margin_volts is not None and self.margin_volts >= 0


@dataclass(frozen=True)
class Outlook:
    """Spare ends, conductor sizes, and the reactance of each cable that runs use; empty for a dc supply."""

    ends: tuple[SpareEnd, ...]
    sizes: tuple[SizeRow, ...]
    reactances: tuple[tuple[str, Reactance], ...]


def outlook(job: Job, network: Network, tables: ReferenceTables) -> Outlook:
    """Everything at the hottest soil, for the job's own stations at once."""
    run_cables = sorted({run.cable for run in network.all_runs})
    hottest_c = job.conditions.soil_temperature.high.si
    reactances = tuple(
        (name, cable_reactance(job.cables[name], cable_loop_ohms_per_m(job.cables[name], tables, hottest_c)))
        for name in run_cables
    )
    return Outlook(
        ends=_ends(job, network, tables),
        sizes=tuple(_size_row(job, network, tables, size) for size in listed_sizes(tables)),
        reactances=reactances if job.supply.current == "ac" else (),
    )


def listed_sizes(tables: ReferenceTables) -> tuple[ConductorSize, ...]:
    """Every conductor size of the tables: AWG from thin to thick, then mm² from thin to thick."""
    gauges = sorted(tables.conductors.awg_sizes, reverse=True)
    areas = sorted(tables.conductors.iec_60228)
    return tuple(parse_conductor(text) for text in (*(f"{g} AWG" for g in gauges), *(f"{a:g} mm2" for a in areas)))


def _ends(job: Job, network: Network, tables: ReferenceTables) -> tuple[SpareEnd, ...]:
    per_m = ohms_by_cable(job, tables, job.conditions.soil_temperature.high.si)
    feeder, loads = build_feeder(job, network, per_m), build_loads(job, network)
    needs = least_volts(job, network)
    at_once = job.supply.stations_at_once
    worst = try_volts(feeder, loads, at_once)
    ends = list(network.ends())
    if worst is not None:
        ends = sorted(sorted(ends, key=lambda end: worst[end])[:MOST_ENDS])
    found = []
    for end in ends[:MOST_ENDS]:
        name = _device_near(job, network, end)
        if name is None:
            continue
        spare = None
        if worst is not None:
            ohms_per_m = per_m[network.runs[end].cable]
            joined, slack_m = _one_more_tail(job, feeder, end, ohms_per_m)
            spare = spare_length_m(
                joined, loads, needs, job.supply.limit.si, at_once, end, ohms_per_m, slack_m,
                _new_device(job.devices[name]),
            )  # fmt: skip
        found.append(SpareEnd(network.boxes[end], name, spare))
    return tuple(found)


def _one_more_tail(job: Job, feeder: Feeder, end: int, ohms_per_m: float) -> tuple[Feeder, float]:
    """The feeder with one more tail in the box at a branch end, and the slack of the new run's two tails in metres.

    Where slack is shared in a box, the tail that is there gives some of its share to the new one. A branch end has
    one tail, and so has the new box.
    """
    alone_m, shared_m = tail_length_m(job, 1), tail_length_m(job, 2)
    run_ohms = feeder.run_ohms.copy()
    run_ohms[end] += (shared_m - alone_m) * ohms_per_m
    return replace(feeder, run_ohms=run_ohms), shared_m + alone_m


def _device_near(job: Job, network: Network, end: int) -> str | None:
    """The device at a branch end, or the nearest one on the way back from it."""
    boxes = boxes_in_order(job, network.boxes)
    while end >= 0:
        if boxes[end].device:
            return boxes[end].device
        end = network.parent[end]
    return None


def _new_device(device: Device) -> NewDevice:
    return NewDevice(
        device.standby.si, resolve.per_output_a(device), device.outputs, device.least_volts.si, device.load == "power"
    )


def _size_row(job: Job, network: Network, tables: ReferenceTables, size: ConductorSize) -> SizeRow:
    own = job.cables[job.path.cable]
    ohms = loop_ohms_per_m(size, own.build, tables, job.conditions.soil_temperature.high.si)
    feeder = build_feeder(job, network, dict.fromkeys(job.cables, ohms))
    volts = try_volts(feeder, build_loads(job, network), job.supply.stations_at_once)
    needs = least_volts(job, network)
    metres = sum(length.circuit_m for length in circuit_lengths(job, network).values())
    copper_kg = 2.0 * metres * size.area_mm2 * 1e-6 * tables.copper.density_kg_per_m3
    used = {job.cables[run.cable].conductor.label for run in network.all_runs}
    if volts is None:
        return SizeRow(size.label, used == {size.label}, "", None, None, copper_kg)
    lowest = int(np.argmin(volts))
    margins = (volts - needs)[needs > 0]
    return SizeRow(
        label=size.label,
        chosen=used == {size.label},
        lowest_box=network.boxes[lowest],
        lowest_volts=float(volts[lowest]),
        margin_volts=float(margins.min()) if len(margins) else None,
        copper_kg=copper_kg,
    )
