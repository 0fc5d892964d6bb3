"""The job as it was built: lengths, addresses, connectors and places that were recorded take those that were planned.

The job as built is computed as any job is, so volts, readings, materials and findings come from the same formulas.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal, TypeVar

from slackloop.compute.computed_job import ComputedJob, Verdict, compute_job
from slackloop.records.result import AS_BUILT, RUN, Due, Record, Results
from slackloop.records.value import OutOfRange, Unreadable, number_of
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.models import Box, Job, RingClosure
from slackloop.site.plain_fields import FURTHEST_M, LONGEST_NAME
from slackloop.site.specification import Part
from slackloop.source.finding import At, Finding
from slackloop.source.suggestions import did_you_mean, listed
from slackloop.units.quantity import Quantity, parse_quantity
from slackloop.units.quantity_error import QuantityError
from slackloop.units.unit_table import UNITS, format_number

LENGTH, ADDRESS, CONNECTOR, PLACE = AS_BUILT
What = Literal["length", "address", "connector", "place"]
Value = float | str | tuple[float, float] | None
DIGITS = 9
"""Digits of a length as it was recorded, in its own unit."""
SAME_M = 1e-6
"""Lengths and places closer than this are the same."""
P = TypeVar("P", bound=Part)


@dataclass(frozen=True, slots=True)
class NotTaken:
    """An as-built value that cannot be used, and why; the planned one then stays."""

    record: Record
    why: str


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that was built otherwise than planned, at a box or a run.

    Lengths and places are in metres; ``record`` says who recorded it. A length that follows from recorded places alone
    has none.
    """

    place: str
    what: What
    planned: Value
    built: Value
    record: Record | None = None


@dataclass(frozen=True, slots=True)
class Moved:
    """What a box's figures have come to: lowest volts, and the loop reading at 20 °C with the rings open."""

    box: str
    planned_volts: float | None
    built_volts: float | None
    planned_ohms: float
    built_ohms: float


@dataclass(frozen=True)
class AsBuilt:
    """The job as built, computed. ``taken`` are the records that it rests on, by run or box and by check."""

    job: Job
    analysis: ComputedJob
    planned: ComputedJob
    differences: tuple[Difference, ...] = ()
    taken: Mapping[tuple[str, str], Record] = field(default_factory=dict)
    not_taken: tuple[NotTaken, ...] = ()
    findings: tuple[Finding, ...] = ()
    """What the check of the job as built finds and the check of the plan did not."""

    @property
    def verdict(self) -> Verdict:
        """``fail`` where something as built is an error."""
        return "fail" if any(each.level == "error" for each in self.findings) else "pass"

    @property
    def measured_runs(self) -> tuple[str, ...]:
        """The runs whose length was measured, in path order."""
        return tuple(run.id for run in self.analysis.network.all_runs if (run.id, LENGTH) in self.taken)

    def moved(self) -> tuple[Moved, ...]:
        """Every box, in path order, with what its lowest volts and its loop reading were and are."""
        was, now = self.planned, self.analysis
        return tuple(
            Moved(box, was.volts.worst_volts[n], now.volts.worst_volts[n], was.loops.opened[n].ohms_20c,
                  now.loops.opened[n].ohms_20c)
            for n, box in enumerate(now.network.boxes)
        )  # fmt: skip


def as_built_of(job: Job, planned: ComputedJob, results: Results, tables: ReferenceTables) -> AsBuilt:
    """The job with what its results say was built.

    A value that is out of date or cannot be true is not used. One that is wrong and true all the same, as an address
    that two devices have, is: the path was built so.
    """
    used, left = [], []
    for each in results.results:
        if each.record is None or not each.due.ids[0].startswith(AS_BUILT):
            continue
        record = replace(each.record, subject=each.due.subject, check=each.due.ids[0])
        if each.status in ("pass", "fail"):
            used.append(record)
        elif each.status in ("implausible", "void"):
            left.append(NotTaken(record, each.why))
    built = as_built(job, planned, used, tables)
    return replace(built, not_taken=(*left, *built.not_taken))


