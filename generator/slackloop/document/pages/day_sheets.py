"""A sheet for each day of the programme: what is dug and finished, what to load, where work stops for a signature."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from slackloop.compute.day_plan import DayPlan, DayRun
from slackloop.document.blocks import Block, Bullets, Heading, Paragraph, RecordBar, TableBlock
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.stages import box_page_id
from slackloop.document.context import Context
from slackloop.document.inline import Line, PageTarget, joined, line, link, strong
from slackloop.document.page import Page
from slackloop.document.pages.sheet_forms import day_forms
from slackloop.document.pages.sheets import MENU
from slackloop.document.table import EMPTY_CELL, Cell, Column, Part, Table, cell, figure_cell
from slackloop.sections import format as fmt
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.inspection_points import CROSSED, CROSSINGS, ON_RUNS, is_due_at
from slackloop.sections.job_keys import cable_titles
from slackloop.sections.section import DAY_PARTS, Taken, Where
from slackloop.site.network import Run
from slackloop.units.figure import run_length

DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
RUN_COLUMNS = (
    Column("from", "From"), Column("to", "To"), Column("dig", "Dig today", "run", total=True), Column("reel", "Reel"),
    Column("under", "Under"), Column("end", "At the end of the day", share=1),
)  # fmt: skip
BOX_COLUMNS = (Column("box", "Box"), Column("carry", "What goes into it", share=1), Column("done", "Done"))


def day_sheets(context: Context) -> tuple[Page, ...]:
    """The sheet of every day; nothing where the job has no programme."""
    return tuple(_page(context, plan) for plan in context.analysis.days)


def _page(context: Context, plan: DayPlan) -> Page:
    title = f"Day {plan.number}: {DAY_NAMES[plan.day.weekday()]} {plan.day}"
    phases = [phase for phase in plan.phases if phase]
    blocks: list[Block] = [Paragraph(line(f"Phase {fmt.listing(phases)}."), "lead")] if phases else []
    if plan.runs:
        rows = tuple(_run(context, plan, each) for each in plan.runs)
        blocks += [Heading(2, line("Dig and lay"), "runs"), _table("runs", RUN_COLUMNS, rows)]
    boxes = _boxes(context, plan)
    if boxes:
        rows = tuple((_box(box), cell(_facts(context, box).carry_text()), EMPTY_CELL) for box in boxes)
        blocks += [Heading(2, line("Boxes to finish"), "boxes"), _table("boxes", BOX_COLUMNS, rows)]
    blocks += [Heading(2, line("Load"), "load"), Bullets(tuple((Paragraph(each),) for each in _load(context, plan)))]
    holds = tuple(_holds(context, plan))
    if holds:
        items = tuple((Paragraph(each),) for each in holds)
        blocks += [Heading(2, line("Work stops for a signature"), "holds"), Bullets(items)]
    forms = day_forms(context, str(plan.day))
    if "start" in forms:
        blocks.append(forms["start"])
    blocks += [
        Heading(2, line(DAY_PARTS["leave"]), "leave"), Paragraph(_leave(plan)),
        *([replace(forms["leave"], title="Each day")] if "leave" in forms else ()), *([RecordBar()] if forms else ()),
        _table("signed", (Column("who", "Signed by"), Column("when", "Date, time")), ((EMPTY_CELL, EMPTY_CELL),)),
    ]  # fmt: skip
    return Page(f"sheets/day-{plan.day}", title, tuple(blocks), "register", "inspection", MENU, title)


def _boxes(context: Context, plan: DayPlan) -> tuple[str, ...]:
    """The boxes of the day: those that are finished, and before them existing ones that a run of the day joins."""
    begun = (context.runs[each.run_id] for each in plan.runs if each.from_m == 0.0)
    ends = (end for run in begun for end in (run.from_id, run.to_id) if end in context.boxes)
    joined_to = dict.fromkeys(end for end in ends if context.boxes[end].existing)
    return (*joined_to, *plan.boxes)


def _table(name: str, columns: tuple[Column, ...], rows: tuple[tuple[Cell, ...], ...]) -> TableBlock:
    return TableBlock(Table(f"day-{name}", "", columns, (Part("", rows),), ("job", "computed")), sourced=False)


def _run(context: Context, plan: DayPlan, each: DayRun) -> tuple[Cell, ...]:
    """One run of the day, and whether it is finished, goes on tomorrow or is capped."""
    run = context.runs[each.run_id]
    end = "cap its end" if each.run_id in plan.capped else "its box is finished" if each.is_finished else ""
    if not each.is_finished:
        end = f"goes on from {run_length(each.to_m, 'nearest').text(context.units)}; cap its end"
    return (
        _end(context, run.from_id), _end(context, run.to_id),
        figure_cell(run_length(each.to_m - each.from_m, "cut"), context.units),
        cell(str(context.reel_of.get(run.id, ""))), cell(context.surface(run.surface)), cell(end),
    )  # fmt: skip


def _end(context: Context, end: str) -> Cell:
    return _box(end) if end in context.network.index else cell(end)


def _box(box: str) -> Cell:
    return Cell(line(link(box, PageTarget(box_page_id(box)))))


def _facts(context: Context, box: str) -> BoxFacts:
    return BoxFacts(context, context.network.index[box])


def _load(context: Context, plan: DayPlan) -> Iterator[Line]:
    """Cable by reel, the parts of the boxes, each counted, and the tools of the day's own sections."""
    titles, lengths = cable_titles(context.job), context.analysis.lengths
    begun = [context.runs[each.run_id] for each in plan.runs if each.from_m == 0.0]
    for name in dict.fromkeys(run.cable for run in begun):
        some = [run for run in begun if run.cable == name]
        metres = sum(lengths[run.id].circuit_m for run in some)
        reels = fmt.listing([str(each) for each in dict.fromkeys(context.reel_of.get(run.id) for run in some) if each])
        from_reels = f", reel {reels}" if reels else ""
        most = run_length(metres * (1.0 + context.job.rules.waste.si), "most").text(context.units)
        pulled = run_length(metres, "cut").text(context.units)
        yield line(f"{pulled} of {titles[name]} with slack, at most {most} with waste{from_reels}")
    parts: Counter[str] = Counter()
    for box in _boxes(context, plan):
        for count, title in _facts(context, box).parts():
            parts[title] += count
    for title, count in parts.items():
        yield line(f"{count} × {title}")
    yield from tool_lines(context, plan, _boxes(context, plan))


