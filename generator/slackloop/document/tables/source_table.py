"""Every source that the figures of this handbook rest on, with how it was checked.

The rows of ``site_data`` on which computed figures rest: what tables give as ``rows_used``.

Rows that are alike said once: how many there are, and which differ.

At what the volts of a table are worked out, in one sentence.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from slackloop.compute.circuit.conductor import published_row
from slackloop.document.context import Context
from slackloop.document.inline import line, plain
from slackloop.document.page import PageSource
from slackloop.document.table import Column, Table, cell, count_cell, one_part
from slackloop.reference.rows import Checked, Row, SoilRow
from slackloop.reference.tables import RowList, row_lists
from slackloop.sections import format as fmt
from slackloop.sections.catalogue import FigureSource
from slackloop.sections.format import count
from slackloop.sections.inspection_points import spans
from slackloop.sections.page_source import named_clauses
from slackloop.sections.section import SOURCE_WORDS, Step
from slackloop.site.specification import Build
from slackloop.units.conductor_size import ConductorSize
from slackloop.units.figure import stated as stated_figure

FROM_MEMORY: Checked = "from memory, to be checked"
SOURCE_COLUMNS = (
    Column("source", "Source", share=6), Column("used_for", "Used for", share=6),
    Column("checked", "How it was checked", share=4), Column("rows", "Rows", "count", share=1),
)  # fmt: skip


def sources_table(context: Context, used: Iterable[Row]) -> Table:
    """The sources of the rows that tables ``used`` and of those that the text names."""
    wanted = {id(row) for row in (*used, *_named_by_text(context), *_checked_against(context))}
    lists = [
        RowList(each.used_for, tuple(row for row in each.rows if id(row) in wanted))
        for each in row_lists(context.tables, (context.basis,))
    ]
    return source_rows(lists, text_figures(context), (context.basis.edition_note,))


def source_rows(lists: Sequence[RowList], figures: Sequence[FigureSource], notes: Sequence[str]) -> Table:
    """One row for each source and way of checking, with what it is used for and how many rows rest on it."""
    found: dict[tuple[str, str], dict[str, int]] = {}
    named: list[tuple[str, str, str]] = []
    named += [(each.used_for, row.source, row.checked) for each in lists for row in each.rows]
    named += [("figures in the text", figure.source, figure.checked) for figure in figures]
    for used_for, source, checked in named:
        uses = found.setdefault((_work(source), "" if source == SOURCE_WORDS["practice"] else checked), {})
        uses[used_for] = uses.get(used_for, 0) + 1
    rows = [
        (cell(source), cell(", ".join(uses)), cell(checked), count_cell(sum(uses.values())))
        for (source, checked), uses in sorted(found.items(), key=lambda each: each[0][0].casefold())
    ]
    intro = (
        "Where every figure comes from. A figure from memory says so until a person has compared it with the source. A "
        "clause is named by number in the row or the index that rests on it."
    )
    shown = [*dict.fromkeys(notes), "Rules of the trade that no source states are marked: common practice, no "
             "published source."]  # fmt: skip
    return Table(
        "sources", "Sources", SOURCE_COLUMNS, one_part(rows), ("method",), landscape=True,
        intro=line(intro), notes=tuple(line(note) for note in shown if note),
    )  # fmt: skip


def unread_sources(sources: Table) -> int:
    """How many sources nobody has compared with what was written from memory."""
    return sum(plain(row[2].line) == FROM_MEMORY for row in sources.rows)


def _work(source: str) -> str:
    """The work that a source names, without the clause: ``29 CFR 1926`` for 29 CFR 1926.651(b)."""
    return source.split(".")[0] if source.startswith("29 CFR") else source


def text_figures(context: PageSource) -> tuple[FigureSource, ...]:
    """The figures that are in the text of the sections that apply."""
    here = {each.section.front.id for each in context.sections}
    return tuple(each for each in context.content.words.figures.values() if not here.isdisjoint(each.sections))


def _named_by_text(context: Context) -> Iterator[Row]:
    """The clauses that requirements cite and the signs that sections show."""
    basis, words, signs = context.basis, context.content.words, context.tables.signs
    for applied in context.sections:
        for each in applied.requirements:
            if each.source == "code":
                yield from (row for name in named_clauses(each.clause) if (row := basis.clause(name)))
        steps = (block for block in applied.steps if isinstance(block, Step))
        cautions = (words.cautions.get(name) for step in steps for name in step.caution)
        yield from (signs[each.sign] for each in cautions if each is not None and each.sign in signs)
        worn = (words.protective.get(name) for name in applied.named("protective"))
        yield from (signs[each.sign] for each in worn if each is not None and each.sign in signs)


def _checked_against(context: Context) -> Iterator[Row]:
    """What the check of the job compares it with and no table shows: limits on volts, insulation, clauses of those."""
    basis, job, tables = context.basis, context.job, context.tables
    yield from tables.voltage_limits.values()
    insulation = published_row(job, basis, tables)
    if insulation is not None:
        yield insulation
    if basis.power_limit is not None and (limit := basis.power_limit.row(job.supply.current)) is not None:
        yield limit
    parts = (basis.cover, basis.burial, basis.power_limit)
    names = {part.clause for part in parts if part is not None} | {row.clause for row in basis.excavation}
    yield from (row for name in sorted(names) if (row := basis.clause(name)))
    if basis.mains is not None and job.supply.current == "ac" and job.supply.frequency is None:
        yield basis.mains


def once(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Each row once, in the order of first use; rows that read alike are still rows of their own."""
    return tuple({id(row): row for row in rows}.values())


