"""What was built and was planned otherwise: the path drawn again, a list of differences, and the materials used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from slackloop.compute.cable.order_lines import OrderLine
from slackloop.control.change_words import sentences
from slackloop.control.comparison import Change, compare
from slackloop.control.snapshot import FORMAT, DocumentFacts, Snapshot
from slackloop.document.blocks import Block, Bullets, Drawing, Heading, Note, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.drawings.path_drawings import drawings_of
from slackloop.document.handover.progress import place_line
from slackloop.document.inline import line, strong
from slackloop.document.inserts import FIGURES, WIDE_FIGURES
from slackloop.document.page import Page
from slackloop.document.pages.lists import TITLES
from slackloop.document.recorded import Recorded, day_text, told_again, value_text
from slackloop.document.revision.frozen_tables import sheets
from slackloop.document.table import Cell, Column, Part, Table, cell, one_part
from slackloop.document.tables.order_tables import amount_text, material_title, order_text, quantity_text
from slackloop.records.as_built import Difference, Value
from slackloop.records.result import STATUS_WORDS
from slackloop.sections import format as fmt
from slackloop.sections.inspection_points import spans
from slackloop.source.finding import Finding

MENU = ("Handover",)
PATH_PAGE, DIFFERENCES_PAGE = "handover/path", "handover/differences"
WHAT_WORDS = {
    "length": "Length of the run", "address": "Address", "connector": "Connector", "place": "Easting and northing",
}  # fmt: skip
MOVED: dict[str, tuple[str, ...]] = {
    "boxes": ("rest", "lowest"), "each-loop": ("expected", "least", "most"),
    "each-solenoid": ("inrush", "holding"), "makers-limits": ("found",),
}  # fmt: skip
"""Columns that follow from lengths and connectors, by their table."""
LEVEL_NOTES = {"error": "danger", "warning": "warning"}
NOTHING_LEFT = 1e-6


def built_context(context: Context, recorded: Recorded) -> Context:
    """What the pages of the job as built are made from."""
    built = recorded.as_built
    return replace(
        context, job=built.job, analysis=built.analysis, made={}, made_cards=(), made_wiring={}, made_checks={},
        placed=(), _held={}, _first_boxes={},
    )  # fmt: skip


def built_path_page(built: Context, recorded: Recorded) -> Page:
    """Site plan and one-line diagram with the lengths and places as built."""
    runs = [run.id for run in built.network.all_runs if not run.existing]
    order = {run.id: number for number, run in enumerate(built.network.all_runs)}
    measured = set(recorded.as_built.measured_runs)
    planned = [run for run in runs if run not in measured]
    words = f"Lengths and places are as built. Measured: {len(runs) - len(planned)} of {len(runs)} runs."
    if planned and measured:
        words += f" As planned, not measured: {spans(planned, order)}."
    blocks: list[Block] = []
    for name in ("site-plan", "path-diagram"):
        if drawn := _drawings(built, name):
            said = () if blocks else (Paragraph(line(words)),)
            blocks += [Heading(2, line(f"{TITLES[name]} as built"), name), *said, *drawn]
    return Page(
        PATH_PAGE, "The path as built", tuple(blocks), "drawing", "handover", MENU,
        "Site plan and one-line diagram as built",
    )  # fmt: skip


def _drawings(built: Context, name: str) -> tuple[Drawing, ...]:
    screen, paper = FIGURES[name](built), WIDE_FIGURES[name](built)
    made = drawings_of(screen, on="screen") + drawings_of(paper, on="paper")
    return tuple(replace(each, caption=(*each.caption, *line(", as built"))) for each in made)


def differences_page(context: Context, built: Context, recorded: Recorded) -> Page:
    """What differs from the plan, what moved with it, what as-built values fail, and the materials used."""
    as_built = recorded.as_built
    blocks: list[Block] = [*_findings(as_built.findings)]
    if as_built.electrodes_missing:
        told = (
            f"With the lengths as built, the rules of the job ask for one more electrode, at "
            f"{fmt.listing(as_built.electrodes_missing)}. Ask the designer."
        )
        blocks.append(Note("warning", "", (Paragraph(line(told)),)))
    blocks += [Heading(2, line("Built otherwise than planned"), "built-otherwise")]
    if as_built.differences:
        blocks.append(TableBlock(_difference_table(context, as_built.differences), sourced=False))
    else:
        blocks.append(Paragraph(line(
            "No length, address, connector or place was recorded that differs from the plan."
        )))  # fmt: skip
    if moved := _moved(context, built):
        blocks += [
            Heading(2, line("What moved with it"), "moved"), Bullets(tuple((Paragraph(line(text)),) for text in moved))
        ]  # fmt: skip
    if recorded.judged_again:
        blocks += [Heading(2, line("Loop readings, judged by the lengths as built"), "judged-again")]
        blocks.append(_judged_again(context, recorded))
    if as_built.not_taken:
        blocks += [Heading(2, line("As-built values that could not be used"), "not-used"), _not_taken(recorded)]
    blocks += [Heading(2, line("Materials used"), "materials-used"), TableBlock(_materials(context, built))]
    return Page(
        DIFFERENCES_PAGE, "Differences from the plan", tuple(blocks), "document", "handover", MENU,
        "What was built otherwise, and the materials used",
    )  # fmt: skip


def _findings(findings: tuple[Finding, ...]) -> Iterator[Note]:
    """What the check of the job as built finds."""
    for each in findings:
        message = each.message[:1].upper() + each.message[1:]
        yield Note(LEVEL_NOTES[each.level], "", (Paragraph(line(message.rstrip("."), ".")),))  # type: ignore[arg-type]


def _difference_table(context: Context, differences: tuple[Difference, ...]) -> Table:
    columns = (
        Column("place", "Box or run"), Column("what", "What", share=4), Column("planned", "Planned", share=4),
        Column("built", "Built", share=4), Column("by", "Recorded by", share=5),
    )  # fmt: skip
    rows = (
        (
            cell(place_line(context, each.place)), cell(WHAT_WORDS[each.what]), _value(context, each, each.planned),
            _value(context, each, each.built),
            cell(f"{each.record.by}, {day_text(each.record)}" if each.record else "follows from the places"),
        )
        for each in differences
    )  # fmt: skip
    return Table("built-otherwise", "Built otherwise than planned", columns, one_part(rows), ("job",))


def _value(context: Context, difference: Difference, value: Value) -> Cell:
    """A planned or built value in words; a built length as it was written down."""
    if value is None or value == "":
        return cell("not stated")
    if isinstance(value, float):
        record = difference.record if value == difference.built else None
        told = fmt.run_length(value, context.units, "nearest")
        written = f"{record.value} {record.unit}".strip() if record else ""
        return cell(told, f", written as {written}" if written and written not in told else "")
    if isinstance(value, tuple):
        return cell(f"{value[0]:,.1f}, {value[1]:,.1f} m")
    connector = context.job.connectors.get(value) if difference.what == "connector" else None
    return cell(connector.title if connector else value)


def _moved(context: Context, built: Context) -> tuple[str, ...]:
    """Volts, readings and limits that are other figures now, each subject in one sentence."""
    if built.analysis is context.analysis:
        return ()
    comparison = compare(_snapshot(context), _snapshot(built))
    places = (*built.network.boxes, *(run.id for run in built.network.closures))
    comparison = replace(comparison, order={place: n for n, place in enumerate(places)}, card_count=len(places))
    return sentences(comparison, [each for each in comparison.changes if _follows(each)])


def _follows(change: Change) -> bool:
    table, _, column = change.key.partition("/")[0], "", change.key.rpartition("/")[2]
    return any(column == name or column.startswith(f"{name}-") for name in MOVED.get(table, ()))


def _snapshot(context: Context) -> Snapshot:
    """The tables of a job and nothing else: enough to compare figures by."""
    facts, document = context.job.job, context.job.document
    about = DocumentFacts(
        facts.number, facts.title, facts.site, document.revision, str(document.date), document.status,
        context.fingerprint,
    )  # fmt: skip
    return Snapshot(FORMAT, about, sheets=sheets(context))


def _judged_again(context: Context, recorded: Recorded) -> TableBlock:
    """The readings that pass or fail by the plan and not by what was built."""
    columns = (
        Column("place", "Box or run"), Column("check", "Check"), Column("value", "Recorded", share=4),
        Column("plan", "By the plan", share=2), Column("built", "As built", share=8),
    )  # fmt: skip
    rows = (
        (
            cell(place_line(context, place)), cell(result.due.ids[0]),
            cell(value_text(result.record) if result.record else ""), cell(STATUS_WORDS[result.status]),
            cell(strong(STATUS_WORDS[again.status]), ". ", told_again(result, again)),
        )
        for place, some in recorded.judged_again.items() for result, again in some
    )  # fmt: skip
    return TableBlock(Table("judged-again", "", columns, one_part(rows), ("computed",)), sourced=False)


def _not_taken(recorded: Recorded) -> TableBlock:
    columns = (
        Column("place", "Box or run"), Column("check", "Check"), Column("value", "Recorded", share=4),
        Column("why", "Why it was not used", share=6),
    )  # fmt: skip
    rows = (
        (cell(each.record.subject), cell(each.record.check), cell(f"{each.record.value} {each.record.unit}".strip()),
         cell(each.why))
        for each in recorded.as_built.not_taken
    )  # fmt: skip
    return TableBlock(Table("not-used", "", columns, one_part(rows), ("job",)), sourced=False)


def _materials(context: Context, built: Context) -> Table:
    """What the work took, worked out from what was built, beside what was planned and ordered."""
    columns: tuple[Column, ...] = (
        Column("item", "Item", share=7), Column("part", "Part number", share=3), Column("planned", "Planned", share=4),
        Column("used", "Used", share=4), Column("ordered", "Ordered", share=4), Column("left", "Left over", share=4),
    )  # fmt: skip
    has_parts = any(each.part for each in context.analysis.materials)
    columns = tuple(each for each in columns if has_parts or each.key != "part")
    used = {(each.kind, each.item): each for each in built.analysis.materials}
    planned = {(each.kind, each.item): each for each in context.analysis.materials}
    rows = tuple(
        _material(context, planned.get(key), used.get(key), has_parts) for key in dict.fromkeys((*planned, *used))
    )  # fmt: skip
    note = (
        "Used: calculated from the lengths, connectors and devices as built, without waste. It was not counted on "
        "site. Less is left over where material was cut off, spoiled or used for repairs."
    )
    return Table(
        "materials-used", "Materials used against ordered", columns, (Part("", rows),), ("job", "computed"),
        notes=(line(note),),
    )  # fmt: skip


def _material(
    context: Context, planned: OrderLine | None, used: OrderLine | None, has_parts: bool
) -> tuple[Cell, ...]:
    about = planned or used
    assert about is not None
    unit, took = about.unit, used.quantity if used else 0.0
    swell = 1.0 + about.extra if about.kind == "bedding" else 1.0
    ordered = planned.order * planned.holds / swell if planned else 0.0
    left = ordered - took
    short = left < -NOTHING_LEFT
    amount = amount_text(abs(left) if abs(left) > NOTHING_LEFT else 0.0, unit, context.units, "cut" if short else
                         "lowest")  # fmt: skip
    return (
        cell(material_title(context, about)), *((cell(about.part),) if has_parts else ()),
        cell(quantity_text(context, planned)) if planned else cell("none"),
        cell(quantity_text(context, used)) if used else cell("none"),
        cell(order_text(context, planned)) if planned else cell("none"),
        cell(strong(f"short by {amount}")) if short else cell(amount),
    )  # fmt: skip
