"""The devices of one box as text: titles, addresses, stations, and the leads of those that are alike said once.

Boxes in groups that a phone page can hold: by arm, in path order, at most forty a group.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING

from slackloop.sections import format as fmt
from slackloop.site.effective_values import PlacedDevice, PlacedStation, placed_devices
from slackloop.site.models import Box, Job
from slackloop.units.figure import is_unknown
from slackloop.units.quantity import Quantity

if TYPE_CHECKING:
    from slackloop.site.network import Network


NOT_SET = "not set"


@dataclass(frozen=True)
class BoxDevices:
    """The devices in one box, in the order of the job file."""

    job: Job
    box: Box

    @cached_property
    def placed(self) -> tuple[PlacedDevice, ...]:
        """The devices with their stations."""
        return placed_devices(self.job, self.box)

    @cached_property
    def stations(self) -> tuple[PlacedStation, ...]:
        """All stations of the box."""
        return tuple(station for device in self.placed for station in device.stations)

    @property
    def titles(self) -> str:
        """What is fitted here, as ``2 Two-output decoder``; a single one without its number, ``none`` without any."""
        counts = Counter(each.device.title for each in self.placed)
        named = [title if len(self.placed) == 1 else fmt.count(n, title, title) for title, n in counts.items()]
        return fmt.listing(named) if named else "none"

    @property
    def addresses(self) -> str:
        """The address to set; with several devices the one of each, with what it is."""
        if len(self.placed) == 1:
            return self.placed[0].address or NOT_SET
        return "; ".join(f"{each.address or NOT_SET} {each.device.title}" for each in self.placed)

    @property
    def numbers_set(self) -> str:
        """The address of each device alone."""
        return ", ".join(each.address or NOT_SET for each in self.placed)

    @property
    def all_set(self) -> bool:
        """Whether the job gives an address for every device here."""
        return all(each.address for each in self.placed)

    @property
    def numbers(self) -> str:
        """The station numbers in one line, each with its name where it has one; empty without stations."""
        return ", ".join(station.title for station in self.stations)

    @property
    def least_volts(self) -> Quantity | None:
        """The most that any device here needs at its path leads, not known where one is not; nothing without one."""
        needs = [each.device.least_volts for each in self.placed]
        unknown = [volts for volts in needs if is_unknown(volts.si)]
        return unknown[0] if unknown else max(needs, key=lambda volts: volts.si, default=None)

    def always_on(self) -> tuple[int, ...]:
        """The stations here that run in every case."""
        return tuple(station.number for station in self.stations if station.always_on)

    def leads(self) -> Iterator[tuple[str, tuple[PlacedStation, ...]]]:
        """Each kind of lead in words, with the stations that have it."""
        kinds: dict[str, list[PlacedStation]] = {}
        for station in self.stations:
            kinds.setdefault(self.lead_text(station), []).append(station)
        for text, alike in kinds.items():
            yield text, tuple(alike)

    def leads_text(self) -> str:
        """All leads in one line; empty without stations."""
        kinds = list(self.leads())
        if len(kinds) < 2:
            return kinds[0][0] if kinds else ""
        return "; ".join(f"{_stations(alike)}: {text}" for text, alike in kinds)

    def lead_text(self, station: PlacedStation) -> str:
        """A lead; a long one with the cable that it is made of, and the colours of its cores."""
        length = fmt.told(station.lead, self.job.job.units)
        if not station.has_long_lead:
            return length
        if station.lead_cable is None:
            return f"{length}; no cable is named for it: ask before you cut"
        cable = self.job.cables[station.lead_cable]
        return f"{length} of {fmt.conductor_label(cable.conductor)} cable (a {cable.cores.a}, b {cable.cores.b})"


def _stations(alike: Sequence[PlacedStation]) -> str:
    numbers = fmt.listing([str(station.number) for station in alike])
    return f"station {numbers}" if len(alike) == 1 else f"stations {numbers}"


MOST_IN_GROUP = 40


@dataclass(frozen=True, slots=True)
class BoxGroup:
    """Boxes of one arm that stand on one page; ``title`` is ``Arm 1: B001 to B040``."""

    title: str
    arm: int
    number: int
    indices: tuple[int, ...]

    @property
    def uri(self) -> str:
        """Address of the group's page."""
        return f"boxes-by-arm/group-{self.number}.md"


def box_groups(network: Network, most: int = MOST_IN_GROUP) -> tuple[BoxGroup, ...]:
    """Every box of the path, once, in path order."""
    groups: list[BoxGroup] = []
    for arm, members in groupby(range(len(network.boxes)), key=lambda index: network.arm[index]):
        indices = tuple(members)
        for start in range(0, len(indices), most):
            part = indices[start : start + most]
            title = f"Arm {arm}: {network.boxes[part[0]]}"
            title += f" to {network.boxes[part[-1]]}" if len(part) > 1 else ""
            groups.append(BoxGroup(title, arm, len(groups) + 1, part))
    return tuple(groups)
