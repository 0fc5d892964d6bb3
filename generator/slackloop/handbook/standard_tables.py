"""The tables of a standard's document: its limits, its parts, and every source."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from types import MappingProxyType

from slackloop.handbook import format as fmt
from slackloop.handbook.standard_context import StandardContext
from slackloop.handbook.standard_values import OWN, cable_rows, connector_rows, device_rows
from slackloop.handbook.tables import registers, risk_matrix, safety_tables
from slackloop.handbook.tables.control import source_rows, text_figures
from slackloop.handbook.tables.table import Column, Row, Table, one_part
from slackloop.handbook.used_sources import every_row

STANDARD = "The standard's own file."
MAKER = "What is printed on the pack or the reel: the maker's sheet."
LEFT = "What it leaves open, each job states for itself."


def limits_table(context: StandardContext) -> Table:
    """Every standing value, with the words of the job where the standard states none."""
    values, standard = context.values, context.standard
    tape = standard.stated("trench", "warning_tape")
    ends = standard.stated("rules", "earthing", "branch_ends")
    rows: list[Row] = [
        ("Slack", f"{values.slack_length} {values.slack_rule}"),
        ("Bare copper at each conductor end", values.strip),
        ("Cover over the cable", values.cover),
        ("Trench width", values.trench_width),
        ("Pipe in the trench, outside diameter", values.pipe_od),
        ("Bedding under and around", values.bedding),
        ("Warning tape", _yes(tape, f"Yes, {values.tape_depth} below the surface")),
        ("Earth rod", values.rod),
        ("Earth electrode, most resistance", values.target),
        ("Electrodes: most boxes between", values.every_boxes),
        ("Electrodes: most run between", values.every_run),
        ("Electrode at each branch end", _yes(ends, "Yes")),
        ("Rod to cable, least distance", values.clear_of_cable),
        ("Insulation test", f"{values.insulation_volts}, at least {values.insulation_least}"),
        ("Loop reading, tolerance", values.loop_tolerance),
        ("Loop meter, error", values.loop_meter),
        ("Waste on cable", values.waste),
        ("Spares on small parts", values.spare),
        ("Supply", f"{values.supply_volts} {values.supply_kind}" if standard.stated("supply", "volts") else _own()),
        ("Most stations at once", values.stations_at_once),
        ("Soil", values.soil),
        ("Frost depth", values.frost_depth),
        ("Hazards of every site", ", ".join(context.site_hazards) or "None stated"),
    ]
    sources = (STANDARD, LEFT, "Depth of the tape, half the cover: common practice, no published source.")
    intro = "What the firm asks on every job. A job may state another value, and its handbook then lists the departure."
    columns = (Column("Limit"), Column("Value"))
    return Table("limits", "Limits", intro, columns, one_part(rows), sources, own_place=True)


def _own() -> str:
    """The words for a value that each job states."""
    return f"[{OWN}]"


def _yes(stated: bool | None, words: str) -> str:
    """A yes or no that the standard states, or the job's own."""
    return _own() if stated is None else words if stated else "No"


def cables_table(context: StandardContext) -> Table:
    """The standard's cables."""
    rows = [
        (v.name, v.conductor, v.build, v.core_a, v.core_b, v.jacket, v.od, v.reel) for v in cable_rows(context.standard)
    ]
    headings = ("Cable", "Conductor", "Build", "Core a", "Core b", "Jacket", "Outside diameter", "Reel")
    intro = "Cables that any job may use. Colours are those printed on the reel."
    return _parts("cables", "Cables", intro, headings, rows)


def connectors_table(context: StandardContext) -> Table:
    """The standard's connectors with the limits printed on the pack."""
    rows = [
        (v.title, v.listing, v.sizes, v.wires, v.area, v.strip, v.pack, v.closing)
        for v in connector_rows(context.standard)
    ]
    headings = (
        "Connector", "Listing", "Conductor sizes", "Wires", "Copper in one splice", "Strip", "In a pack", "Closed",
    )  # fmt: skip
    return _parts("connectors", "Connectors", "Compare each pack with this table. The pack wins.", headings, rows)


def devices_table(context: StandardContext) -> Table:
    """The standard's devices."""
    views = device_rows(context.standard)
    rows = [(v.title, v.outputs, v.leads, v.standby, v.per_output, v.least_volts) for v in views]
    headings = ("Device", "Outputs", "Leads", "Draws at rest", "Draws for each output", "Least volts")
    return _parts("devices", "Devices", "Devices that any job may use.", headings, rows)


def solenoids_table(context: StandardContext) -> Table:
    """The standard's solenoids."""
    keys = ("inrush", "holding", "least_volts")
    rows = [
        (name, *(fmt.written(found.text) if (found := getattr(part, key)) else _own() for key in keys))
        for name, part in context.standard.solenoids.items()
    ]
    headings = ("Solenoid", "Draws while it pulls in", "Draws while it holds", "Least volts")
    return _parts("solenoids", "Solenoids", "Solenoids that any job may use.", headings, rows)


def _parts(id: str, title: str, intro: str, headings: tuple[str, ...], rows: Sequence[Row]) -> Table:
    """A table of parts; one without rows gets no page."""
    columns = tuple(Column(heading) for heading in headings)
    return Table(id, title, intro, columns, one_part(rows), (STANDARD, MAKER, LEFT), omit_when_empty=True)


def sources_table(context: StandardContext) -> Table:
    """Every source that the words and limits rest on, over all code bases that a job may name."""
    bases = tuple(context.tables.code_bases.values())
    printed = "Tables of this document; the job names its code basis."
    return source_rows(every_row(context.tables, bases), bases, text_figures(context), printed)


STANDARD_TABLES: MappingProxyType[str, Callable[[StandardContext], Table]] = MappingProxyType(
    {
        "limits": limits_table,
        "cables": cables_table,
        "connectors": connectors_table,
        "devices": devices_table,
        "solenoids": solenoids_table,
        "hazards": safety_tables.hazards_table,
        "risk-matrix": risk_matrix.risk_matrix_table,
        "tools": safety_tables.tools_table,
        "protective": safety_tables.protective_table,
        "requirements": registers.requirements_table,
        "clauses": registers.clauses_table,
        "inspection-and-test-plan": registers.plan_table,
        "sources": sources_table,
    }
)
"""Every table of a standard's document, in printed order."""
