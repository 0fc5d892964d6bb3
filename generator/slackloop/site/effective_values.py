"""What holds for a box, its devices and stations once the path's own values are taken where they name none."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from slackloop.site.models import Box, Device, Job, RingClosure
from slackloop.site.plain_fields import CONTROLLER
from slackloop.site.valve_boxes import Station
from slackloop.source.finding import At
from slackloop.units.figure import Figure
from slackloop.units.quantity import Quantity

DEFAULT_LEAD_M = 1.0
"""Length of a lead that is not given, in m: the job format's default."""
LONG_LEAD_M = 1.5
"""A lead longer than this has splices at the solenoid and needs a cable of its own: the job format's rule."""
SAME_M = 1e-6
"""Lengths closer than this are the same length."""
DEFAULT_DETOUR = 0.05
"""Added to straight lines where the job states no detour, as a fraction: the job format's default."""
DEFAULT_METER_FRACTION = 0.01
DEFAULT_METER_OHMS = 0.05
DEFAULT_METER_VOLTS = 0.1
"""Error of a meter that the job does not state, a part of the reading with ohms or volts: the job format's defaults."""


@dataclass(frozen=True)
class MeterError:
    """How far a meter may read from the truth: ``fraction`` of the reading, and ``fixed`` besides, in ohms or volts."""

    fraction: float
    fixed: float

    def of(self, reading: float) -> float:
        """The error at a reading."""
        return self.fraction * reading + self.fixed

    def least_shown(self, value: float) -> float:
        """The least that it may show of a value."""
        return value - self.fraction * value - self.fixed

    def most_after(self, reading: float) -> float:
        """The most that it may show of no more than what it showed as ``reading``: one too low, one too high.

        (36 + 0.1) ÷ 0.99 × 1.01 + 0.1 = 36.93 V after 36 V at 1 % and 0.1 V, to the ninth decimal."""
        low, high = 1.0 - self.fraction, 1.0 + self.fraction
        return round((reading + self.fixed) / low * high + self.fixed, 9) if low > 0.0 else math.inf


EXACT = MeterError(0.0, 0.0)
"""A meter that reads the truth."""


def meter_error(job: Job) -> MeterError:
    """The error of the job's loop meter, ohms."""
    meter = job.rules.tests.meter
    percent, ohms = (meter.percent, meter.ohms) if meter else (None, None)
    return MeterError(
        DEFAULT_METER_FRACTION if percent is None else percent.si, DEFAULT_METER_OHMS if ohms is None else ohms.si
    )


def volt_meter_error(job: Job) -> MeterError:
    """The error of a meter that reads volts."""
    meter = job.rules.tests.meter
    volts = meter.volts if meter else None
    return MeterError(meter_error(job).fraction, DEFAULT_METER_VOLTS if volts is None else volts.si)


def run_length_m(job: Job, box: Box) -> float:
    """Length in m of the run that feeds a box, without slack.

    As given; else the straight line between the coordinates of its two ends × (1 + detour). Raises ``ValueError``
    where neither is there, which reading a job file refuses before.
    """
    if box.run is not None:
        return box.run.si
    end = box.at
    start = _place_of(job, box.from_)
    if end is None or start is None:
        raise ValueError(f"the run to {box.id} has neither a length nor coordinates at both ends")
    detour = DEFAULT_DETOUR if job.path.detour is None else job.path.detour.si
    return math.hypot(end[0] - start[0], end[1] - start[1]) * (1.0 + detour)


def _place_of(job: Job, box_id: str) -> tuple[float, float] | None:
    if box_id == CONTROLLER:
        return controller_at(job)
    box = job.path.by_id.get(box_id)
    return box.at if box is not None else None


def controller_at(job: Job) -> tuple[float, float] | None:
    """Coordinates of the controller in m; (0, 0) when left out, nothing when no box has coordinates either."""
    if job.path.controller_at is not None:
        return job.path.controller_at
    return (0.0, 0.0) if any(box.at is not None for box in job.path.boxes) else None


def cable(job: Job, part: Box | RingClosure) -> str:
    """Name of the cable of the run to a box, or of a ring closure."""
    return part.cable or job.path.cable


def connector(job: Job, box: Box) -> str:
    """Name of the connector used in a box on the path side."""
    return box.connector or job.path.connector


def solenoid_connector(job: Job, box: Box) -> str:
    """Name of the connector used on the solenoid side: named there, else the one of the path side."""
    return box.solenoid_connector or job.path.solenoid_connector or connector(job, box)


