"""Splices: which conductors meet in each box, and whether the connector takes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.compute.places import boxes_in_order
from slackloop.compute.tails import Tail, box_tails
from slackloop.job import resolve
from slackloop.job.models import Box, Connector, Job
from slackloop.job.quantity import ConductorSize
from slackloop.path.network import Network

LONG_LEAD_M = resolve.LONG_LEAD_M
"""A lead longer than this is a cable of its own, with two more splices at the solenoid (the job format's rule)."""

CORES = ("a", "b")

_WITHIN = 1e-9
"""Copper areas are compared with this relative allowance, for the last bit of floating point only."""


@dataclass(frozen=True)
class Wire:
    """One conductor in a splice: ``area_mm2`` of copper; ``origin`` is plain words such as ``run from B01``."""

    conductor_label: str
    area_mm2: float
    origin: str
    assumed: bool = False


@dataclass(frozen=True)
class Splice:
    """One splice: ``cores`` is ``a``, ``b``, ``station 3 lead a`` or ``station 3 solenoid a``.

    ``area_mm2`` is the copper of all wires together; ``reasons`` says why the connector does not fit.
    """

    cores: str
    colour: str
    wires: tuple[Wire, ...]
    area_mm2: float
    connector: str
    fits: bool
    reasons: tuple[str, ...]

    @property
    def rests_on_assumed_size(self) -> bool:
        """Whether the size of one of its wires is not given by the job but taken from the device's leads."""
        return any(wire.assumed for wire in self.wires)


def misfits(wires: Sequence[Wire], connector: Connector) -> tuple[str, ...]:
    """Reasons why a connector does not take these wires, with the figures; empty where it does.

    Compares each conductor, their number and their total copper (mm²) with the connector's listed ranges.
    """
    reasons: list[str] = []
    low, high = connector.sizes.smallest, connector.sizes.largest
    for label, area in dict.fromkeys((wire.conductor_label, wire.area_mm2) for wire in wires):
        if area < low.area_mm2 * (1.0 - _WITHIN) or area > high.area_mm2 * (1.0 + _WITHIN):
            reasons.append(f"{label} is outside its {low.label} to {high.label}")
    if not connector.wires.low <= len(wires) <= connector.wires.high:
        reasons.append(f"{len(wires)} conductors, and it takes {connector.wires.low} to {connector.wires.high}")
    total = sum(wire.area_mm2 for wire in wires)
    least, most = connector.area.low.si, connector.area.high.si
    if total < least * (1.0 - _WITHIN) or total > most * (1.0 + _WITHIN):
        reasons.append(f"{total:.2f} mm2 of copper together, and it takes {least:g} to {most:g} mm2")
    return tuple(reasons)


def box_splices(job: Job, network: Network) -> tuple[tuple[Splice, ...], ...]:
    """Splices on the path side of each box, in path order: core a and core b where two or more conductors meet.

    The conductors are the box's tails and the device's own lead.
    """
    boxes = boxes_in_order(job, network.boxes)
    return tuple(
        _path_splices(job, box, tails) for box, tails in zip(boxes, box_tails(network), strict=True)
    )  # fmt: skip


def solenoid_splices(job: Job, network: Network) -> tuple[tuple[Splice, ...], ...]:
    """Splices on the solenoid side of each box, in path order.

    Each station takes two at the device, and two more at the solenoid where the lead is longer than 1.5 m.
    """
    return tuple(_station_splices(job, box) for box in boxes_in_order(job, network.boxes))


def _path_splices(job: Job, box: Box, tails: tuple[Tail, ...]) -> tuple[Splice, ...]:
    wires = [_wire(job.cables[tail.run.cable].conductor, tail.origin) for tail in tails]
    if box.device is not None:
        wires.append(_wire(job.devices[box.device].leads.conductor, "device"))
    if len(wires) < 2:
        return ()
    name = resolve.connector(job, box)
    splices: list[Splice] = []
    for core in CORES:
        colours = dict.fromkeys(getattr(job.cables[tail.run.cable].cores, core) for tail in tails)
        splices.append(_splice(job, core, " + ".join(colours), wires, name))
    return tuple(splices)


def _station_splices(job: Job, box: Box) -> tuple[Splice, ...]:
    if box.device is None or not box.stations:
        return ()
    output = job.devices[box.device].leads.conductor
    long_lead = resolve.lead_m(job, box) > LONG_LEAD_M
    cable_name = resolve.lead_cable(job, box) if long_lead else None
    cable = job.cables[cable_name] if cable_name is not None else None
    name = resolve.solenoid_connector(job, box)
    splices: list[Splice] = []
    for station in box.stations:
        solenoid = _solenoid_wire(job, box)
        lead = _wire(cable.conductor, f"lead to station {station}") if cable else None
        if lead is None and long_lead:
            lead = Wire(output.label, output.area_mm2, f"lead to station {station}", assumed=True)
        for core in CORES:
            colour = getattr(cable.cores, core) if cable else ""
            first = [_wire(output, "device"), lead or solenoid]
            splices.append(_splice(job, f"station {station} lead {core}", colour, first, name))
        if lead is not None:
            for core in CORES:
                colour = getattr(cable.cores, core) if cable else ""
                splices.append(_splice(job, f"station {station} solenoid {core}", colour, [lead, solenoid], name))
    return tuple(splices)


def _solenoid_wire(job: Job, box: Box) -> Wire:
    """The solenoid's own lead; taken as the device's lead, and marked as assumed, where the job does not give it."""
    assert box.device is not None
    name = resolve.solenoid(job, box)
    leads = job.solenoids[name].leads if name is not None and name in job.solenoids else None
    size = (leads or job.devices[box.device].leads).conductor
    return Wire(size.label, size.area_mm2, "solenoid", assumed=leads is None)


def _wire(size: ConductorSize, origin: str) -> Wire:
    return Wire(size.label, size.area_mm2, origin)


def _splice(job: Job, cores: str, colour: str, wires: Sequence[Wire], connector: str) -> Splice:
    reasons = misfits(wires, job.connectors[connector])
    return Splice(
        cores=cores,
        colour=colour,
        wires=tuple(wires),
        area_mm2=sum(wire.area_mm2 for wire in wires),
        connector=connector,
        fits=not reasons,
        reasons=reasons,
    )
