"""The forms of a sheet on a screen: a day, each reel, each crossing, and what is checked once for the job."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from slackloop.document.blocks import Form, FormField
from slackloop.document.boxes.box_facts import BoxFacts, crossing_text
from slackloop.document.boxes.box_page import controller_field, stage_form, stop_way
from slackloop.document.boxes.due_records import controller_checks, reel_subjects
from slackloop.document.boxes.ring_runs import ring_runs
from slackloop.document.boxes.stage_work import stage_works
from slackloop.document.boxes.stages import StageWork, box_stages
from slackloop.document.context import Context
from slackloop.document.doubts import confirming_rows
from slackloop.document.inline import Line, line, plain, strong
from slackloop.language.messages import language
from slackloop.records.result import NOTE_CHECK, PHOTO_CHECK, SIGN_DAY
from slackloop.sections import format as fmt
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.inspection_points import CROSSED, CROSSINGS
from slackloop.sections.link_rules import slug
from slackloop.sections.section import DAY_PARTS, Check, DayPart, Where
from slackloop.site.network import Run

ELECTRODE = "Electrode at the controller"
DAY = "day"
"""The field of the date, which is no record of its own."""


def checks_where(context: Context, wanted: Callable[[Check], bool]) -> Iterator[tuple[AppliedSection, Check]]:
    """The checks that apply and are wanted, in the order of the method."""
    return ((applied, check) for applied in context.sections for check in applied.checks if wanted(check))


def title_of(context: Context, check: Check) -> str:
    """The title of a check as text."""
    return context.prose.plain(check.title)


def limit_of(context: Context, applied: AppliedSection, check: Check) -> Line:
    """The limit of a check."""
    return context.prose.line(check.limit, applied.section.file, applied.section.line_of(check.id))


def day_checks(context: Context) -> dict[DayPart, tuple[tuple[AppliedSection, Check], ...]]:
    """What is looked at each day by the part of the day that it belongs to; a part without a check is left out."""
    found = {part: tuple(checks_where(context, _of_day(part))) for part in DAY_PARTS}
    return {part: checks for part, checks in found.items() if checks}


def _of_day(part: DayPart) -> Callable[[Check], bool]:
    written = _written("each-day")
    return lambda check: written(check) and check.day == part


def day_forms(context: Context, day: str = "") -> dict[DayPart, Form]:
    """What is looked at before work and before the crew leaves, a signature each; the first asks for a day not given.
    """
    made: dict[DayPart, Form] = {}
    parts = day_checks(context)
    for part, checks in parts.items():
        asked = () if day or made else (FormField(DAY, line("Date"), "date"),)
        notes = (FormField(NOTE_CHECK, line("Notes"), "note"),) if part == [*parts][-1] else ()
        fields = (*asked, *(_measured(context, *each) for each in checks), *notes)
        signed = FormField(SIGN_DAY[part], line("Signed by"), "sign")
        made[part] = Form(DAY_PARTS[part], (*fields, signed), f"day-{part}", subject=f"day:{day}", on="screen")
    return made


def reel_forms(context: Context) -> Iterator[Form]:
    """Each reel as it comes; reels are counted through where the job has several cables."""
    checks = tuple(checks_where(context, _written("each-reel")))
    cables = [plan.cable for plan in context.analysis.reels for _ in plan.reels]
    for (subject, title), cable in zip(reel_subjects(context).items(), cables, strict=True) if checks else ():
        cores = context.job.cables[cable].cores
        fields = [_measured(context, *each) for each in checks]
        photo = FormField(PHOTO_CHECK, line("Photo: name of file"), "photo")
        anchor, about = subject.replace(":", "-"), line(f"{cores.a}, {cores.b}")
        yield Form(title, (*fields, photo), anchor, about, subject=subject, on="screen")


def _measured(context: Context, applied: AppliedSection, check: Check) -> FormField:
    """A check as the number that is read, where it is a resistance; else as any other."""
    rules, title = context.job.rules, line(title_of(context, check))
    if check.measures == "insulation_ohms":
        least = rules.tests.insulation.least
        limit = line(strong(fmt.written(least.text)), " or more")
        stop = stop_way(context, [check.id])
        return FormField(check.id, title, "number", "MΩ", round(least.si / 1e6, 9), limit=limit, stop=stop)
    if check.measures == "electrode_ohms":
        most = rules.earthing.target
        limit = line(strong(fmt.written(most.text)), " or less")
        stop = stop_way(context, [check.id])
        return FormField(check.id, title, "number", "Ω", most=most.si, limit=limit, stop=stop)
    if check.measures == "controller_volts":
        made = controller_field(context, title)
        return replace(made, limit=limit_of(context, applied, check)) if made.limit else made
    return _field(context, applied, check)


def crossing_forms(context: Context) -> Iterator[Form]:
    """The first stage of each run that crosses, as on the page of its box: what is written here is written there."""
    asked = {check.id for _, check in checks_where(context, lambda each: each.where in CROSSINGS)}
    for index, box in enumerate(context.network.boxes):
        facts = BoxFacts(context, index)
        if facts.run.surface not in CROSSED and facts.run.crossing is None:
            continue
        works = stage_works(facts, box_stages(context, facts))
        name = f" – {facts.box.name}" if facts.box.name else ""
        crossed = _crossed(context, facts.run, facts.box.note_for(language()))
        yield from _crossing(context, works, asked, box, f"Run to {box}{name}", crossed)
    for ring in ring_runs(context):
        title = f"Ring run {ring.run.id}"
        yield from _crossing(context, ring.works(), asked, f"run:{ring.run.id}", title, _crossed(context, ring.run))


def _crossed(context: Context, run: Run, note: str = "") -> str:
    """What a run passes under, how, and what the job notes of it."""
    passed = crossing_text(context, run.crossing) if run.crossing else ""
    parts = (f"surface: {context.surface(run.surface)}", passed, " ".join(note.split()).rstrip("."))
    return "; ".join(each for each in parts if each) + ". "


def _crossing(
    context: Context, works: tuple[StageWork, ...], asked: set[str], subject: str, title: str, crossed: str
) -> Iterator[Form]:
    for work in works:
        said = (*work.ticks, *work.seen, *work.holds, *work.later)
        due = {name for each in work.entries for name in each.ids} | {each.id for each in said}
        if due & asked:
            made = stage_form(context, work, subject)
            yield Form(
                title, made.fields, f"crossing-{slug(subject)}", line(crossed, *made.about), made.limits, made.seen,
                made.codes, subject,
            )  # fmt: skip


def fact_form(context: Context) -> Form | None:
    """Each fact that is assumed or not known, to be signed for once somebody has confirmed it."""
    fields = tuple(
        FormField(plain(name.line), line(strong("Hold. "), *fact.line), "sign", limit=limit.line, hold=True)
        for name, fact, limit in confirming_rows(context)
    )
    return Form("Facts to confirm", fields, "facts", subject="job", on="screen") if fields else None


def job_forms(context: Context) -> Iterator[Form]:
    """What is checked once for the job, holds among it, a form for each section; the controller's electrode; notes."""
    found = False
    for applied in context.sections:
        fields = tuple(_field(context, applied, check) for check in applied.checks if _written("job")(check))
        if fields:
            front = applied.section.front
            yield Form(context.prose.plain(front.title), fields, f"of-{front.id}", subject="job", on="screen")
            found = True
    if electrode := tuple(_measured(context, *each) for each in controller_checks(context)):
        yield Form(ELECTRODE, electrode, "of-controller", subject="job", on="screen")
        found = True
    if found:
        notes = FormField(NOTE_CHECK, line("Notes"), "note")
        yield Form("Notes", (notes,), "notes", subject="job", on="screen")


def _written(where: Where) -> Callable[[Check], bool]:
    """Whether something is written down of a check that is made there."""
    return lambda check: check.where == where and check.record != "covered"


def _field(context: Context, applied: AppliedSection, check: Check) -> FormField:
    """A check as a tick, or as a signature where it is signed."""
    held = {"hold": "Hold. ", "witness": "Witness. ", "none": ""}[check.hold]
    title = strong(f"{held}{title_of(context, check)}")
    limit = limit_of(context, applied, check)
    if check.record == "sign":
        return FormField(check.id, line(title), "sign", limit=limit, hold=check.hold == "hold")
    if check.record == "measure":
        return FormField(check.id, line(title), "text", limit=limit)
    return FormField(check.id, line(title, ". ", limit), "tick")
