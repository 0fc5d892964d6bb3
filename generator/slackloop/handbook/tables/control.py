"""Tables of control: findings, departures from the standard, and every source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context
from slackloop.handbook.findings_page import LEVELS, answer_text, level_mark, where
from slackloop.handbook.material import Material
from slackloop.handbook.section_words import SOURCE_WORDS
from slackloop.handbook.tables.path_tables import box_link
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Table, TablePart, one_part
from slackloop.handbook.text import trusted
from slackloop.handbook.used_sources import used_rows
from slackloop.handbook.words import FigureSource
from slackloop.job.finding import path_text
from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.rows import Row as SourceRow


def findings_table(context: Context) -> Table:
    """Every finding, errors first."""
    rows = [
        (level_mark(each.level), box_link(context, each.box), each.message, answer_text(each) or each.hint,
         where(context, each), each.code)
        for level in LEVELS
        for each in context.findings
        if each.level == level
    ]
    headings = ("Level", "Box", "What", "Mend or answer", "Place in the job", "Code")
    columns = tuple(Column(heading) for heading in headings)
    return Table(
        "findings", "Findings by place", "What the check of the job found.", columns, one_part(rows), (COMPUTED,)
    )


def departures_table(context: Context) -> Table:
    """Every value where the job departs from the firm's standing standard."""
    departures = context.reading.departures if context.reading else ()
    rows = [
        (
            path_text(each.at),
            fmt.written(each.standard_text),
            fmt.written(each.job_text),
            each.reason or trusted('<span class="open">No reason is given</span>'),
        )
        for each in departures
    ]
    columns = (Column("Key"), Column("The standard says"), Column("This job says"), Column("Why"))
    named = context.job.standard
    intro = (
        "The job's own value wins." if named else "This job names no standing standard, so nothing departs from one."
    )
    sources = (JOB, "The firm's standing standard.") if named else (JOB,)
    return Table("departures", "Departures from the standard", intro, columns, one_part(rows), sources)


def sources_table(context: Context) -> Table:
    """Every source that the figures of this handbook rest on, with how it was checked."""
    basis = context.basis
    printed = f"Tables of this handbook; code basis: {basis.title}."
    return source_rows(used_rows(context), (basis,), text_figures(context), printed)


def text_figures(context: Material) -> tuple[FigureSource, ...]:
    """The figures that stand in the text of the sections that apply."""
    here = {each.section.front.id for each in context.sections}
    return tuple(each for each in context.content.words.figures.values() if not here.isdisjoint(each.sections))


def source_rows(
    found: Mapping[str, Iterable[SourceRow | FigureSource]],
    bases: tuple[CodeBasis, ...],
    figures: tuple[FigureSource, ...],
    source: str,
) -> Table:
    """The table of the sources of ``found``, rows by what they are used for, and of these figures in the text."""
    found = {**found, "Figures in the text": figures}
    parts = [TablePart("", tuple((use, *row) for use, rows in found.items() for row in _pairs(rows)))]
    columns = (Column("Used for"), Column("Source"), Column("How it was checked"), Column("Rows", align="right"))
    return Table(
        "sources",
        "Sources",
        "Where every figure comes from. A figure from memory says so until somebody has held it against the source.",
        columns,
        tuple(parts),
        (source,),
        notes=(
            *dict.fromkeys(basis.edition_note for basis in bases),
            "Rules of the trade that no source states are marked: common practice, no published source.",
        ),
        door="Inspect",
        own_place=True,
    )


def _pairs(rows: Iterable[SourceRow | FigureSource]) -> Iterator[tuple[str, str, str]]:
    """Each pair of source and check, with how many rows rest on it."""
    counts: dict[tuple[str, str], int] = {}
    for row in rows:
        counts[row.source, row.checked] = counts.get((row.source, row.checked), 0) + 1
    for (source, checked), count in counts.items():
        yield source, "–" if source == SOURCE_WORDS["practice"] else checked, str(count)


def _supply_facts(context: Context) -> list[tuple[str, str]]:
    """What the job states of its supply besides volts and current; a row for each."""
    supply, hertz = context.job.supply, context.outlook.mains_hz
    always = ", ".join(str(station) for station in supply.always_on)
    return [
        *([("Lowest volts of the supply", fmt.written(supply.lowest.text))] if supply.lowest else []),
        *([("Frequency of the supply", f"{hertz:g} Hz")] if hertz else []),
        *([("Stations that always operate, counted in those at once", always)] if always else []),
    ]


def job_facts_table(context: Context) -> Table:
    """Every standing fact of the job, as the job file states it."""
    values = context.values
    rows = [
        ("Supply", f"{values.supply_volts}, {values.supply_kind}"),
        *_supply_facts(context),
        ("Most stations at once", values.stations_at_once),
        ("Soil", values.soil),
        ("Soil at cable depth, coldest and hottest", f"{values.coldest} to {values.hottest}"),
        ("Frost depth", values.frost_depth),
        ("Slack", f"{values.slack_length} {values.slack_rule}"),
        ("Bare copper at each conductor end", values.strip),
        ("Cover over the cable", values.cover),
        ("Trench width", values.trench_width),
        ("Trench depth", values.trench_depth),
        ("Pipe in the trench, outside diameter", values.pipe_od),
        ("Bedding under and around", values.bedding),
        ("Warning tape", f"Yes, {values.tape_depth} below the surface" if context.job.trench.warning_tape else "No"),
        ("Earth rod", values.rod),
        ("Earth electrode, most resistance", values.target),
        ("Electrodes: boxes between", values.every_boxes),
        ("Electrodes: run between", values.every_run),
        ("Rod to cable, least distance", values.clear_of_cable),
        ("Insulation test", f"{values.insulation_volts}, at least {values.insulation_least}"),
        ("Loop reading, tolerance", values.loop_tolerance),
        ("Loop meter, error", values.loop_meter),
        ("Waste on cable", values.waste),
        ("Spares on small parts", values.spare),
        ("Site hazards", ", ".join(context.job.conditions.hazards) or "None stated"),
    ]
    sources = (JOB, "Depth of the tape, half the cover: common practice, no published source.")
    intro = "What the job asks for. Every other figure in this handbook follows from these."
    return Table(
        "job-facts", "Job facts", intro, (Column("Fact"), Column("Value")), one_part(rows), sources, own_place=True
    )
