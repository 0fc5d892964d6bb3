"""Every table of the handbook by its id, in printed order: who makes it, what spoils it, where it is shown.

A new table is one function and one line here. A module of this folder that defines a table and is not named here
fails a test that says so.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from types import MappingProxyType

from slackloop.document.boxes.box_values import BOX_VALUES
from slackloop.document.context import Context
from slackloop.document.drawings.work import WORK_DRAWINGS
from slackloop.document.inserts import FIGURES
from slackloop.document.page import BookPart
from slackloop.document.table import Table
from slackloop.document.tables import (
    alternative_tables,
    box_table,
    fault_tables,
    ground_tables,
    job_tables,
    matrix,
    order_tables,
    reel_tables,
    risk_tables,
    run_table,
    source_table,
    splice_tables,
)
from slackloop.reference.rows import Row
from slackloop.reference.tables import ReferenceTables
from slackloop.sections import format as fmt
from slackloop.sections.checker import Known
from slackloop.source.codes import codes

MENU: MappingProxyType[str, str] = MappingProxyType({"design": "Design", "inspection": "Inspection"})
"""Where the tables of each part are in the menu."""


@dataclass(frozen=True, slots=True)
class TableDefinition:
    """One table: ``make`` gives it, without its banner.

    ``files`` are the ids of the tables that are given as files beside its page, its own among them where it is one.
    Which errors make it wrong to build from is in the list of codes (``source.codes``, ``spoils``). ``page`` is
    false for a table that is a file only, ``paper`` for one that no part of the printed handbook shows. ``holds`` are
    names that sections may use for facts which it holds.
    """

    id: str
    make: Callable[[Context], Table]
    part: BookPart = "design"
    files: tuple[str, ...] = ()
    page: bool = True
    paper: bool = True
    omit_when_empty: bool = False
    holds: tuple[str, ...] = ()


def _sources(context: Context) -> Table:
    """The sources of every row that the other tables use."""
    return source_table.sources_table(context, rows_used(context))


def _matrix(context: Context) -> Table:
    """The matrix with the results that were recorded, if any."""
    return matrix.matrix_table(context, matrix.recorded_results(context))


DEFINITIONS: tuple[TableDefinition, ...] = (
    TableDefinition("job-facts", job_tables.job_facts_table),
    TableDefinition("departures", job_tables.departures_table, omit_when_empty=True),
    TableDefinition("assumptions", job_tables.assumptions_table, files=("assumptions",), omit_when_empty=True),
    TableDefinition("materials", order_tables.materials_table, files=("materials", "material-boxes")),
    TableDefinition("material-boxes", order_tables.material_boxes_table, page=False),
    TableDefinition("order-phases", order_tables.phase_table, files=("order-phases",), omit_when_empty=True),
    TableDefinition("reels", reel_tables.reels_table, files=("reels", "pulls")),
    TableDefinition("pulls", reel_tables.pulls_table, page=False),
    TableDefinition("cables", job_tables.cables_table, holds=("conductors",)),
    TableDefinition("connectors", job_tables.connectors_table),
    TableDefinition("devices", job_tables.devices_table),
    TableDefinition("runs", run_table.run_table, files=("runs",), holds=("cover",)),
    TableDefinition("boxes", box_table.box_table, files=("boxes", "each-loop"),
                    holds=("slack", "volts", "loop-readings")),
    TableDefinition("each-loop", run_table.each_loop_table, page=False),
    TableDefinition("splices", splice_tables.splice_table, files=("each-splice",)),
    TableDefinition("each-splice", splice_tables.each_splice_table, page=False),
    TableDefinition("solenoids", splice_tables.solenoid_table, files=("each-solenoid",)),
    TableDefinition("each-solenoid", splice_tables.each_solenoid_table, page=False),
    TableDefinition("hazards", risk_tables.hazards_table),
    TableDefinition("risk-matrix", risk_tables.risk_matrix_table),
    TableDefinition("volumes", ground_tables.volumes_table, files=("runs",), holds=("trench",)),
    TableDefinition("trench-triggers", ground_tables.trench_triggers_table, omit_when_empty=True),
    TableDefinition("utility-marks", ground_tables.utility_marks_table, omit_when_empty=True),
    TableDefinition("electrodes", ground_tables.electrodes_table, files=("each-electrode",)),
    TableDefinition("each-electrode", ground_tables.each_electrode_table, page=False),
    TableDefinition("soil-test", ground_tables.soil_test_table, omit_when_empty=True),
    TableDefinition("conductor-sizes", alternative_tables.sizes_table),
    TableDefinition("cable-choice", alternative_tables.choice_table, files=("choice-runs",), omit_when_empty=True),
    TableDefinition("choice-runs", alternative_tables.choice_runs_table, page=False),
    TableDefinition("spare-length", alternative_tables.spare_table),
    TableDefinition("makers-limits", alternative_tables.limits_table, omit_when_empty=True),
    TableDefinition("ring-breaks", alternative_tables.ring_breaks_table, omit_when_empty=True),
    TableDefinition("reactance", alternative_tables.reactance_table, omit_when_empty=True),
    TableDefinition("van", risk_tables.van_table, paper=False, holds=("tools", "protective")),
    TableDefinition("sources", _sources),
    TableDefinition("matrix", _matrix, "inspection",
                    holds=("requirements", "inspection-and-test-plan", "record-sheet")),
    TableDefinition("hold-points", matrix.hold_points_table, "inspection", omit_when_empty=True),
    TableDefinition("faults", fault_tables.faults_table, "inspection", files=("each-fault",)),
    TableDefinition("each-fault", fault_tables.each_fault_table, page=False),
    TableDefinition("clause-index", matrix.clause_index_table, "inspection", omit_when_empty=True, holds=("clauses",)),
)  # fmt: skip

BY_ID: MappingProxyType[str, TableDefinition] = MappingProxyType({each.id: each for each in DEFINITIONS})
HOMES: MappingProxyType[str, str] = MappingProxyType({name: each.id for each in DEFINITIONS for name in each.holds})
"""Names that sections may use for facts that another table holds."""
FILES: tuple[str, ...] = tuple(dict.fromkeys(name for each in DEFINITIONS for name in each.files))
"""The ids of the tables that are given as files, in the order of the workbook's sheets."""


