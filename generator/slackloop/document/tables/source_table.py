"""Every source that the figures of this handbook rest on, with how it was checked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from slackloop.compute.circuit.insulation import published_row
from slackloop.document.context import Context
from slackloop.document.inline import line
from slackloop.document.page_source import PageSource
from slackloop.document.table import Column, Table, cell, count_cell, one_part
from slackloop.reference.rows import Row
from slackloop.reference.tables import RowList, row_lists
from slackloop.sections.catalogue import FigureSource
from slackloop.sections.clauses import named_clauses
from slackloop.sections.section import Step
from slackloop.sections.section_words import SOURCE_WORDS

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
