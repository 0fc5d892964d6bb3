"""Which rows of the reference tables one handbook uses, so that its sources page lists those and no others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from slackloop.compute.insulation import published_row
from slackloop.handbook.clauses import named_clauses
from slackloop.handbook.context import Context
from slackloop.handbook.section import Step
from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.rows import Row
from slackloop.reference.tables import ReferenceTables

if TYPE_CHECKING:
    from slackloop.compute.analysis import Analysis

BEDDING = "sand"


def every_row(tables: ReferenceTables, bases: tuple[CodeBasis, ...]) -> dict[str, Iterable[Row]]:
    """Every row of the reference tables and of these code bases, by what it is used for."""
    conductors = tables.conductors
    limits = [row for basis in bases if basis.power_limit for row in basis.power_limit.rows]
    return {
        "Conductor sizes": conductors.awg_sizes.values(),
        "Resistance of mm² sizes": conductors.iec_60228.values(),
        "Resistance of mm² sizes, flexible": conductors.iec_60228_class_5.values(),
        "Copper": tables.copper.rows.values(),
        "Soil volumes": tables.soils.rows.values(),
        "Groups of rods": tables.rod_groups.values(),
        "Soil resistivity": tables.resistivity,
        "Insulation tests": tables.insulation.values(),
        "Marks on the ground": tables.marks,
        "Signs": tables.signs.values(),
        "Limits on volts": [*tables.voltage_limits.values(), *limits],
        "Risk": tables.risk.cells.values(),
        "Frequency of the supply": [basis.mains for basis in bases if basis.mains],
        "Cover": [row for basis in bases if basis.cover for row in basis.cover.rows],
        "Digging": [row for basis in bases for row in basis.excavation],
        "Clauses": [row for basis in bases for row in basis.clauses],
    }


def used_rows(context: Context) -> dict[str, Iterable[Row]]:
    """The rows that this job's handbook rests on, by what they are used for; what is not used is left out.

    Sizes and resistances are there in full, since the table of other conductor sizes reads every one.
    """
    tables, basis, job, analysis = context.tables, context.basis, context.job, context.analysis
    soils = {soil.name: soil for name in (job.conditions.soil, BEDDING) if (soil := tables.soils.find(name))}
    insulation = published_row(job, basis, tables)
    known = job.conditions.soil_resistivity is not None
    limit = basis.power_limit.row(job.supply.current) if basis.power_limit else None
    by_basis = basis.mains is not None and job.supply.current == "ac" and job.supply.frequency is None
    return every_row(tables, (basis,)) | {
        "Soil volumes": soils.values(),
        "Groups of rods": tables.rod_groups.values() if known else (),
        "Soil resistivity": () if known else tables.resistivity,
        "Insulation tests": (insulation,) if insulation else (),
        "Marks on the ground": tables.marks if basis.clause("marks") else (),
        "Signs": [tables.signs[number] for number in sorted(set(_signs(context))) if number in tables.signs],
        "Limits on volts": [*tables.voltage_limits.values(), *([limit] if limit else [])],
        "Frequency of the supply": (basis.mains,) if by_basis and basis.mains else (),
        "Cover": _cover_rows(context, analysis),
        "Clauses": [row for name in sorted(_cited(context)) if (row := basis.clause(name))],
    }


def _cover_rows(context: Context, analysis: Analysis) -> list[Row]:
    """The rows of the cover table that this job's runs are in."""
    cover = context.basis.cover
    if cover is None:
        return []
    return list({run.surface: cover.row(run.surface) for run in analysis.network.all_runs}.values())


def _cited(context: Context) -> set[str]:
    """Ids of the clauses that requirements, findings and tables of this handbook cite."""
    basis = context.basis
    parts = (basis.cover, basis.burial, basis.power_limit)
    names = {part.clause for part in parts if part is not None} | {row.clause for row in basis.excavation}
    for applied in context.sections:
        for each in applied.requirements:
            if each.source == "code":
                names.update(named_clauses(each.clause))
    return names


def _signs(context: Context) -> Iterator[str]:
    """Numbers of the signs that this handbook prints: those of its cautions and of its protective equipment."""
    words = context.content.words
    for applied in context.sections:
        for name in applied.named("protective"):
            if name in words.protective:
                yield words.protective[name].sign
        steps = (block for block in applied.steps if isinstance(block, Step))
        for name in (name for step in steps for name in step.caution):
            if name in words.cautions:
                yield words.cautions[name].sign