def table_of(context: Context, name: str) -> Table | None:
    """The table that sections call ``name``, with its banner; made once for a context. None for a name that is none."""
    definition = BY_ID.get(HOMES.get(name, name))
    if definition is None:
        return None
    if definition.id not in context.made:
        table = definition.make(context)
        context.made[definition.id] = replace(table, banner=banner(context, definition))
    return context.made[definition.id]


def banner(context: Context, definition: TableDefinition) -> str:
    """What is wrong with a table that errors spoil; empty where nothing is."""
    errors = [each for each in context.analysis.findings if each.level == "error"]
    found = [each for each in errors if definition.id in codes()[each.code].spoils]
    if not found:
        return ""
    more = f" And {fmt.count(len(found) - 1, 'more error', 'more errors')}." if len(found) > 1 else ""
    return f"{found[0].message.rstrip('.')}.{more} See the findings."


def rows_used(context: Context) -> tuple[Row, ...]:
    """Every row of ``site_data`` that the tables use, the list of sources aside."""
    tables = (table_of(context, each.id) for each in DEFINITIONS if each.id != "sources")
    return tuple(row for table in tables if table is not None for row in table.rows_used)


def page_tables(context: Context) -> tuple[tuple[TableDefinition, Table], ...]:
    """Every table that has a page, in printed order."""
    shown = []
    for each in DEFINITIONS:
        table = table_of(context, each.id) if each.page else None
        if table is not None and (table.rows or not each.omit_when_empty):
            shown.append((each, table))
    return tuple(shown)


def file_tables(context: Context) -> tuple[Table, ...]:
    """Every table that is given as a file, in the order of the workbook's sheets."""
    return tuple(table for name in FILES if (table := table_of(context, name)) is not None)


def known(tables: ReferenceTables) -> Known:
    """What content may name: tables, drawings and values of a box by name, and clauses by their ids."""
    clauses = frozenset(clause.id for basis in tables.code_bases.values() for clause in basis.clauses)
    return Known({**BY_ID, **HOMES}, {**FIGURES, **WORK_DRAWINGS}, clauses, BOX_VALUES)
