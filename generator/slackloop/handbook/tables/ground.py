"""Tables of the ground: cover against the code basis, and the trench with its volumes."""

from __future__ import annotations

from slackloop.compute.cover import CoverAnswer
from slackloop.handbook import format as fmt
from slackloop.handbook.box_facts import cover_text
from slackloop.handbook.context import Context
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.path_tables import by_arm
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Row, Table, TablePart


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
    units, covers = context.units, context.analysis.covers
    runs = context.network.all_runs

    def row(position: int) -> Row:
        cover = covers[position]
        least = fmt.length(cover.min_m, units) if cover.min_m is not None else "No figure"
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


def trench_table(context: Context) -> Table:
    """Depth and volumes of each run's trench."""
    units, answer = context.units, context.analysis.trench

    def cells(position: int) -> Row:
        run = answer.runs[position]
        volumes = (run.dug_m3, run.loose_m3, run.bedding_m3, run.surplus_m3)
        lengths = (fmt.run_length(run.length_m, units), fmt.length(run.depth_m, units))
        return (run.run_id, *lengths, *(fmt.volume(volume, units) for volume in volumes))

    closing = tuple(cells(position) for position in range(len(context.network.runs), len(answer.runs)))
    totals = (answer.dug_m3, answer.loose_m3, answer.bedding_m3, answer.surplus_m3)
    total: Row = ("All runs", fmt.run_length(answer.length_m, units), "", *(fmt.volume(v, units) for v in totals))
    parts = (*_with_closures(context, by_arm(context, cells), closing), TablePart("In all", (total,)))
    soil = context.tables.soils.find(context.job.conditions.soil)
    source = f"Swell and shrinkage: {soil.source} ({soil.checked})." if soil else "Soil is not in the table."
    return Table(
        "trench",
        "Trench and volumes",
        f"Width {context.values.trench_width}. Depth is cover, pipe or cable, and bedding under it.",
        (
            Column("Run to"),
            Column("Length"),
            Column("Depth"),
            Column("Dug, in the ground"),
            Column("Dug, loose"),
            Column("Bedding"),
            Column("Surplus, loose"),
        ),
        parts,
        (JOB, COMPUTED, source),
        banner=failed_banner(context, "trench"),
    )
