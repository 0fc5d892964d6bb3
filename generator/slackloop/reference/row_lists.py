"""Every list of rows that the handbook may rest on, each once: what the sources page walks.

A new reference table gets one line here; a test finds a table that has none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.rows import Row
from slackloop.reference.tables import ReferenceTables


@dataclass(frozen=True, slots=True)
class RowList:
    """Rows of one kind and what they are used for."""

    used_for: str
    rows: tuple[Row, ...]


def row_lists(tables: ReferenceTables, bases: Sequence[CodeBasis]) -> tuple[RowList, ...]:
    """Every list of the reference tables and of these code bases, in the order of the sources page."""
    conductors, risk = tables.conductors, tables.risk
    limits = tuple(row for basis in bases if basis.power_limit for row in basis.power_limit.rows)
    return (
        RowList("conductor sizes", (*conductors.awg_sizes.values(),)),
        RowList("resistance of mm² sizes", (*conductors.iec_60228.values(), *conductors.iec_60228_class_5.values())),
        RowList("copper", (*tables.copper.rows.values(),)),
        RowList("soil volumes", (*tables.soils.rows.values(),)),
        RowList("groups of rods", (*tables.rod_groups.values(),)),
        RowList("soil resistivity", tables.resistivity),
        RowList("formulas", (*tables.formulas.values(),)),
        RowList("insulation tests", (*tables.insulation.values(),)),
        RowList("marks on the ground", tables.marks),
        RowList("safety signs", (*tables.signs.values(),)),
        RowList("limits on volts", (*tables.voltage_limits.values(), *limits)),
        RowList("risk", (*risk.cells.values(), *risk.severities.values(), *risk.probabilities.values())),
        RowList("frequency of the supply", tuple(basis.mains for basis in bases if basis.mains)),
        RowList("cover", tuple(row for basis in bases if basis.cover for row in basis.cover.rows)),
        RowList("digging", tuple(row for basis in bases for row in basis.excavation)),
        RowList("clauses", tuple(row for basis in bases for row in basis.clauses)),
    )
