"""Splices: which conductors meet in each box, and whether the connector takes them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import PlacedDevice, PlacedStation
from slackloop.site.models import Box, Cable, Connector, Job
from slackloop.site.network import Network, Tail, boxes_in_order, spliced_boxes
from slackloop.units.conductor_size import ConductorSize
from slackloop.units.figure import Figure, is_unknown, written

CORES = ("a", "b")

_WITHIN = 1e-9
"""Copper areas are compared with this relative allowance, for the last bit of floating point only."""


class Wire(NamedTuple):
    """One conductor in a splice: ``area_mm2`` of copper; ``origin`` is plain words such as ``run from B01``.

    ``colour`` is that of its own cable's core; empty for a device's, solenoid's or surge part's lead.
    """

    conductor_label: str
    area_mm2: float
    origin: str
    assumed: bool = False
    colour: str = ""


class Splice(NamedTuple):
    """One splice: ``cores`` is ``a``, ``b``, ``station 3 lead a`` or ``station 3 solenoid a``.

    ``area_mm2`` is the copper of all wires together; ``reasons`` says why the connector does not fit.
    ``fits`` is None where that is not known, since nobody knows the size of one of the wires.
    """

    cores: str
    colour: str
    wires: tuple[Wire, ...]
    area_mm2: float
    connector: str
    fits: bool | None
    reasons: tuple[str, ...]

    @property
    def rests_on_assumed_size(self) -> bool:
        """Whether the size of one of its wires is not given by the job but taken from the device's leads."""
        return any(wire.assumed for wire in self.wires)


_Joint = tuple[tuple[Wire, ...], float, str, bool | None, tuple[str, ...]]
"""What a splice is besides its cores and colour, in the order of its fields."""


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
        copper = Figure(total, "area", "highest" if total > most else "lowest").alone("metric")
        reasons.append(f"{copper} of copper together, and it takes {written(connector.area.text)}")
    return tuple(reasons)


def box_splices(job: Job, network: Network, electrode_boxes: Collection[str] = ()) -> tuple[tuple[Splice, ...], ...]:
    """Splices on the path side of each box, in path order: core a and core b where two or more conductors meet.

    The conductors are the box's tails and each device's own lead; at a box of ``electrode_boxes`` also a lead of the
    surge part, where the job states one. In an existing box that no new tail enters nothing is spliced.
    """
    splicer, made = _Splicer(job), spliced_boxes(job, network)
    boxes = boxes_in_order(job, network.boxes)
    met = zip(boxes, network.tails, network.devices, strict=True)
    return tuple(
        splicer.path(box, tails, devices, box.id in electrode_boxes) if box.id in made else ()
        for box, tails, devices in met
    )


def solenoid_splices(job: Job, network: Network) -> tuple[tuple[Splice, ...], ...]:
    """Splices on the solenoid side of each box, in path order.

    Each station takes two at the device, and two more at the solenoid where the lead is longer than 1.5 m. Those of an
    existing box are there already.
    """
    splicer, boxes = _Splicer(job), boxes_in_order(job, network.boxes)
    met = zip(boxes, network.devices, strict=True)
    return tuple(() if box.existing else splicer.stations(box, devices) for box, devices in met)