def as_built(job: Job, planned: ComputedJob, records: Iterable[Record], tables: ReferenceTables) -> AsBuilt:
    """The job with what ``records`` say was built: of several for one thing the last counts.

    A value that cannot be used is named in ``not_taken`` and changes nothing.
    """
    reader = _Reader(job, planned)
    latest: dict[tuple[str, str], Record] = {}
    for each in sorted(records, key=lambda one: one.when):
        if each.check.startswith(AS_BUILT):
            latest[reader.place_of(each), each.check] = each
    for (place, check), record in latest.items():
        reader.take(place, check, record)
    if not reader.taken:
        return AsBuilt(job, planned, planned, not_taken=tuple(reader.not_taken))
    built = reader.built()
    analysis = compute_job(built, tables)
    return AsBuilt(
        built, analysis, planned, tuple(_differences(job, built, planned, analysis, reader.taken)), reader.taken,
        tuple(reader.not_taken), tuple(_new_findings(built, planned, analysis)),
    )  # fmt: skip


class _Reader:
    """Reads as-built values one by one, and puts those that can be used into the job."""

    def __init__(self, job: Job, planned: ComputedJob) -> None:
        self.job = job
        self.runs = {run.id: run for run in planned.network.all_runs}
        self.boxes: dict[str, dict[str, Any]] = {}
        self.closures: dict[str, Quantity] = {}
        self.addresses: dict[str, dict[int, str]] = {}
        self.taken: dict[tuple[str, str], Record] = {}
        self.not_taken: list[NotTaken] = []

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
        if not all(math.isfinite(part) and abs(part) <= FURTHEST_M for part in at):
            raise ValueError(f"{record.value[:LONGEST_NAME]} is further than {FURTHEST_M:,.0f} m")
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


def changed(part: P, **values: Any) -> P:
    """The same part of a job with other values; what was worked out from the old ones is forgotten."""
    copy = part.model_copy(update=values)
    for name in [name for name in copy.__dict__ if name not in type(part).model_fields]:
        del copy.__dict__[name]
    return copy


def _differences(
    job: Job, built: Job, was: ComputedJob, now: ComputedJob, taken: Mapping[tuple[str, str], Record]
) -> Iterator[Difference]:
    """What differs, box by box in path order: the run to it, then what is in it; closing runs last."""
    for run, new in zip(was.network.all_runs, now.network.all_runs, strict=True):
        if abs(run.length_m - new.length_m) > SAME_M:
            yield Difference(run.id, "length", run.length_m, new.length_m, taken.get((run.id, LENGTH)))
        if run.closure:
            continue
        one, two = job.path.by_id[run.id], built.path.by_id[run.id]
        for number, (device, other) in enumerate(zip(one.fitted, two.fitted, strict=True), 1):
            if device.address != other.address:
                record = taken.get((run.id, ADDRESS if number == 1 else f"{ADDRESS}-{number}"))
                yield Difference(run.id, "address", device.address, other.address, record or taken.get(
                    (run.id, f"{ADDRESS}-{number}")))  # fmt: skip
        old_name, new_name = resolve.connector(job, one), resolve.connector(built, two)
        if old_name != new_name:
            yield Difference(run.id, "connector", old_name, new_name, taken.get((run.id, CONNECTOR)))
        if one.at != two.at and not (one.at and two.at and math.dist(one.at, two.at) <= SAME_M):
            yield Difference(run.id, "place", one.at, two.at, taken.get((run.id, PLACE)))


def _new_findings(built: Job, was: ComputedJob, now: ComputedJob) -> Iterator[Finding]:
    """Errors and warnings of the job as built that the plan has not, by their code and the places they are about."""
    known = {(each.level, each.code, each.box, each.of) for each in was.findings}
    yield from _shared_addresses(built)
    for each in now.findings:
        if each.level != "note" and (each.level, each.code, each.box, each.of) not in known:
            yield replace(each, message=f"as built: {each.message}")


def _shared_addresses(built: Job) -> Iterator[Finding]:
    """An address that was set in two devices: neither answers alone."""
    first: dict[str, str] = {}
    for index, box in enumerate(built.path.boxes):
        for number, device in enumerate(box.fitted):
            if not device.address:
                continue
            if device.address in first:
                at: At = ("path", "boxes", index, *(("devices", number) if box.devices else ()), "address")
                yield Finding(
                    "error", "address-duplicate",
                    f"as built: address {device.address} is set in two devices: in {first[device.address]} and in "
                    f"{box.id}", at, box.id, expected="an address for each device",
                    of=(first[device.address], box.id),
                )  # fmt: skip
            first.setdefault(device.address, box.id)
