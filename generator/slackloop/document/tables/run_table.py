"""One table a run: where it goes, how long it is, what it is pulled from, and what covers it.

Loop readings one by one, for a file: what is expected and what passes in each soil, rings open and closed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from slackloop.compute.circuit.loop import LoopReading
from slackloop.compute.ground.cover import COVER_OPEN, CoverAnswer
from slackloop.document.boxes.box_facts import duct_text
from slackloop.document.boxes.stages import box_page_id
from slackloop.document.context import Context
from slackloop.document.inline import Line, PageTarget, line, link, strong
from slackloop.document.table import EMPTY_CELL, Cell, Column, Part, Table, cell, figure_cell, missing_cell, one_part
from slackloop.document.tables.source_table import cover_rows, resistance_rows, soil_rows
from slackloop.sections import format as fmt
from slackloop.source.finding import Answered, Placed
from slackloop.units.figure import length, ohms, run_length, temperature, volume
from slackloop.units.ladder import Rounding
from slackloop.units.unit_table import METRES_PER_INCH

NOT_DUG = "the run was there before the job"
COLUMNS = (
    Column("from", "From"), Column("to", "To"), Column("length", "Length", "run", total=True),
    Column("cable", "Length of cable", "run", total=True), Column("kind", "Cable"), Column("reel", "Reel"),
    Column("under", "Surface"), Column("depth", "Dig", "length"), Column("cover", "Cover", "length"),
    Column("least", "Least cover", "length"), Column("verdict", "Verdict"),
    Column("closes", "Closes a ring", in_files_only=True),
    *(
        Column(key, heading, "volume", in_files_only=True, total=True)
        for key, heading in (
            ("dug", "Dug, in the ground"), ("loose", "Dug, loose"), ("bedding", "Bedding, compacted"),
            ("backfill", "Backfill, compacted"), ("surplus", "Surplus, loose"),
        )
    ),
)  # fmt: skip


def box_line(context: Context, box_id: str) -> Line:
    """A box by its number, or a closing run by its ends, leading to its page; the controller by its name."""
    if box_id not in context.network.index and all(box_id != run.id for run in context.network.closures):
        return line(box_id)
    return line(link(box_id, PageTarget(box_page_id(box_id))))


LAYING_WORDS = {"cable": "cable laid in the ground", "duct": "cable in a duct", "armour": "cable with armour"}


def run_table(context: Context) -> Table:
    """Every run, closing runs last."""
    answers = dict(_answers(context))
    rows = tuple(_row(context, position, answers) for position in range(len(context.network.all_runs)))
    count = len(context.network.runs)
    parts = [Part(group.title, tuple(rows[index] for index in group.indices)) for group in context.groups]
    if rows[count:]:
        parts.append(Part("Runs that close a ring", rows[count:]))
    covers = context.analysis.covers
    runs = zip(context.network.all_runs, covers, strict=True)
    still_asked = [cover for run, cover in runs if not (answers and (cover.fits or run.id in answers))]
    questions = dict.fromkeys(each for cover in still_asked for each in (cover.question, cover.cable_question) if each)
    notes = (
        "Length: along the trench. Length of cable: with the slack in its boxes, as volts and readings are "
        "calculated; waves in the trench and what is cut off come on top. Dig: cover, pipe or cable, and bedding. "
        "Cover: from the top of the cable to the finished surface.",
        context.basis.who_decides_cover,
        *_columns(context),
        *questions,
        context.basis.edition_note,
    )
    return Table(
        "runs", "Runs", COLUMNS, tuple(parts), ("job", "computed"), (*cover_rows(context), *soil_rows(context)),
        notes=tuple(line(note) for note in notes if note), landscape=True,
    )  # fmt: skip


def _row(context: Context, position: int, answers: Mapping[str, Answered]) -> tuple[Cell, ...]:
    run, units = context.network.all_runs[position], context.units
    cover, trench = context.analysis.covers[position], context.analysis.trench.runs[position]
    cable = context.job.cables[run.cable]
    kind = f"{fmt.conductor_label(cable.conductor)} {cable.build}{duct_text(context, run)}"
    return (
        cell(box_line(context, run.from_id)),
        cell(box_line(context, run.to_id)),
        figure_cell(run.length, units),
        figure_cell(run_length(context.analysis.lengths[run.id].circuit_m, "cut"), units),
        cell(kind),
        cell(str(context.reel_of.get(run.id, ""))),
        cell(context.surface(run.surface)),
        cell("there already") if run.existing else figure_cell(length(trench.depth_m, "least"), units),
        missing_cell(NOT_DUG) if run.existing else figure_cell(run.cover, units),
        missing_cell(NOT_DUG) if run.existing else _least(context, cover),
        cell("not dug" if run.existing else cover_verdict(cover, answers.get(run.id))),
        cell("yes" if run.closure else "no"),
        *(
            figure_cell(volume(value, "nearest"), units)
            for value in (trench.dug_m3, trench.loose_m3, trench.bedding_m3, trench.backfill_m3, trench.surplus_m3)
        ),
    )


def _columns(context: Context) -> Iterator[str]:
    """Which column of the cover table the least cover is read from, where runs lie in a duct or have armour."""
    covers = [each for each in context.analysis.covers if each.column]
    if all(each.laying == "cable" for each in covers):
        return
    for column in dict.fromkeys(each.column for each in covers):
        ways = dict.fromkeys(LAYING_WORDS[each.laying] for each in covers if each.column == column)
        yield f"Least cover is read in column {column}, for {fmt.listing(list(ways))}."
    if not all(each.own_column for each in covers):
        yield "The table has no column for a cable with armour: it is read as any cable laid in the ground."


def _least(context: Context, cover: CoverAnswer) -> Cell:
    """The least cover, with the figures that its source prints; who decides where the basis gives none."""
    figure = None if cover.min_m is None else length(cover.min_m, "least")
    printed_m = None if cover.min_inches is None else cover.min_inches * METRES_PER_INCH
    return Cell(line(least_cover_text(cover, context)), cover.min_m, figure, us_number=printed_m)


def _answers(context: Context) -> Iterator[tuple[str, Answered]]:
    """Each run for which somebody has answered whether the cover row binds, with the answer."""
    for each in context.findings:
        if isinstance(each, Placed) and each.code == COVER_OPEN:
            own = dict(each.part_answers)
            yield from ((run, given) for run in each.of if (given := own.get(run, each.answer)) is not None)


def cover_verdict(cover: CoverAnswer, answer: Answered | None = None) -> Line:
    """Whether a run's cover is enough, in words; where it is open whether the row binds, a question or its answer."""
    if cover.fits is None:
        return line("who decides must answer")
    if cover.rests_on_kind:
        return line(strong("ask: is it of the kind that the column is for?"))
    if cover.fits:
        return line("enough")
    if cover.binding == "binds":
        return line(strong("TOO LITTLE"))
    if answer is not None:
        return line(f"answered: {answer.reference or answer.date}")
    return line(strong("ask: does the row apply?"))


