"""The page of a box, in the order of the work: what to watch, the wiring, what to set, then each stage.

The stages of a box as forms: values with their limits, ticks, what is seen, holds, the signature, what was built.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from slackloop.document.blocks import Block, BoxWay, Fact, Facts, FieldKind, Form, FormField, Note, Paragraph, RecordBar
from slackloop.document.box_devices import BoxGroup
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.box_results import box_results, still_to_see
from slackloop.document.boxes.box_values import box_values, controller_least, rod_distances
from slackloop.document.boxes.stage_work import stage_works
from slackloop.document.boxes.stages import Entry, Said, StageWork, box_page_id, box_stages, likely_of
from slackloop.document.context import Context
from slackloop.document.drawings.box_wiring import BARS_NOTE
from slackloop.document.drawings.path_drawings import drawings_of
from slackloop.document.drawings.svg import Figure
from slackloop.document.finding_words import is_answered, sentence
from slackloop.document.inline import Break, Inline, Line, PageTarget, joined, line, link, strong
from slackloop.document.page import Page
from slackloop.language.messages import language
from slackloop.records.judgement import apart_ohms
from slackloop.records.result import AS_BUILT, CONTROLLER_CHECK, DAY, LAST_LOOP, NOTE_CHECK, PHOTO_CHECK
from slackloop.sections import format as fmt
from slackloop.site.network import Run
from slackloop.units.figure import volts
from slackloop.units.ladder import System

TAGS = {"HOLD": "Hold. ", "WITNESS": "Witness. ", "": ""}
HELD: dict[str, str] = {
    "cross": "Hold, do not cut. ", "fill": "Hold, do not fill. ", "work": "Hold, do not go on. ",
}  # fmt: skip
LENGTH, ADDRESS, CONNECTOR, PLACE = AS_BUILT
WHAT_TO_DO = "What to do"


def stage_forms(context: Context, works: Iterable[StageWork], subject: str) -> tuple[Form, ...]:
    """A form for each stage; its records are of ``subject``."""
    return tuple(stage_form(context, work, subject) for work in works)


def stage_form(context: Context, work: StageWork, subject: str) -> Form:
    """The form of one stage."""
    first = (_hold(each) for each in work.holds if each.stops == "cross")
    fields = (*first, *_entries(context, work), *(_tick(each) for each in work.ticks), *_signatures(work))
    return Form(
        work.title, fields, f"stage-{work.id}", _about(work), _limits(work), _seen(work.seen), work.codes, subject
    )  # fmt: skip


def built_form(facts: BoxFacts) -> Form:
    """What was built at a box where it is not as planned, a photo by the name of its file, and notes."""
    fields = [] if facts.run.existing else [length_field(facts.run, facts.context.units)]
    for number, each in enumerate(facts.devices.placed, 1):
        several = len(facts.devices.placed) > 1
        label = f"Address, {each.device.title}" if several else "Address"
        name = ADDRESS if number == 1 else f"{ADDRESS}-{number}"
        fields.append(FormField(name, line(label), limit=_planned(each.address) if each.address else ()))
    fields.append(FormField(CONNECTOR, line("Connector")))
    at = facts.box.at
    fields.append(FormField(PLACE, line("Place: x, y"), "place", limit=_planned(f"{at[0]:g}, {at[1]:g}") if at else ()))
    return notes_form(facts.box.id, fields)


def _with_last_loop(facts: BoxFacts, works: Iterable[StageWork], forms: tuple[Form, ...]) -> tuple[Form, ...]:
    """The last loop reading of an end box comes before the volts of the stage that closes it.

    It says itself what it is of: the row may be signed before it is read, and does not answer for it.
    """
    if not facts.is_end or facts.run.existing or not forms:
        return forms
    rule, label = facts.context.analysis.loops.opened[facts.index].rule, line("Last loop, before the path is on")
    first = (each.ids for work in works for each in work.entries if each.loop is not None and not each.near)
    stop = stop_way(facts.context, next(first, ()))  # as the reading before the fill
    last = FormField(LAST_LOOP, label, "number", "Ω", loop=rule, subject=facts.box.id, stop=stop)
    return (*forms[:-1], replace(forms[-1], fields=(last, *forms[-1].fields)))


def notes_form(subject: str, built: Iterable[FormField]) -> Form:
    """Fields of what was built, then a photo and notes."""
    photo = FormField(PHOTO_CHECK, line("Photo: name of file"), "photo")
    note = FormField(NOTE_CHECK, line("Notes"), "note")
    about = line("only what differs from the plan")
    return Form("As built", (*built, photo, note), "as-built", about, subject=subject)


def length_field(run: Run, units: System) -> FormField:
    """The measured length of a run along the trench."""
    unit = "ft" if units == "us" else "m"
    planned = _planned(fmt.told(run.length, units).split(" (")[0])
    return FormField(LENGTH, line("Run, along the trench"), "number", unit, limit=planned, subject=f"run:{run.id}")


def _planned(text: str) -> Line:
    return line(f"planned: {text}")


def _about(work: StageWork) -> Line:
    """What the stage is about, and one link to the section that says how."""
    return line(work.about, " " if work.about else "", link("How", PageTarget(work.section)))


def controller_field(context: Context, label: Line, subject: str = "") -> FormField:
    """The volts at the controller with all outputs off, with the least that they may be."""
    least = controller_least(context)
    limit = line(strong(volts(least, "least").alone("metric")), " or more") if least is not None else ()
    likely = likely_of("controller_volts", least, None, context.job.supply.volts.si)
    return FormField(
        CONTROLLER_CHECK, label, "number", "V", least, limit=limit, subject=subject, likely=likely,
        stop=stop_way(context, [CONTROLLER_CHECK]),
    )  # fmt: skip


def _entries(context: Context, work: StageWork) -> Iterator[FormField]:
    """The values with their limits; those that go by the soil temperature are told before the fields.

    A loop that is read again comes first: its pair is shorted before the splice that the others are of. Volts with
    all outputs off go by those at the controller, which are of the day: written once, at any box.
    """
    temperature = context.job.conditions.soil_temperature
    coldest, hottest = temperature.low.si, temperature.high.si
    for each in sorted(work.entries, key=lambda one: not (one.near and one.loop)):
        if each.off is not None:
            yield controller_field(context, line("At the controller, today"), DAY)
        kind: FieldKind = each.kind
        label = line(strong(TAGS[each.tag]), each.label) if each.tag else line(each.label)
        expected = each.limit if kind == "text" else ""
        by = [each.meter.fraction, each.meter.fixed] if each.meter else [coldest, hottest]
        if each.loop is not None:
            by.append(apart_ohms(each.loop, coldest))
        yield FormField(
            each.ids[0], label, kind, each.unit, each.least, each.most, _limit(each), expected, each.loop,
            near=(each.near, *by) if each.near else None, soil=(coldest, hottest) if kind == "soil" else None,
            off=each.off, likely=each.likely, stop=stop_way(context, each.ids),
        )  # fmt: skip


def stop_way(context: Context, checks: Iterable[str]) -> Line:
    """The way to the step that says what to do where one of these checks fails; nothing where no step has it."""
    ways = (context.stop_steps[each] for each in checks if each in context.stop_steps)
    way = next(ways, None)
    return line(link(WHAT_TO_DO, PageTarget(*way))) if way else ()


def _limit(each: Entry) -> Line:
    return line(strong(each.limit), f" {each.after}" if each.after else "") if each.limit else line(each.after)


def _limits(work: StageWork) -> Line:
    """What the stage waits for, its cautions, then the loop limits, a line for each soil temperature."""
    parts: list[str | Inline | Line] = [strong(work.waits)] if work.waits else []
    for title, text in work.cautions:
        parts += [" " if parts else "", strong(f"{title}."), f" {text}"]
    for each in work.bands:
        parts += [Break()] if parts else []
        parts += [f"Soil {each.soil}: ", strong(each.passes), f", about {each.about}"]
    return line(*parts)


def _tick(said: Said) -> FormField:
    return FormField(said.id, line(strong(TAGS[said.tag]), said.text) if said.tag else line(said.text), "tick")


def _seen(seen: tuple[Said, ...]) -> Line:
    parts: list[str | Inline | Line] = []
    for each in seen:
        parts.append("; " if parts else "Seen: ")
        parts.append(each.text)
        if each.tag:
            parts += [" ", strong(each.tag.lower())]
    return line(*parts, ".") if parts else ()


def _signatures(work: StageWork) -> Iterator[FormField]:
    """The signature of the stage, one for each hold that its work ends with, then one for each check made later."""
    yield FormField(f"sign-{work.id}", line("Signed by"), "sign")
    yield from (_hold(each) for each in work.holds if each.stops != "cross")
    yield from (FormField(each.id, line(strong("Later. "), each.text), "sign", later=True) for each in work.later)


def _hold(said: Said) -> FormField:
    """The signature of a hold; leave to cross stands before the work that it allows."""
    words, is_first = line(strong(HELD[said.stops]), said.text), said.stops == "cross"
    return FormField(said.id, words, "sign", hold=True, alone=said.answers == "nothing", first=is_first)


NOTE_KINDS = {"error": "danger", "warning": "warning", "note": "note"}
LEVELS = {"error": 0, "warning": 1, "note": 2}


def box_page(context: Context, index: int, group: BoxGroup, figure: Figure | None) -> Page:
    """The page of the box at ``index``; ``figure`` shows what meets in it."""
    facts = BoxFacts(context, index)
    box = facts.box
    works = stage_works(facts, box_stages(context, facts))
    blocks: tuple[Block, ...] = (
        *_watch(context, facts),
        *drawings_of(figure, BARS_NOTE),
        Facts(tuple(_large(context, facts)), large=True),
        Facts((*_carried(facts), *(Fact(label, line(value)) for label, value in facts.page_lines()))),
        *box_results(context.recorded, box.id, works),
        *_with_last_loop(
            facts, works, stage_forms(context, still_to_see(context.recorded, box.id, works), box.id)
        ),
        built_form(facts),
        RecordBar(),
        _way(context, index),
    )
    name = f" – {box.name}" if box.name else ""
    about = f"Box {box.id}{name}: readings, splices and checks"
    return Page(
        box_page_id(box.id), f"Box {box.id}{name}", blocks, "box", "method", ("Boxes", group.title), about,
        paper=False, box=box.id, values=box_values(facts),
    )  # fmt: skip


def _way(context: Context, index: int) -> BoxWay:
    """The box before and the box after on the path."""
    boxes = context.network.boxes
    near = (boxes[place] if 0 <= place < len(boxes) else "" for place in (index - 1, index + 1))
    before, after = ((box, PageTarget(box_page_id(box))) if box else None for box in near)
    return BoxWay(before, after)


def _watch(context: Context, facts: BoxFacts) -> Iterator[Note | Paragraph]:
    """Findings at this box, the worst first, the cautions of its card, and the job's own note."""
    found = [each for each in context.findings if each.box == facts.box.id and not is_answered(each)]
    for each in sorted(found, key=lambda one: LEVELS[one.level]):
        kind = NOTE_KINDS[each.level]
        yield Note(kind, "", (Paragraph(line(sentence(each.message))),))  # type: ignore[arg-type]
    told = [line(strong(f"{title}."), f" {text.partition('. ')[0].rstrip('.')}.") for title, text in facts.cautions()]
    if told:  # in short: the section of the step and the card say the rest
        yield Paragraph(joined(told, " "), "caution")
    if facts.state:
        yield Note("note", "Existing box", (Paragraph(line(facts.state)),))
    if note := facts.box.note_for(language()):
        yield Note("note", "Note for this box", (Paragraph(line(note)),))


def _large(context: Context, facts: BoxFacts) -> Iterator[Fact]:
    """Address, stations, bare copper and slack."""
    slack = context.analysis.slack[facts.index]
    if facts.devices.placed:
        placed = facts.devices.placed
        several = ", ".join(each.device.title for each in placed) if len(placed) > 1 else ""
        yield Fact("Address", line(facts.devices.numbers_set), line(several) if several else ())
        yield Fact("Stations", line(facts.devices.numbers or "none"))
    first, _, other = facts.strip().partition(" (")
    yield Fact("Bare copper", line(first), line(f"({other}") if other else ())
    ends = fmt.count(slack.tails, "end", "ends")
    first, _, other = facts.slack_text(slack.per_tail_m).partition(" (")
    yield Fact("Slack", line(first), line(f"({other}, {ends}" if other else ends))


def _carried(facts: BoxFacts) -> Iterator[Fact]:
    """What to bring to this box, and its electrode."""
    yield Fact("Carry", line(facts.carry_text()))
    between, clear = rod_distances(facts.context)
    apart = f"; {between} or more between them, {clear} or more to the cable" if facts.electrode else ""
    yield Fact("Electrode", line(facts.electrode_text(), apart))  # why one is there is in the table of electrodes
