"""What is in a box, ready for computing: its devices and their stations, with all that box and path say for them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from slackloop.site.models import Box, Device, Job
from slackloop.site.valve_boxes import BoxDevice, Station
from slackloop.source.finding import At
from slackloop.units.figure import Figure
from slackloop.units.quantity import Quantity

DEFAULT_LEAD_M = 1.0
"""Length of a lead that is not given, in m: the job format's default."""
LONG_LEAD_M = 1.5
"""A lead longer than this has splices at the solenoid and needs a cable of its own: the job format's rule."""


@dataclass(frozen=True)
class PlacedStation:
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
        PlacedDevice(
            each.device,
            job.devices[each.device],
            each.address,
            tuple(_placed(job, box, station, key) for station, key in _keyed(box, each, number)),
        )
        for number, each in enumerate(box.fitted)
    )


def placed_stations(job: Job, box: Box) -> tuple[PlacedStation, ...]:
    """The stations of all devices in a box."""
    return tuple(station for device in placed_devices(job, box) for station in device.stations)


def long_leads(job: Job, box: Box) -> tuple[PlacedStation, ...]:
    """The stations of a box whose lead is a cable of its own."""
    return tuple(station for station in placed_stations(job, box) if station.has_long_lead)


def _keyed(box: Box, device: BoxDevice, number: int) -> Iterator[tuple[Station, At]]:
    """The stations of a device, each with the key path from the box to it."""
    start: At = ("devices", number) if box.devices else ()
    for place, station in enumerate(device.stations):
        yield station, (*start, "stations", place)


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
