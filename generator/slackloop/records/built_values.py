"""Recorded as-built values, read one by one and put into a job in place of what was planned.

First readings of each box, to which those of later years are compared, with limits from the meter's error alone.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from slackloop.compute.circuit.conductor import at_temperature
from slackloop.records.result import AS_BUILT, RUN, SOIL_CHECK, Due, Record, Result
from slackloop.records.value import OutOfRange, Unreadable, number_of
from slackloop.site.effective_values import MeterError
from slackloop.site.models import Box, Job, RingClosure
from slackloop.site.network import Network
from slackloop.site.plain_fields import FURTHEST_M, LONGEST_NAME
from slackloop.site.specification import Part
from slackloop.source.suggestions import did_you_mean, listed
from slackloop.units.quantity import Quantity, parse_quantity
from slackloop.units.unit_table import UNITS, QuantityError, format_number

LENGTH, ADDRESS, CONNECTOR, PLACE = AS_BUILT
DEGREES = frozenset({"deg", "degree", "degrees", "°"})
"""Units of a place that is longitude and latitude on WGS 84, as RFC 7946 has them; any other place is the job's own
easting and northing in metres."""
DIGITS = 9
"""Digits of a length as it was recorded, in its own unit."""
P = TypeVar("P", bound=Part)


@dataclass(frozen=True, slots=True)
class NotTaken:
    """An as-built value that cannot be used, and why; the planned one then stays."""

    record: Record
    why: str


class BuiltValues:
    """Reads as-built values one by one, and puts those that can be used into the job."""

    def __init__(self, job: Job, network: Network) -> None:
        """``job`` is the job as planned, ``network`` its path."""
        self.job = job
        self.runs = {run.id: run for run in network.all_runs}
        self.boxes: dict[str, dict[str, Any]] = {}
        self.closures: dict[str, Quantity] = {}
        self.addresses: dict[str, dict[int, str]] = {}
        self.taken: dict[tuple[str, str], Record] = {}
        self.not_taken: list[NotTaken] = []
        self.lon_lat: dict[str, tuple[float, float]] = {}

    def place_of(self, record: Record) -> str:
        """The run or box that a record is about, by its id."""
        return record.subject.removeprefix(RUN)

    def take(self, place: str, check: str, record: Record) -> None:
        """Take one value; one that cannot be used is kept with the reason."""
        base, _, number = check.partition("-")[2].partition("-")
        read = {"LENGTH": self._length, "CONNECTOR": self._connector, "PLACE": self._place}.get(base)
        try:
            if base == "ADDRESS":
                self._address(place, record.value, int(number) if number.isascii() and number.isdigit() else 1)
            elif read is not None and not number:
                read(place, record)
            else:
                raise ValueError(f"there is no check {check}")
        except ValueError as wrong:
            self.not_taken.append(NotTaken(record, str(wrong)))
        else:
            self.taken[place, check] = record

    def _length(self, place: str, record: Record) -> None:
        run = self.runs.get(place)
        if run is None:
            raise ValueError(f"no run is called {place}")
        unit = record.unit or ("ft" if self.job.job.units == "us" else "m")
        try:
            number = number_of(replace(record, unit=unit), Due(place, (LENGTH,), "number", "", "m"))
            own = format_number(number.value / float(UNITS[unit].factor), DIGITS)
            length = parse_quantity(f"{own} {unit}", "length")
        except (QuantityError, Unreadable, OutOfRange) as wrong:
            raise ValueError(str(wrong)) from None
        if number.bound:
            raise ValueError(f"{record.value[:LONGEST_NAME]} is no length but a bound of one")
        if run.closure:
            self.closures[place] = length
        else:
            self._box(place)["run"] = length

    def _connector(self, place: str, record: Record) -> None:
        told, names = record.value.strip(), self.job.connectors
        by_title = {each.title.casefold(): name for name, each in names.items()}
        name = told if told in names else by_title.get(told.casefold())
        if name is None:
            hint = did_you_mean(told, [*names, *(each.title for each in names.values())])
            raise ValueError(
                f"{told[:LONGEST_NAME]} is not a connector of the job: it has {listed([*names])}"
                + (f"; {hint}" if hint else "")
            )
        self._box(place)["connector"] = name

    def _place(self, place: str, record: Record) -> None:
        east, _, north = record.value.replace(";", ",").partition(",")
        try:
            at = float(east), float(north)
        except ValueError:
            raise ValueError(f"{record.value[:LONGEST_NAME]} is not two numbers with a comma between them") from None
        self._known(place)
        if in_degrees(record):
            if not (abs(at[0]) <= 180.0 and abs(at[1]) <= 90.0):
                raise ValueError(f"{record.value[:LONGEST_NAME]} is no longitude and latitude in degrees")
            self.lon_lat[place] = at
            return
        if not all(math.isfinite(part) and abs(part) <= FURTHEST_M for part in at):
            raise ValueError(f"{record.value[:LONGEST_NAME]} is further than {FURTHEST_M:,.0f} m")
        if record.unit.strip() not in ("", "m"):
            raise ValueError(f"a place is in m or in deg, and not in {record.unit[:LONGEST_NAME]}")
        self._box(place)["at"] = at

    def _address(self, place: str, value: str, number: int) -> None:
        devices = self._known(place).fitted
        if not value.strip():
            raise ValueError("the address is empty")
        if not 1 <= number <= len(devices):
            raise ValueError(f"{place} has no device {number}" if devices else f"{place} has no device")
        self.addresses.setdefault(place, {})[number - 1] = value.strip()

    def _known(self, place: str) -> Box:
        box = self.job.path.by_id.get(place)
        if box is None:
            raise ValueError(f"no box is called {place}")
        return box

    def _box(self, place: str) -> dict[str, Any]:
        self._known(place)
        return self.boxes.setdefault(place, {})

    def built(self) -> Job:
        """The job with all that was taken."""
        boxes = tuple(self._built_box(box) for box in self.job.path.boxes)
        closures = tuple(self._built_closure(each) for each in self.job.path.ring_closures)
        return changed(self.job, path=changed(self.job.path, boxes=boxes, ring_closures=closures))

    def _built_box(self, box: Box) -> Box:
        values, addresses = dict(self.boxes.get(box.id, {})), self.addresses.get(box.id)
        if addresses and box.devices:
            values["devices"] = tuple(
                changed(each, address=addresses[n]) if n in addresses else each for n, each in enumerate(box.devices)
            )
        elif addresses:
            values["address"] = addresses[0]
        return changed(box, **values) if values else box

    def _built_closure(self, closure: RingClosure) -> RingClosure:
        length = self.closures.get(f"{closure.from_}-{closure.to}")
        return changed(closure, run=length) if length is not None else closure


def in_degrees(record: Record) -> bool:
    """Whether a place is longitude and latitude."""
    return record.unit.strip().casefold() in DEGREES


def changed(part: P, **values: Any) -> P:
    """The same part of a job with other values; what was worked out from the old ones is forgotten."""
    copy = part.model_copy(update=values)
    for name in [name for name in copy.__dict__ if name not in type(part).model_fields]:
        del copy.__dict__[name]
    return copy


OHMS: Mapping[str, float] = {"Ω": 1.0, "ohm": 1.0, "kΩ": 1e3, "MΩ": 1e6, "GΩ": 1e9}


@dataclass(frozen=True, slots=True)
class Baseline:
    """The first good readings of one box or run; what was not recorded is nothing.

    ``loop_ohms`` is as read in soil of ``celsius``; ``loop_20c`` is the same at 20 °C, and a reading of a later year at
    20 °C lies between ``least_20c`` and ``most_20c`` where nothing but the meter has changed.
    """

    place: str
    loop_ohms: float | None = None
    celsius: float | None = None
    loop_20c: float | None = None
    least_20c: float | None = None
    most_20c: float | None = None
    insulation_ohms: float | None = None
    loop_record: Record | None = None
    insulation_record: Record | None = None


def baseline(
    place: str, results: Iterable[Result], loop_checks: Container[str], insulation_checks: Container[str],
    meter: MeterError, alpha_per_c: float,
) -> Baseline:  # fmt: skip
    """The baseline of a place from its results; only a result that passed is one."""
    passed = [each for each in results if each.status == "pass" and each.record is not None]
    loop = _of(passed, loop_checks)
    insulation = _of(passed, insulation_checks)
    soil = _of(passed, (SOIL_CHECK,))
    ohms, celsius = _ohms(loop), soil.number if soil else None
    at_20c = least = most = None
    if ohms is not None and celsius is not None:
        at_20c = ohms / at_temperature(1.0, celsius, alpha_per_c)
        least, most = later_limits(ohms, celsius, meter, alpha_per_c)
    return Baseline(
        place, ohms, celsius, at_20c, least, most, _ohms(insulation), loop.record if loop else None,
        insulation.record if insulation else None,
    )  # fmt: skip


def later_limits(ohms: float, celsius: float, meter: MeterError, alpha_per_c: float) -> tuple[float, float]:
    """Between which a later reading lies at 20 °C, ohm, where the copper is as it was when ``ohms`` was read.

    The copper lies within the meter's error of the first reading, and the later reading within the meter's error of
    the copper: R20 = R ÷ (1 + α(T − 20)), α = 0.00393 /°C (IEC 60028). 3 ohm at 20 °C with 1 % and 0.05 ohm:
    2.841 ohm to 3.161 ohm.
    """
    to_20c = 1.0 / at_temperature(1.0, celsius, alpha_per_c)
    low, high = (ohms - meter.of(ohms)) * to_20c, (ohms + meter.of(ohms)) * to_20c
    return max(low - meter.of(low), 0.0), high + meter.of(high)


def _of(results: Iterable[Result], checks: Container[str]) -> Result | None:
    """The result of the first of these checks."""
    return next((each for each in results if any(id in checks for id in each.due.ids)), None)


def _ohms(result: Result | None) -> float | None:
    """The number of a result in ohm."""
    if result is None or result.number is None or result.due.unit not in OHMS:
        return None
    return result.number * OHMS[result.due.unit]
