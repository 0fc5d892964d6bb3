"""The job as it was built: lengths, addresses, connectors and places that were recorded take those that were planned.

The job as built is computed as any job is, so volts, readings, materials and findings come from the same formulas.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from slackloop.compute.circuit.loop import LoopRule
from slackloop.compute.computed_job import ComputedJob, Verdict, compute_job
from slackloop.compute.ground import electrodes
from slackloop.records.built_values import ADDRESS, CONNECTOR, LENGTH, PLACE, BuiltValues, NotTaken, changed, in_degrees
from slackloop.records.result import AS_BUILT, RUN, Due, Record, Results
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.models import Job
from slackloop.source.finding import At, Finding

What = Literal["length", "address", "connector", "place"]
Value = float | str | tuple[float, float] | None
SAME_M = 1e-6
"""Lengths and places closer than this are the same."""


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
    """The job as built, computed. ``taken`` are the records that it rests on, by run or box and by check.

    Its electrodes are those of the plan: nothing else is recorded of where they are.
    """

    job: Job
    analysis: ComputedJob
    planned: ComputedJob
    differences: tuple[Difference, ...] = ()
    taken: Mapping[tuple[str, str], Record] = field(default_factory=dict)
    not_taken: tuple[NotTaken, ...] = ()
    findings: tuple[Finding, ...] = ()
    """What the check of the job as built finds and the check of the plan did not."""
    electrodes_missing: tuple[str, ...] = ()
    """The boxes where the rules ask for one more electrode, now that runs are longer than planned."""
    lon_lat: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    """Longitude and latitude of the boxes for which they were recorded, degrees on WGS 84."""

    @property
    def verdict(self) -> Verdict:
        """``fail`` where something as built is an error."""
        return "fail" if any(each.level == "error" for each in self.findings) else "pass"

    def loop_rule(self, due: Due) -> LoopRule | None:
        """What gives the limits of a loop reading on the path as built; nothing where lengths change nothing there."""
        place, was, now = due.subject.removeprefix(RUN), self.planned.loops, self.analysis.loops
        index = self.planned.network.index.get(place)
        pairs = zip(was.closures, now.closures, strict=True)
        if index is not None:
            pairs = zip((was.opened[index], was.closed[index]), (now.opened[index], now.closed[index]), strict=True)
        found = next((new.rule for old, new in pairs if old.rule == due.loop), None)
        return None if found == due.loop else found

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
        check = each.due.ids[0]
        records = (*each.earlier, each.record) if check == PLACE else (each.record,)  # in metres, and in degrees
        named = [replace(one, subject=each.due.subject, check=check) for one in records]
        if each.status in ("pass", "fail"):
            used += named
        elif each.status in ("implausible", "void"):
            left.append(NotTaken(named[-1], each.why))
    built = as_built(job, planned, used, tables)
    return replace(built, not_taken=(*left, *built.not_taken))


def as_built(job: Job, planned: ComputedJob, records: Iterable[Record], tables: ReferenceTables) -> AsBuilt:
    """The job with what ``records`` say was built: of several for one thing the last counts.

    A value that cannot be used is named in ``not_taken`` and changes nothing.
    """
    reader = BuiltValues(job, planned.network)
    latest: dict[tuple[str, str, bool], Record] = {}
    for each in sorted(records, key=lambda one: one.when):
        if each.check.startswith(AS_BUILT):
            latest[reader.place_of(each), each.check, in_degrees(each)] = each
    for (place, check, _), record in latest.items():
        reader.take(place, check, record)
    if not reader.taken:
        return AsBuilt(job, planned, planned, not_taken=tuple(reader.not_taken))
    built = reader.built()
    analysis = compute_job(built, tables, planned.electrodes.places)
    return AsBuilt(
        built, analysis, planned, tuple(_differences(job, built, planned, analysis, reader.taken)), reader.taken,
        tuple(reader.not_taken), tuple(_new_findings(built, planned, analysis)),
        _electrodes_missing(built, analysis, tables), reader.lon_lat,
    )  # fmt: skip


def _electrodes_missing(built: Job, analysis: ComputedJob, tables: ReferenceTables) -> tuple[str, ...]:
    """Where the rules ask for one more electrode, those of the plan being in the ground."""
    driven = {each.where for each in analysis.electrodes.places}
    boxes = tuple(changed(box, electrode=True) if box.id in driven else box for box in built.path.boxes)
    marked = changed(built, path=changed(built.path, boxes=boxes))
    wanted = electrodes.plan(marked, analysis.network, tables.rod_groups).places
    return tuple(each.where for each in wanted if each.where not in driven)


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
