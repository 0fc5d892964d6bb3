"""What content may name: the tables and drawings that are made here, and the clauses of every code basis."""

from __future__ import annotations

from slackloop.document.boxes.box_values import BOX_VALUES
from slackloop.document.drawings.work_drawings import WORK_DRAWINGS
from slackloop.document.inserts import FIGURES
from slackloop.document.tables.registry import BY_ID, HOMES
from slackloop.reference.tables import ReferenceTables
from slackloop.sections.checker import Known


def known(tables: ReferenceTables) -> Known:
    """Names of tables, drawings and values of a box, and ids of clauses."""
    clauses = frozenset(clause.id for basis in tables.code_bases.values() for clause in basis.clauses)
    return Known({**BY_ID, **HOMES}, {**FIGURES, **WORK_DRAWINGS}, clauses, BOX_VALUES)
