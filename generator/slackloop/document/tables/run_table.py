"""One table a run: where it goes, how long it is, what it is pulled from, and what covers it."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.ground.cover import CoverAnswer
from slackloop.document.boxes.box_facts import cover_text, duct_text, least_cover_text
from slackloop.document.boxes.box_ids import box_page_id
from slackloop.document.context import Context
from slackloop.document.inline import Line, line, link, strong
from slackloop.document.table import Cell, Column, Part, Table, cell, figure_cell
from slackloop.document.target import PageTarget
from slackloop.reference.rows import Row
from slackloop.sections import format as fmt
from slackloop.units.figure import length, run_length

COLUMNS = (
    Column("from", "From"), Column("to", "To"), Column("length", "Length", "run"),
    Column("cable", "Length of cable", "run"), Column("kind", "Cable"), Column("reel", "Reel"),
    Column("under", "Under"), Column("depth", "Dig", "length"), Column("cover", "Cover", "length"),
    Column("least", "Least cover", "length"), Column("verdict", "Verdict"),
)  # fmt: skip
SPOILED_BY = ("cover-low", "run-longer-than-reel", "run-unknown")


def box_line(context: Context, box_id: str) -> Line:
    """A box by its number, leading to its page; the controller by its name."""
    if box_id not in context.network.index:
        return line(box_id)
    return line(link(box_id, PageTarget(box_page_id(box_id))))


def run_table(context: Context) -> Table:
    """Every run, closing runs last."""
    rows = tuple(_row(context, position) for position in range(len(context.network.all_runs)))
    count = len(context.network.runs)
    parts = [Part(group.title, tuple(rows[index] for index in group.indices)) for group in context.groups]
    if rows[count:]:
        parts.append(Part("Runs that close a ring", rows[count:]))
    covers = context.analysis.covers
    questions = dict.fromkeys(cover.question for cover in covers if cover.question)
    notes = (
        "Length: along the trench. Length of cable: with the slack at both ends, as pulled from the reel and as a "
        "meter reads it. Dig: cover, pipe or cable, and bedding. Cover: from the top of the cable to the finished "
        "surface.",
        context.basis.who_decides_cover,
        *questions,
        context.basis.edition_note,
    )
    return Table(
        "runs", "Runs", COLUMNS, tuple(parts), ("job", "computed"), tuple(_rows_used(context)),
        notes=tuple(line(note) for note in notes if note), landscape=True,
    )  # fmt: skip


def _row(context: Context, position: int) -> tuple[Cell, ...]:
    run, units = context.network.all_runs[position], context.units
    cover, trench = context.analysis.covers[position], context.analysis.trench.runs[position]
    cable = context.job.cables[run.cable]
    kind = f"{fmt.conductor_label(cable.conductor)} {cable.build}{duct_text(context, run)}"
    least = least_cover_text(cover, context)
    return (
        cell(box_line(context, run.from_id)),
        cell(box_line(context, run.to_id)),
        figure_cell(run_length(run.length_m, "nearest"), units),
        figure_cell(run_length(context.analysis.lengths[run.id].circuit_m, "cut"), units),
        cell(kind),
        cell(_reel(context, run.id)),
        cell(context.surface(run.surface)),
        figure_cell(length(trench.depth_m, "least"), units),
        Cell(line(cover_text(context, run)), cover.cover_m),
        Cell(line(least), cover.min_m),
        cell(cover_verdict(cover)),
    )


def _reel(context: Context, run_id: str) -> str:
    """The number of the reel that the run is pulled from."""
    for plan in context.analysis.reels:
        numbers = plan.reel_numbers()
        if run_id in numbers:
            return str(numbers[run_id])
    return ""


def cover_verdict(cover: CoverAnswer) -> Line:
    """Whether a run's cover is enough, in words; where it is open whether the row binds, a question."""
    if cover.fits is None:
        return line("who decides must answer")
    if cover.fits:
        return line("enough")
    return line(strong("TOO LITTLE")) if cover.binding == "binds" else line(strong("ask: does the row bind?"))


def _rows_used(context: Context) -> Iterator[Row]:
    """The rows of the cover table that runs are compared with."""
    table = context.basis.cover
    named = {cover.row for cover in context.analysis.covers}
    for row in table.rows if table else ():
        if row.location in named:
            yield row