def _holds(context: Context, plan: DayPlan) -> Iterator[Line]:
    """Hold points that are due at the boxes of the day, each with its boxes."""
    network = context.network
    electrodes = {each.where for each in context.analysis.electrodes.places}
    for applied in context.sections:
        for check in applied.checks:
            if check.hold != "hold":
                continue
            due = [
                box for box in _boxes(context, plan)
                if is_due_at(check.where, context.boxes[box], network.index[box], network, electrodes)
            ]  # fmt: skip
            if due:
                links = joined((line(link(box, PageTarget(box_page_id(box)))) for box in due), ", ")
                yield line(strong(check.id), f" {context.prose.plain(check.title)}: ", links)


def _leave(plan: DayPlan) -> Line:
    """What must not stay open overnight."""
    if not plan.capped:
        return line("No cable end is open: every run that was laid ends in a finished box. Check each one.")
    ends = fmt.listing([f"run {name}" for name in plan.capped])
    return line(strong("Cap the cable end"), f" of {ends}. Guard the trench that stays open.")


def tool_lines(context: Context, plan: DayPlan, boxes: Sequence[str]) -> Iterator[Line]:
    """The tools and the protective equipment to load, each once; ``boxes`` are those of the day."""
    sections = day_sections(context, plan, boxes)
    words = context.content.words
    tools = [words.tools[name].name for name in _named(sections, "tools") if name in words.tools]
    worn = [words.protective[name].name for name in _named(sections, "protective") if name in words.protective]
    if tools:
        yield line(strong("Tools: "), fmt.listing(tools))
    if worn:
        yield line(strong("To wear: "), fmt.listing(worn))


def day_sections(context: Context, plan: DayPlan, boxes: Sequence[str]) -> list[AppliedSection]:
    """The sections of a day: those that have a check to make at a box or a run of it, and those of every day.

    The volts at the controller are of days on which the path is on: they alone make no section one of every day.
    """
    electrodes = {each.where for each in context.analysis.electrodes.places}
    runs = [(context.runs[each.run_id], each.from_m == 0.0) for each in plan.runs]

    def is_due(where: Where) -> bool:
        if where in ("each-day", "job", "each-reel"):
            return where == "each-day" or (where == "each-reel" and any(begun for _, begun in runs))
        if where in ON_RUNS:
            return any(where not in CROSSINGS or _crosses(run) for run, _ in runs)
        network = context.network
        return any(is_due_at(where, context.boxes[box], network.index[box], network, electrodes) for box in boxes)

    return [
        applied for applied in context.sections
        if any(is_due(check.where) for check in applied.checks if check.measures != "controller_volts")
    ]  # fmt: skip


def _crosses(run: Run) -> bool:
    return run.surface in CROSSED or run.crossing is not None


def _named(sections: Sequence[AppliedSection], key: Taken) -> list[str]:
    return list(dict.fromkeys(name for applied in sections for name in applied.named(key)))