class _Splicer:
    """Makes the splices of one job's boxes; remembers which combinations its connectors take."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._reasons: dict[tuple[str, ...], tuple[str, ...]] = {}
        self._met: dict[tuple[str, tuple[str, ...], tuple[str, ...], bool], tuple[Splice, ...]] = {}
        """Core a and core b by connector, cables of the tails, devices, and whether a surge part is there."""
        self._wires: dict[str, Wire] = {}
        self._short: dict[tuple[str, str | None, str], _Joint] = {}
        """What meets at an output without a long lead, by device, solenoid and connector: the same at each of them."""

    def path(
        self, box: Box, tails: Sequence[Tail], devices: Sequence[PlacedDevice], electrode: bool
    ) -> tuple[Splice, ...]:
        """Core a and core b of a box, or nothing where fewer than two conductors meet."""
        surge_part = self._job.rules.earthing.surge_part if electrode else None
        if len(tails) + len(devices) + (surge_part is not None) < 2:
            return ()
        cables, kinds = tuple([tail.run.cable for tail in tails]), tuple([each.kind for each in devices])
        key = (resolve.connector(self._job, box), cables, kinds, surge_part is not None)
        if key not in self._met:
            leads = [self._device_wire(each) for each in devices]
            leads += [_wire(surge_part.leads.conductor, "surge part")] if surge_part is not None else []
            self._met[key] = tuple([self._core(core, tails, leads, key[0]) for core in CORES])
        return tuple([_of_these_tails(splice, tails) for splice in self._met[key]])

    def _core(self, core: str, tails: Sequence[Tail], leads: Sequence[Wire], connector: str) -> Splice:
        """One core of a box: the ends of its tails, then the leads."""
        ends = [_core_wire(self._job.cables[tail.run.cable], core, tail.origin) for tail in tails]
        return self._splice(core, " + ".join(dict.fromkeys(wire.colour for wire in ends)), [*ends, *leads], connector)

    def stations(self, box: Box, devices: Sequence[PlacedDevice]) -> tuple[Splice, ...]:
        """Two splices a station at the device, and two at the solenoid of a long lead."""
        name = resolve.solenoid_connector(self._job, box)
        found: list[Splice] = []
        for placed in devices:
            for station in placed.stations:
                found += self._station(placed, station, name)
        return tuple(found)

    def _station(self, placed: PlacedDevice, station: PlacedStation, connector: str) -> list[Splice]:
        output, number = placed.device.leads.conductor, station.number
        if not station.has_long_lead:
            joint = self._short_lead(placed, station, connector)
            return [Splice(f"station {number} lead {core}", "", *joint) for core in CORES]
        cable = self._job.cables[station.lead_cable] if station.lead_cable is not None else None
        solenoid = _solenoid_wire(self._job, placed, station)
        splices: list[Splice] = []
        for core in CORES:
            first = [self._device_wire(placed), _lead_wire(cable, core, output, number)]
            splices.append(self._splice(f"station {number} lead {core}", _colour(cable, core), first, connector))
        for core in CORES:
            last = [_lead_wire(cable, core, output, number), solenoid]
            splices.append(self._splice(f"station {number} solenoid {core}", _colour(cable, core), last, connector))
        return splices

    def _device_wire(self, placed: PlacedDevice) -> Wire:
        """The device's own lead, the same at each of its kind."""
        if placed.kind not in self._wires:
            self._wires[placed.kind] = _wire(placed.device.leads.conductor, "device")
        return self._wires[placed.kind]

    def _short_lead(self, placed: PlacedDevice, station: PlacedStation, connector: str) -> _Joint:
        """The device's lead and the solenoid's, which meet where the lead between them is no cable of its own."""
        key = (placed.kind, station.solenoid, connector)
        if key not in self._short:
            wires = [self._device_wire(placed), _solenoid_wire(self._job, placed, station)]
            self._short[key] = self._joint(wires, connector)
        return self._short[key]

    def _splice(self, cores: str, colour: str, wires: Sequence[Wire], connector: str) -> Splice:
        return Splice(cores, colour, *self._joint(wires, connector))

    def _joint(self, wires: Sequence[Wire], connector: str) -> _Joint:
        key = (connector, *[wire.conductor_label for wire in wires])
        reasons = self._reasons.get(key)
        if reasons is None:
            reasons = self._reasons[key] = misfits(wires, self._job.connectors[connector])
        area_mm2 = sum([wire.area_mm2 for wire in wires])
        fits = None if is_unknown(area_mm2) and not reasons else not reasons
        return tuple(wires), area_mm2, connector, fits, reasons


def _colour(cable: Cable | None, core: str) -> str:
    """Colour of a core as printed on the reel; empty where no cable is named."""
    if cable is None:
        return ""
    return cable.cores.a if core == "a" else cable.cores.b


def _of_these_tails(like: Splice, tails: Sequence[Tail]) -> Splice:
    """A splice of the same cables and leads in another box, whose tails come from and go to other places."""
    ends = [
        Wire(wire.conductor_label, wire.area_mm2, tail.origin, wire.assumed, wire.colour)
        for wire, tail in zip(like.wires, tails, strict=False)
    ]
    wires = (*ends, *like.wires[len(ends) :])
    return Splice(like.cores, like.colour, wires, like.area_mm2, like.connector, like.fits, like.reasons)


def _core_wire(cable: Cable, core: str, origin: str) -> Wire:
    """One core of a cable's end."""
    return Wire(cable.conductor.label, cable.conductor.area_mm2, origin, colour=_colour(cable, core))


def _lead_wire(cable: Cable | None, core: str, output: ConductorSize, station: int) -> Wire:
    """The core of a long lead; taken as the device's lead, and marked as assumed, where no cable is named for it."""
    size = cable.conductor if cable is not None else output
    return Wire(size.label, size.area_mm2, f"lead to station {station}", cable is None, _colour(cable, core))


def _solenoid_wire(job: Job, placed: PlacedDevice, station: PlacedStation) -> Wire:
    """The solenoid's own lead; taken as the device's lead, and marked as assumed, where the job does not give it."""
    leads = job.solenoids[station.solenoid].leads if station.solenoid is not None else None
    size = (leads or placed.device.leads).conductor
    return Wire(size.label, size.area_mm2, "solenoid", assumed=leads is None)


def _wire(size: ConductorSize, origin: str) -> Wire:
    return Wire(size.label, size.area_mm2, origin)
