"""The page of a box, in the order of the work: what to watch, the wiring, what to set, then each stage."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.document.blocks import Block, BoxWay, Fact, Facts, Note, Paragraph, RecordBar
from slackloop.document.box_groups import BoxGroup
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.box_ids import box_page_id
from slackloop.document.boxes.box_results import box_results, still_to_see
from slackloop.document.boxes.box_values import box_values
from slackloop.document.boxes.stage_forms import built_form, stage_forms
from slackloop.document.boxes.stage_work import stage_works
from slackloop.document.boxes.stages import box_stages
from slackloop.document.context import Context
from slackloop.document.drawings.box_wiring import BARS_NOTE
from slackloop.document.drawings.figure_blocks import drawings_of
from slackloop.document.drawings.svg import Figure
from slackloop.document.findings_page import is_answered, sentence
from slackloop.document.inline import joined, line, strong
from slackloop.document.page import Page
from slackloop.document.target import PageTarget
from slackloop.sections import format as fmt

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
        *stage_forms(still_to_see(context.recorded, box.id, works), box.id),
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
    if facts.box.note:
        yield Note("note", "Note for this box", (Paragraph(line(facts.box.note)),))


def _large(context: Context, facts: BoxFacts) -> Iterator[Fact]:
    """Address, stations, bared length and slack."""
    slack = context.analysis.slack[facts.index]
    if facts.devices.placed:
        placed = facts.devices.placed
        several = ", ".join(each.device.title for each in placed) if len(placed) > 1 else ""
        yield Fact("Address", line(facts.devices.numbers_set), line(several) if several else ())
        yield Fact("Stations", line(facts.devices.numbers or "none"))
    first, _, other = facts.strip().partition(" (")
    yield Fact("Strip", line(first), line(f"({other}") if other else ())
    ends = fmt.count(slack.tails, "end", "ends")
    first, _, other = facts.slack_text(slack.per_tail_m).partition(" (")
    yield Fact("Slack", line(first), line(f"({other}, {ends}" if other else ends))


def _carried(facts: BoxFacts) -> Iterator[Fact]:
    """What to bring to this box, and its electrode."""
    yield Fact("Carry", line(facts.carry_text()))
    yield Fact("Electrode", line(facts.electrode_text()), line(facts.electrode) if facts.electrode else ())
