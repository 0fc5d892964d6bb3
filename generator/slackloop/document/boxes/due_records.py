"""What must be recorded for a whole job: the values, ticks, holds and signatures of its cards and sheets, as data.

Everything is taken from the work of the stages that cards and pages show, so a limit is the same on paper, on the page
and where a record is judged.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.box_values import controller_least
from slackloop.document.boxes.ring_runs import ring_runs
from slackloop.document.boxes.stage_work import UNIT_M, stage_works
from slackloop.document.boxes.stages import (
    LIKELY_MOHM,
    Entry,
    Stage,
    StageWork,
    box_stages,
    closing_run_stages,
    likely_of,
)
from slackloop.document.context import Context
from slackloop.document.doubts import confirming_rows
from slackloop.document.inline import plain
from slackloop.records.result import (
    AS_BUILT,
    CROSSING,
    DAY,
    JOB,
    LAST_LOOP,
    REEL,
    RUN,
    SIGN_DAY,
    SOIL_CHECK,
    Due,
    DueList,
    Kind,
)
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.inspection_points import AT_NO_BOX, CROSSED, CROSSINGS, is_due_at
from slackloop.sections.job_keys import cable_titles
from slackloop.sections.section import DAY_PARTS, Check
from slackloop.site.network import CONTROLLER, Run
from slackloop.units.figure import written

ADDRESS_CHECK = "C-DEVICE-1"
"""The address that is read off a device."""
LIKELY_RUN_TIMES, LIKELY_RUN_M = 3.0, 10.0
"""A run may come out three times as long, or a third, or this much longer, before its length is doubted. Our own."""
BY_SOIL = "by the soil temperature"
AT_CONTROLLER = "electrode at the controller"


def due_list(context: Context) -> DueList:
    """All that is due: of the job and its reels, of each box in path order, of each run that closes a ring, each day.
    """
    maker = _Maker(context)
    return DueList((*maker.of_job(), *maker.of_reels(), *maker.of_boxes(), *maker.of_ring_runs()), maker.of_a_day())


def reel_subjects(context: Context) -> dict[str, str]:
    """The subject of each reel, with its title; reels are counted on through all cables, in the order of the plan."""
    titles = cable_titles(context.job)
    found: dict[str, str] = {}
    for plan in context.analysis.reels:
        for number in range(1, len(plan.reels) + 1):
            found[f"{REEL}{len(found) + 1}"] = f"{titles[plan.cable]}, reel {number}"
    return found


def controller_checks(context: Context) -> Iterator[tuple[AppliedSection, Check]]:
    """The checks of the electrode at the controller, which has no card: they are recorded with those of the job."""
    if any(each.where == CONTROLLER for each in context.analysis.electrodes.places):
        for applied in context.sections:
            yield from (
                (applied, check) for check in applied.checks
                if check.where == "electrode-box" and check.record != "covered"
            )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Point:
    """A check with what its section says of it."""

    check: Check
    title: str
    limit: str
    section: str
    requirements: tuple[str, ...]
    stop_if: str


class _Maker:
    """Makes what is due; what a check says is worked out once for all boxes."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.points = {
            check.id: self._point(applied, check) for applied in context.sections for check in applied.checks
        }
        self.proved: dict[tuple[str, ...], tuple[str, ...]] = {}
        soil = context.job.conditions.soil_temperature
        self.soil = soil.low.si, soil.high.si
        self.is_us = context.units == "us"

    def _point(self, applied: AppliedSection, check: Check) -> _Point:
        prose, front, file = self.context.prose, applied.section.front, applied.section.file
        asked = {each.id for each in applied.requirements}
        stops = dict.fromkeys(
            plain(prose.line(step.reject.text, file, step.reject.line))
            for step in applied.steps if step.reject is not None and check.id in step.check
        )  # fmt: skip
        return _Point(
            check, plain(prose.line(check.title, file)),
            plain(prose.line(check.limit, file, applied.section.line_of(check.id))), f"{front.part}/{front.id}",
            tuple(each for each in check.proves if each in asked), " Stop if ".join(stops),
        )  # fmt: skip

    def of_job(self) -> Iterator[Due]:
        """Facts to confirm, then the checks that are made once."""
        for cells in confirming_rows(self.context):
            name, fact, limit = (plain(each.line) for each in cells)
            yield Due(JOB, (name,), "sign", fact, limit=limit, hold=True)
        yield from self._made_at(JOB, "job")
        for _, check in controller_checks(self.context):
            for due in self._without_stage(JOB, self.points[check.id]):
                yield replace(due, title=f"{due.title}, {AT_CONTROLLER}")

    def of_reels(self) -> Iterator[Due]:
        """The checks of each reel."""
        for subject, title in reel_subjects(self.context).items():
            for due in self._made_at(subject, "each-reel"):
                yield replace(due, title=f"{due.title}, {title}")

    def of_a_day(self) -> tuple[Due, ...]:
        """The checks of one day, those of each part of it with the signature that covers them."""
        found: list[Due] = []
        for part, title in DAY_PARTS.items():
            if dues := [due for due in self._made_at(DAY, "each-day") if self.points[due.ids[0]].check.day == part]:
                found += [*dues, Due(DAY, (SIGN_DAY[part],), "sign", f"{title}: signed by")]
        return tuple(found)

    def _made_at(self, subject: str, where: str) -> Iterator[Due]:
        """The checks that belong to no box."""
        for each in self.points.values():
            if each.check.where == where:
                yield from self._without_stage(subject, each)

    def of_boxes(self) -> Iterator[Due]:
        """The work of every box, and what was built there."""
        context, network = self.context, self.context.network
        loose = [each for each in self.points.values() if not each.check.stage and each.check.where not in AT_NO_BOX]
        electrodes = {each.where for each in context.analysis.electrodes.places}
        for index, box in enumerate(network.boxes):
            facts = BoxFacts(context, index)
            crosses = facts.box.crossing is not None or facts.run.surface in CROSSED
            also = (f"{RUN}{box}", *([f"{CROSSING}{box}"] if crosses else ()))
            stages = box_stages(context, facts)
            yield from self._work(box, also, stages, stage_works(facts, stages, with_bands=False))
            for each in loose:
                if is_due_at(each.check.where, facts.box, index, network, electrodes):
                    at_crossing = each.check.where in CROSSINGS
                    subject, other = (f"{CROSSING}{box}", box) if at_crossing else (box, f"{RUN}{box}")
                    yield from (replace(due, also=(other,)) for due in self._without_stage(subject, each))
            yield from self._built(facts)

    def of_ring_runs(self) -> Iterator[Due]:
        """The work of every run that closes a ring."""
        for ring in ring_runs(self.context):
            subject = f"{RUN}{ring.run.id}"
            stages = closing_run_stages(self.context, ring.run)
            also = (ring.run.id, *([f"{CROSSING}{ring.run.id}"] if ring.run.surface in CROSSED else ()))
            yield from self._work(subject, also, stages, ring.works())
            yield self._run_length(ring.run, (ring.run.id,))

    def _work(
        self, subject: str, also: tuple[str, ...], stages: Iterable[Stage], works: Iterable[StageWork]
    ) -> Iterator[Due]:
        """Values, ticks, holds and signature of each stage."""
        for stage, work in zip(stages, works, strict=True):
            for entry in work.entries:
                yield self._entry(subject, entry, also, work.id)
            for said in work.ticks:
                yield self._said(subject, said.id, "tick", also, work.id)
            for said in work.holds:
                due = self._said(subject, said.id, "sign", also, work.id)
                yield replace(due, answers="nothing") if said.stops == "cross" else due
            held = {said.id for said in (*work.holds, *work.later)}
            covered = tuple(
                each.check.id for each in stage.checks
                if each.check.record in ("sign", "covered") and each.check.id not in held
            )  # fmt: skip
            yield Due(
                subject, (f"sign-{work.id}",), "sign", f"{work.title}: signed by", stage=work.id,
                requirements=self._requirements(covered), section=work.section, also=also,
            )  # fmt: skip
            for said in work.later:
                yield replace(self._said(subject, said.id, "sign", also, work.id), later=True)

    def _requirements(self, checks: tuple[str, ...]) -> tuple[str, ...]:
        """The requirements that some checks prove together, each once."""
        if checks not in self.proved:
            self.proved[checks] = tuple(
                dict.fromkeys(name for check in checks for name in self.points[check].requirements)
            )
        return self.proved[checks]

    def _said(self, subject: str, check: str, kind: Kind, also: tuple[str, ...] = (), stage: str = "") -> Due:
        point = self.points[check]
        return Due(
            subject, (check,), kind, point.title, limit=point.limit, stage=stage,
            hold=kind == "sign" and point.check.hold == "hold", requirements=point.requirements,
            section=point.section, stop_if=point.stop_if, also=also,
            answers=point.check.answers,
        )  # fmt: skip

    def _entry(self, subject: str, entry: Entry, also: tuple[str, ...], stage: str) -> Due:
        """A value to write, with its limits and what of it cannot be."""
        if entry.kind == "soil":
            title = "Soil temperature at cable depth"
            return Due(
                subject, (SOIL_CHECK,), "soil", title, "degC", stage=stage, also=also, soil=self.soil
            )  # fmt: skip
        points = [self.points.get(name) or self.points[name.rpartition("-")[0]] for name in entry.ids]
        several = f", {entry.label.rpartition(', ')[2]}" if entry.ids[0] not in self.points else ""
        return Due(
            subject, entry.ids, "text" if entry.kind == "text" else "number", points[0].title + several,
            entry.unit, entry.least, entry.most, BY_SOIL if entry.loop else _limit(entry), stage=stage,
            requirements=self._requirements(tuple(point.check.id for point in points)), section=points[0].section,
            stop_if=" Stop if ".join(dict.fromkeys(point.stop_if for point in points if point.stop_if)), also=also,
            likely=entry.likely,
            loop=entry.loop, soil=self.soil, near=entry.near, off=entry.off,
            meter=entry.meter, alone=entry.kind == "text",
        )  # fmt: skip

    def _without_stage(self, subject: str, point: _Point) -> Iterator[Due]:
        """A check that is recorded on a sheet; nothing where it needs no record."""
        check = point.check
        if check.record == "covered":
            return
        due = self._said(subject, check.id, "tick" if check.record == "tick" else "sign")
        if check.measures == "insulation_ohms" and check.record == "measure":
            least = self.context.job.rules.tests.insulation.least
            limit = f"{written(least.text)} or more"
            due = replace(due, kind="number", unit="MΩ", least=least.si / 1e6, limit=limit, likely=(0.0, LIKELY_MOHM))
        elif check.measures == "electrode_ohms" and check.record == "measure":
            target = self.context.job.rules.earthing.target
            likely = likely_of(check.measures, None, target.si, 0.0)
            limit = f"{written(target.text)} or less"
            due = replace(due, kind="number", unit="Ω", most=target.si, limit=limit, likely=likely)
        elif check.measures == "controller_volts" and check.record == "measure":
            lowest, supply = controller_least(self.context), self.context.job.supply.volts.si
            likely, limit = likely_of(check.measures, lowest, None, supply), "" if lowest is None else point.limit
            due = replace(due, kind="number", unit="V", least=lowest, limit=limit, likely=likely, optional=True)
        elif check.record == "measure":
            due = replace(due, kind="text")
        yield due

    def _built(self, facts: BoxFacts) -> Iterator[Due]:
        """What may be recorded as built of a box and of the run that feeds it."""
        _, address, connector, place = AS_BUILT
        box, also = facts.box.id, (f"{RUN}{facts.box.id}",)
        yield self._run_length(facts.run, (box,))
        for number, _ in enumerate(facts.devices.placed, 1):
            name = address if number == 1 else f"{address}-{number}"
            yield Due(box, (name,), "text", "Address as built", also=also, alone=True, optional=True)
        yield Due(box, (connector,), "text", "Connector as built", also=also, optional=True)
        yield Due(box, (place,), "text", "Place as built", also=also, optional=True)
        if facts.is_end and not facts.run.existing:
            loop, last = self.context.analysis.loops.opened[facts.index].rule, "Last loop, before the path is on"
            yield Due(
                box, (LAST_LOOP,), "number", last, "Ω", limit=BY_SOIL, also=also, loop=loop, soil=self.soil,
                likely=likely_of("loop_ohms", None, None, 0.0), optional=True,
            )  # fmt: skip

    def _run_length(self, run: Run, also: tuple[str, ...]) -> Due:
        unit = "ft" if self.is_us else "m"
        planned = run.length_m
        low = min(planned / LIKELY_RUN_TIMES, planned - LIKELY_RUN_M) / UNIT_M[unit]
        high = max(planned * LIKELY_RUN_TIMES, planned + LIKELY_RUN_M) / UNIT_M[unit]
        return Due(
            f"{RUN}{run.id}", AS_BUILT[:1], "number", "Length of the run as built", unit, also=also,
            likely=(max(low, 0.0), high), optional=True,
        )  # fmt: skip


def _limit(entry: Entry) -> str:
    """The limit of a value in words, as its card says it."""
    words = f"{entry.limit} {entry.after}".strip() if entry.limit else ""
    if not words or entry.after.startswith("or "):
        return words
    return f"{words} or more" if entry.least is not None else f"{words} or less" if entry.most is not None else words