def size_rows(context: Context, size: ConductorSize) -> Iterator[Row]:
    """The row that gives the area of an AWG size; mm² sizes state their own."""
    if size.system == "AWG":
        yield from (row for gauge, row in context.tables.conductors.awg_sizes.items() if gauge == size.number)


def resistance_rows(context: Context, *, largest: bool) -> tuple[Row, ...]:
    """Rows behind the resistance of the job's cables: the largest that they may have, or what a meter reads."""
    sizes = {(cable.conductor, cable.build) for cable in context.job.cables.values()}
    ordered = sorted(sizes, key=lambda each: (each[0].label, each[1]))
    return once(row for size, build in ordered for row in conductor_rows(context, size, build, largest=largest))


def conductor_rows(context: Context, size: ConductorSize, build: Build, *, largest: bool) -> Iterator[Row]:
    """Rows behind the resistance of one conductor; the least that a meter may read is plain copper of its area."""
    tables, copper = context.tables, context.tables.copper.rows
    if size.system == "AWG":
        yield from size_rows(context, size)
        yield copper["conductivity"]
        if build != "solid":
            yield copper["lay-factor"]
        if largest:
            yield copper["largest-over-nominal"]
    else:
        limits = tables.conductors.iec_60228_class_5 if build == "flexible" else tables.conductors.iec_60228
        row = limits.get(size.number)
        if row is not None and not largest:
            yield copper["conductivity"]
        if row is not None:
            yield row
        else:
            yield copper["conductivity"]
            yield from limits.values()
    yield copper["alpha"]


def listed_size_rows(context: Context) -> tuple[Row, ...]:
    """Rows behind the resistance and weight of every listed size in the build of the path's cable."""
    tables, copper = context.tables, context.tables.copper.rows
    own = context.job.cables[context.job.path.cable]
    listed = tables.conductors.iec_60228_class_5 if own.build == "flexible" else tables.conductors.iec_60228
    names = ["conductivity", *(["lay-factor"] if own.build != "solid" else []), "largest-over-nominal", "alpha"]
    constants = (copper[name] for name in (*names, "density"))
    return (*tables.conductors.awg_sizes.values(), *listed.values(), *constants)


def splice_rows(context: Context) -> tuple[Row, ...]:
    """Rows behind the copper areas of every conductor that meets in a splice."""
    job = context.job
    sizes = [cable.conductor for cable in job.cables.values()]
    sizes += [device.leads.conductor for device in job.devices.values()]
    sizes += [solenoid.leads.conductor for solenoid in job.solenoids.values() if solenoid.leads]
    part = job.rules.earthing.surge_part
    sizes += [part.leads.conductor] if part is not None else []
    return once(row for size in sizes for row in size_rows(context, size))


def cover_rows(context: Context) -> tuple[Row, ...]:
    """The rows of the cover table that runs are compared with."""
    cover = context.basis.cover
    if cover is None:
        return ()
    return once(cover.row(run.surface) for run in context.network.all_runs)


def soil_rows(context: Context) -> tuple[SoilRow, ...]:
    """The rows of the job's soil and of the bedding's sand, each once."""
    soils = context.tables.soils
    found = (soils.find(context.job.conditions.soil), soils.find("sand"))
    return tuple({id(row): row for row in found if row is not None}.values())


def electrode_rows(context: Context) -> tuple[Row, ...]:
    """Rows behind rods and soil: groups of rods where the soil is known, else what is needed to measure it."""
    tables, answer = context.tables, context.analysis.electrodes
    formulas = tables.formulas
    if answer.ohms_each is None:
        return (formulas["one-rod"], formulas["four-pins"], formulas["pin-depth"], *tables.resistivity)
    return (formulas["one-rod"], *tables.rod_groups.values())


FEW = 12
"""Names that are listed one by one; of more, their number is said."""


def where(names: Sequence[str], total: int, order: Mapping[str, int], one: str, many: str) -> str:
    """The places of alike rows: ``all 38 boxes``, ``31 boxes: B01 to B28, B30 to B32``, or ``B07, B12``."""
    if len(names) == total and total > 1:
        return f"all {count(total, one, many)}"
    listed = spans(list(names), order)
    return listed if len(names) <= FEW and len(listed) < 60 else f"{count(len(names), one, many)}: {listed}"


def volts_at(context: Context) -> str:
    """Supply, soil and conductor behind all volts; no table mixes two sets of them."""
    supply = context.job.supply
    stated = supply.lowest or supply.volts
    always = fmt.listing([str(station) for station in supply.always_on])
    hottest = stated_figure(context.job.conditions.soil_temperature.high, "highest").text(context.units)
    words = {0: "", 1: f"; station {always} always in operation"}
    return (
        f"All volts: {fmt.written(stated.text)} at the controller{', its lowest' if supply.lowest else ''}; soil at "
        f"its hottest, {hottest}; the largest resistance that the conductors may have; slack in the boxes counted"
        + words.get(len(supply.always_on), f"; stations {always} always in operation")
        + "."
    )
