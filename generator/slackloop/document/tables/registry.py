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
from slackloop.document.tables.alternative_tables import (
    choice_runs_table,
    choice_table,
    limits_table,
    reactance_table,
    ring_breaks_table,
    sizes_table,
    spare_table,
)
from slackloop.document.tables.box_table import box_table
from slackloop.document.tables.fault_tables import each_fault_table, faults_table
from slackloop.document.tables.ground_tables import (
    each_electrode_table,
    electrodes_table,
    soil_test_table,
    trench_triggers_table,
    utility_marks_table,
    volumes_table,
)
from slackloop.document.tables.job_tables import (
    assumptions_table,
    cables_table,
    connectors_table,
    departures_table,
    devices_table,
    job_facts_table,
)
from slackloop.document.tables.matrix import clause_index_table, hold_points_table, matrix_table, recorded_results
from slackloop.document.tables.order_tables import (
    material_boxes_table,
    materials_table,
    phase_table,
)
from slackloop.document.tables.reel_tables import pulls_table, reels_table
from slackloop.document.tables.risk_tables import hazards_table, risk_matrix_table, van_table
from slackloop.document.tables.run_table import each_loop_table, run_table
from slackloop.document.tables.source_table import sources_table
from slackloop.document.tables.splice_tables import (
    each_solenoid_table,
    each_splice_table,
    solenoid_table,
    splice_table,
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
    return sources_table(context, rows_used(context))


def _matrix(context: Context) -> Table:
    """The matrix with the results that were recorded, if any."""
    return matrix_table(context, recorded_results(context))


DEFINITIONS: tuple[TableDefinition, ...] = (
    TableDefinition("job-facts", job_facts_table),
    TableDefinition("departures", departures_table, omit_when_empty=True),
    TableDefinition("assumptions", assumptions_table, files=("assumptions",), omit_when_empty=True),
    TableDefinition("materials", materials_table, files=("materials", "material-boxes")),
    TableDefinition("material-boxes", material_boxes_table, page=False),
    TableDefinition("order-phases", phase_table, files=("order-phases",), omit_when_empty=True),
    TableDefinition("reels", reels_table, files=("reels", "pulls")),
    TableDefinition("pulls", pulls_table, page=False),
    TableDefinition("cables", cables_table, holds=("conductors",)),
    TableDefinition("connectors", connectors_table),
    TableDefinition("devices", devices_table),
    TableDefinition("runs", run_table, files=("runs",), holds=("cover",)),
    TableDefinition("boxes", box_table, files=("boxes", "each-loop"), holds=("slack", "volts", "loop-readings")),
    TableDefinition("each-loop", each_loop_table, page=False),
    TableDefinition("splices", splice_table, files=("each-splice",)),
    TableDefinition("each-splice", each_splice_table, page=False),
    TableDefinition("solenoids", solenoid_table, files=("each-solenoid",)),
    TableDefinition("each-solenoid", each_solenoid_table, page=False),
    TableDefinition("hazards", hazards_table),
    TableDefinition("risk-matrix", risk_matrix_table),
    TableDefinition("volumes", volumes_table, files=("runs",), holds=("trench",)),
    TableDefinition("trench-triggers", trench_triggers_table, omit_when_empty=True),
    TableDefinition("utility-marks", utility_marks_table, omit_when_empty=True),
    TableDefinition("electrodes", electrodes_table, files=("each-electrode",)),
    TableDefinition("each-electrode", each_electrode_table, page=False),
    TableDefinition("soil-test", soil_test_table, omit_when_empty=True),
    TableDefinition("conductor-sizes", sizes_table),
    TableDefinition("cable-choice", choice_table, files=("choice-runs",), omit_when_empty=True),
    TableDefinition("choice-runs", choice_runs_table, page=False),
    TableDefinition("spare-length", spare_table),
    TableDefinition("makers-limits", limits_table, omit_when_empty=True),
    TableDefinition("ring-breaks", ring_breaks_table, omit_when_empty=True),
    TableDefinition("reactance", reactance_table, omit_when_empty=True),
    TableDefinition("van", van_table, paper=False, holds=("tools", "protective")),
    TableDefinition("sources", _sources),
    TableDefinition("matrix", _matrix, "inspection",
                    holds=("requirements", "inspection-and-test-plan", "record-sheet")),
    TableDefinition("hold-points", hold_points_table, "inspection", omit_when_empty=True),
    TableDefinition("faults", faults_table, "inspection", files=("each-fault",)),
    TableDefinition("each-fault", each_fault_table, page=False),
    TableDefinition("clause-index", clause_index_table, "inspection", omit_when_empty=True, holds=("clauses",)),
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
