"""Tables of the ground: cover against the code basis, and the trench with its volumes."""

from __future__ import annotations

from slackloop.compute.analysis import BEDDING_SOIL
from slackloop.compute.cover import CoverAnswer
from slackloop.compute.places import some_of
from slackloop.compute.trench import Trigger, triggers
from slackloop.handbook import format as fmt
from slackloop.handbook.box_facts import cover_text, least_cover_text
from slackloop.handbook.context import Context
from slackloop.handbook.section_words import SOURCE_WORDS
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.path_tables import by_arm
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Row, Table, TablePart, one_part
from slackloop.reference.code_basis import ExcavationRow
from slackloop.units.figure import volume


def cover_verdict(cover: CoverAnswer) -> str:
    """Whether a run's cover is enough, in words; where it is open whether the row binds, a question."""
    if cover.fits is None:
        return "No figure: who decides must answer"
    if cover.fits:
        return "Enough"
    return "TOO LITTLE" if cover.binding == "binds" else "Less than printed: ask whether the row binds"


def _with_closures(context: Context, parts: tuple[TablePart, ...], rows: tuple[Row, ...]) -> tuple[TablePart, ...]:
    """Rows of closing runs as a part of their own."""
    return (*parts, TablePart("Runs that close a ring", rows)) if rows else parts


def cover_table(context: Context) -> Table:
    """Cover of each run against the row of the code basis."""
    covers = context.analysis.covers
    runs = context.network.all_runs

    def row(position: int) -> Row:
        cover = covers[position]
        least = least_cover_text(cover, context)
        return cover.run_id, cover_text(context, runs[position]), least, cover.row or "–", cover_verdict(cover)

    closing = tuple(row(position) for position in range(len(context.network.runs), len(covers)))
    basis = context.basis
    questions = tuple(dict.fromkeys(cover.question for cover in covers if cover.question))
    source = "The code basis gives no figure for cover."
    if basis.cover is not None:
        clause = basis.clause(basis.cover.clause)
        checked = basis.cover.rows[0].checked
        source = f"Least cover: {clause.source if clause else basis.cover.clause} ({checked})."
    return Table(
        "cover",
        "Cover over the cable",
        f"Cover runs from the top of the cable to the finished surface. {basis.who_decides_cover}",
        tuple(Column(name) for name in ("Run to", "Cover", "Least cover", "Row of the code", "Verdict")),
        _with_closures(context, by_arm(context, row), closing),
        (JOB, source),
        notes=(*questions, basis.edition_note),
        banner=failed_banner(context, "cover"),
        door="Inspect",
    )


VOLUMES = ("Dug, in the ground", "Dug, loose", "Bedding, compacted", "Backfill, compacted", "Surplus, loose")


def _volume(cubic_metres: float, context: Context) -> str:
    """A volume in the job's own unit: the sums have both."""
    return volume(cubic_metres, "cut").alone(context.units)


def trench_table(context: Context) -> Table:
    """Depth and volumes of each run's trench."""
    units, answer, runs = context.units, context.analysis.trench, context.network.all_runs

    def cells(position: int) -> Row:
        run = answer.runs[position]
        volumes = (run.dug_m3, run.loose_m3, run.bedding_m3, run.backfill_m3, run.surplus_m3)
        lengths = (fmt.told(runs[position].length, units), fmt.length(run.depth_m, units, "least"))
        return (run.run_id, *lengths, *(_volume(volume, context) for volume in volumes))

    closing = tuple(cells(position) for position in range(len(context.network.runs), len(answer.runs)))
    totals = (answer.dug_m3, answer.loose_m3, answer.bedding_m3, answer.backfill_m3, answer.surplus_m3)
    sums = (fmt.volume(value, units, "cut") for value in totals)
    total: Row = ("All runs", fmt.run_length(answer.length_m, units, "cut"), "", *sums)
    parts = (*_with_closures(context, by_arm(context, cells), closing), TablePart("In all", (total,)))
    soil = context.tables.soils.find(context.job.conditions.soil)
    sand = context.tables.soils.find(BEDDING_SOIL)
    rows = tuple(dict.fromkeys(row for row in (soil, sand) if row is not None))
    unit = "m³" if units == "metric" else "yd³"
    sources = tuple(f"Swell and shrinkage of {row.name}: {row.source} ({row.checked})." for row in rows)
    return Table(
        "trench",
        "Trench and volumes",
        f"Width {context.values.trench_width}. Depth is cover, pipe or cable, and bedding under it. Backfill is the "
        "space over the bedding, filled with dug soil and compacted; surplus is what is left over.",
        (
            Column("Run to"),
            Column("Length", align="right"),
            Column("Depth", align="right"),
            *(Column(name, align="right") for name in VOLUMES),
        ),
        parts,
        (JOB, COMPUTED, *sources),
        notes=tuple(
            f"{row.name.capitalize()}: 1 {unit} in the ground is {row.bank_to_loose:.2f} {unit} dug out and "
            f"{row.bank_to_compacted:.2f} {unit} compacted."
            for row in rows
        ),
        banner=failed_banner(context, "trench", "cover"),
    )


def trench_triggers_table(context: Context) -> Table:
    """What the depth of the trench sets off in the code basis, each row with its clause."""
    basis, trench = context.basis, context.analysis.trench
    rows = [
        (
            each.row.title,
            _from_depth(each.row, context),
            _set_off(each, context),
            each.row.text,
            _distance(each.row, context),
            _cited(each.row),
        )
        for each in triggers(trench, basis)
    ]
    headings = ("What", "From depth", "On this job", "What is asked", "Distance", "Clause")
    no_depth = all(row.least_depth_m is None for row in basis.excavation)
    notes = (f"No depth is printed where the rules give none: {basis.who_decides}.",) if no_depth else ()
    return Table(
        "trench-triggers",
        "What the depth sets off",
        f"Rules of digging under {basis.title}, held against this trench: at its deepest "
        f"{fmt.length(trench.deepest_m, context.units, 'least')}.",
        tuple(Column(heading) for heading in headings),
        one_part(rows),
        (COMPUTED, "Rules: the clause in each row. Depths and distances are the figures that it prints."),
        notes=notes,
        door="Inspect",
    )


def _cited(row: ExcavationRow) -> str:
    """The clause and how it was checked; a practice has no copy to check."""
    return row.source if row.source == SOURCE_WORDS["practice"] else f"{row.source} ({row.checked})"


def _from_depth(row: ExcavationRow, context: Context) -> str:
    """The depth that the source prints, in its own units first."""
    if row.least_depth_m is None:
        return "Any depth"
    return fmt.printed(context.units, "most", metres=row.from_depth_m, feet=row.from_depth_ft)


def _set_off(trigger: Trigger, context: Context) -> str:
    """Whether this trench sets the row off, and on which runs."""
    if not trigger.set_off:
        return "No: nowhere so deep"
    if trigger.row.least_depth_m is None:
        return "Yes, at any depth"
    every = len(trigger.run_ids) == len(context.analysis.trench.runs)
    return "Yes, on every run" if every else f"Yes, runs to {some_of(trigger.run_ids)}"


def _distance(row: ExcavationRow, context: Context) -> str:
    """The distance that the rule prints, if any."""
    if row.distance_ft is None and row.distance_m is None:
        return "–"
    return fmt.printed(context.units, "least", metres=row.distance_m, feet=row.distance_ft)