def each_loop_table(context: Context) -> Table:
    """A row for each box and closing run and state of the ring, with room for the reading and the soil of the day."""
    limits = [
        Column(f"{key}-{number}", f"{name} at {_soil(context, each.celsius)}", "resistance")
        for number, each in enumerate(context.analysis.loops.closed[0].limits)
        for key, name in (("least", "Least"), ("most", "Most"))
    ]
    columns = (
        Column("place", "Box"), Column("ring", "Ring"),
        Column("expected", f"Expected at {_soil(context, 20.0)}", "resistance"), *limits,
        Column("soil", "Soil on the day", "temperature"), Column("read", "Read on site", "resistance"),
    )  # fmt: skip
    return Table(
        "each-loop", "Loop readings", columns, one_part(_rows(context)), ("job", "computed"),
        resistance_rows(context, largest=False),
    )  # fmt: skip


def _rows(context: Context) -> Iterator[tuple[Cell, ...]]:
    """Boxes with the rings open, closing runs at their open end, then boxes with the rings closed."""
    loops, network = context.analysis.loops, context.network
    groups: list[tuple[Sequence[str], Sequence[LoopReading], str]] = [(network.boxes, loops.closed, "none")]
    if network.closures:
        ends = tuple(run.id for run in network.closures)
        groups = [
            (network.boxes, loops.opened, "open"), (ends, loops.closures, "open"),
            (network.boxes, loops.closed, "closed"),
        ]  # fmt: skip
    for places, readings, ring in groups:
        for place, reading in zip(places, readings, strict=True):
            expected = figure_cell(ohms(reading.ohms_20c, "nearest"), context.units)
            yield cell(place), cell(ring), expected, *_limits(context, reading), EMPTY_CELL, EMPTY_CELL


def _limits(context: Context, reading: LoopReading) -> Iterator[Cell]:
    """Least and most at each soil temperature, never looser than they are."""
    for limit in reading.limits:
        yield figure_cell(ohms(limit.low_ohms, "least"), context.units)
        yield figure_cell(ohms(limit.high_ohms, "most"), context.units)


def _soil(context: Context, celsius: float) -> str:
    """A soil temperature for a heading; the coldest and the hottest never told nearer to each other."""
    soil = context.job.conditions.soil_temperature
    ends: dict[float, Rounding] = {soil.low.si: "lowest", soil.high.si: "highest"}
    return temperature(celsius, ends.get(celsius, "nearest")).alone(context.units)


def least_cover_text(cover: CoverAnswer, context: Context) -> str:
    """The least cover with both figures that the source prints."""
    if cover.min_m is None:
        return "No figure"
    return fmt.printed(context.units, "least", metres=cover.min_m, inch=cover.min_inches)
