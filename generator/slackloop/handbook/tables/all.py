"""Every table by the name that content uses for it, in printed order."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

from slackloop.handbook.context import Context
from slackloop.handbook.tables import (
    box_tables,
    control,
    ground,
    marks_table,
    outlook_tables,
    parts,
    path_tables,
    record_sheet,
    reels_table,
    registers,
    risk_matrix,
    safety_tables,
)
from slackloop.handbook.tables.table import Table

TABLES: MappingProxyType[str, Callable[[Context], Table]] = MappingProxyType(
    {
        "job-facts": control.job_facts_table,
        "findings": control.findings_table,
        "departures": control.departures_table,
        "materials": parts.materials_table,
        "reels": reels_table.reels_table,
        "cables": parts.cables_table,
        "conductors": parts.conductors_table,
        "conductor-sizes": outlook_tables.sizes_table,
        "spare-length": outlook_tables.spare_table,
        "makers-limits": outlook_tables.limits_table,
        "reactance": outlook_tables.reactance_table,
        "connectors": parts.connectors_table,
        "devices": parts.devices_table,
        "trench": ground.trench_table,
        "trench-triggers": ground.trench_triggers_table,
        "utility-marks": marks_table.utility_marks_table,
        "hazards": safety_tables.hazards_table,
        "risk-matrix": risk_matrix.risk_matrix_table,
        "tools": safety_tables.tools_table,
        "protective": safety_tables.protective_table,
        "boxes": path_tables.boxes_table,
        "runs": path_tables.runs_table,
        "splices": box_tables.splices_table,
        "slack": box_tables.slack_table,
        "electrodes": box_tables.electrodes_table,
        "requirements": registers.requirements_table,
        "clauses": registers.clauses_table,
        "inspection-and-test-plan": registers.plan_table,
        "record-sheet": record_sheet.record_sheet_table,
        "loop-readings": path_tables.loop_table,
        "volts": path_tables.volts_table,
        "ring-breaks": outlook_tables.ring_breaks_table,
        "solenoids": reels_table.solenoids_table,
        "cover": ground.cover_table,
        "sources": control.sources_table,
    }
)