def slack(job: Job, length_m: float) -> Figure:
    """A length of slack for a reader, as the job wrote it where it is the rule's own."""
    rule = job.rules.slack.length
    return Figure(length_m, "length", "cut", stated=rule if abs(rule.si - length_m) < SAME_M else None)


def cover(job: Job, part: Box | RingClosure) -> Quantity:
    """Chosen cover over the run to a box, or over a ring closure."""
    return part.cover if part.cover is not None else job.rules.cover


def cover_m(job: Job, part: Box | RingClosure) -> float:
    """The same in m."""
    return cover(job, part).si


def lowest_volts(job: Job) -> float:
    """Lowest volts at the path terminals: as stated, else the supply's volts."""
    return job.supply.volts.si if job.supply.lowest is None else job.supply.lowest.si


def per_output_a(device: Device) -> float:
    """Current in A that an output takes while it runs; 0 for a device without outputs."""
    return device.per_output.si if device.per_output is not None else 0.0


def all_always_on(job: Job) -> int:
    """How many stations of the whole path run in every case; one that is on no box takes no place of another."""
    always = job.supply.always_on
    return sum(number in always for box in job.path.boxes for number in box.station_numbers) if always else 0


def free_at_once(job: Job) -> int:
    """How many stations may run together besides those that always run."""
    return max(job.supply.stations_at_once - all_always_on(job), 0)


class PlacedStation(NamedTuple):
    """One station in its box: its lead and solenoid as its own words, the box or the path give them.

    ``lead_cable`` is None where none is named for a long lead; ``lead_key`` is the key path from the box to what states
    the lead. ``always_on`` says that it runs in every case.
    """

    number: int
    name: str
    lead_m: float
    lead_stated: Quantity | None
    lead_cable: str | None
    solenoid: str | None
    always_on: bool
    lead_key: At = ("lead",)

    @property
    def has_long_lead(self) -> bool:
        """Whether its lead is long enough to be a cable of its own, spliced at the solenoid too."""
        return self.lead_m > LONG_LEAD_M

    @property
    def lead(self) -> Figure:
        """Its lead for a reader, as the job wrote it where it did."""
        return Figure(self.lead_m, "length", "cut", stated=self.lead_stated)

    @property
    def title(self) -> str:
        """Its number, with its name where it has one."""
        return f"{self.number} {self.name}" if self.name else str(self.number)


@dataclass(frozen=True)
class PlacedDevice:
    """One device in its box; ``kind`` is its name in the job file."""

    kind: str
    device: Device
    address: str
    stations: tuple[PlacedStation, ...]

    @property
    def always_on(self) -> int:
        """How many of its stations run in every case."""
        return sum(station.always_on for station in self.stations)


def placed_devices(job: Job, box: Box) -> tuple[PlacedDevice, ...]:
    """The devices in a box, in the order of the job file."""
    return tuple(
        [
            PlacedDevice(
                name,
                job.devices[name],
                address,
                tuple([_placed(job, box, station, (*at, "stations", n)) for n, station in enumerate(stations)]),
            )
            for name, address, stations, at in _stated(box)
        ]
    )


def long_leads(devices: Sequence[PlacedDevice]) -> tuple[PlacedStation, ...]:
    """The stations of a box's devices whose lead is a cable of its own."""
    return tuple([station for device in devices for station in device.stations if station.has_long_lead])


def _stated(box: Box) -> Iterator[tuple[str, str, tuple[Station, ...], At]]:
    """The devices of a box: name, address, stations, and the key path from the box to what states the device."""
    for number, each in enumerate(box.devices):
        yield each.device, each.address, each.stations, ("devices", number)
    if box.device is not None and not box.devices:
        yield box.device, box.address, box.stations, ()


def _placed(job: Job, box: Box, station: Station, key: At) -> PlacedStation:
    lead = station.lead or box.lead
    return PlacedStation(
        number=station.number,
        name=station.name,
        lead_m=lead.si if lead is not None else DEFAULT_LEAD_M,
        lead_stated=lead,
        lead_cable=station.lead_cable or box.lead_cable or job.path.lead_cable or job.spare_cable,
        solenoid=station.solenoid or box.solenoid or job.path.solenoid,
        always_on=station.number in job.supply.always_on,
        lead_key=(*key, "lead") if station.lead is not None else ("lead",),
    )
