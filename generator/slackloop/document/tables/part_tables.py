"""The parts of the job as the makers' sheets give them: cables, connectors and devices, by title and part number."""

from __future__ import annotations

import math
from collections.abc import Sequence

from slackloop.document.context import Context
from slackloop.document.inline import line
from slackloop.document.table import Cell, Column, Table, cell, count_cell, figure_cell, one_part
from slackloop.document.tables.rows_behind import once, size_rows
from slackloop.reference.rows import Row
from slackloop.sections import format as fmt
from slackloop.sections.part_titles import cable_titles, connector_titles, device_titles
from slackloop.sections.views import connector_view
from slackloop.units.figure import stated
from slackloop.units.quantity import ConductorSize, Quantity

CABLE_COLUMNS = (
    Column("cable", "Cable", share=5), Column("part", "Part number", share=2), Column("a", "Core a", share=2),
    Column("b", "Core b", share=2),
    Column("copper", "Copper in each core", share=3), Column("od", "Outside diameter", "length", share=3),
    Column("bend", "Least bending radius", "length", share=3), Column("reel", "Reel", "run", share=3),
)  # fmt: skip
CONNECTOR_COLUMNS = (
    Column("connector", "Connector", share=4), Column("part", "Part number", share=2),
    Column("listing", "Listing", share=2), Column("sizes", "Conductor sizes", share=3),
    Column("wires", "Wires", share=2), Column("area", "Copper in one splice", share=3),
    Column("strip", "Strip", "length", share=3), Column("pack", "In a pack", "count", share=1),
    Column("closing", "How it is closed", share=5),
)  # fmt: skip
DEVICE_COLUMNS = (
    Column("device", "Device", share=4), Column("part", "Part number", share=2),
    Column("outputs", "Outputs", "count", share=2),
    Column("leads", "Leads", share=4), Column("rest", "Takes at rest", "current", share=2),
    Column("each", "Takes for each output", "current", share=3), Column("least", "Least volts", "volts", share=2),
    Column("most", "Most volts", "volts", share=2), Column("count", "On this job", "count", share=2),
)  # fmt: skip


def cables_table(context: Context) -> Table:
    """The job's cables."""
    job, titles = context.job, cable_titles(context.job)
    rows = [
        (
            cell(titles[name]), cell(cable.part), cell(cable.cores.a), cell(cable.cores.b),
            cell(_copper(cable.conductor)), _stated(context, cable.jacket_od), _stated(context, cable.least_bend),
            cell("") if cable.reel is None else figure_cell(stated(cable.reel, "lowest"), context.units),
        )
        for name, cable in job.cables.items()
    ]  # fmt: skip
    intro = "Compare each reel with this table before it is used. Colours are those printed on the reel."
    used = once(row for cable in job.cables.values() for row in size_rows(context, cable.conductor))
    return _parts("cables", "Cables", CABLE_COLUMNS, rows, used, intro)


def connectors_table(context: Context) -> Table:
    """The job's connectors with the limits printed on the pack."""
    job, titles = context.job, connector_titles(context.job)
    rows = []
    for name, connector in job.connectors.items():
        view = connector_view(name, connector, context.units)
        rows.append((
            cell(titles[name]), cell(connector.part), cell(view.listing), cell(view.sizes), cell(view.wires),
            cell(view.area), _stated(context, connector.strip), count_cell(connector.pack), cell(view.closing),
        ))  # fmt: skip
    return _parts("connectors", "Connectors", CONNECTOR_COLUMNS, rows, (), "Compare each pack with this table. "
                  "The pack comes before the table.")  # fmt: skip


def devices_table(context: Context) -> Table:
    """The job's devices."""
    job, titles, units = context.job, device_titles(context.job), context.units
    used = [each.device for box in job.path.boxes for each in box.fitted]
    rows = [
        (
            cell(titles[name]), cell(device.part), count_cell(device.outputs),
            cell(f"{_copper(device.leads.conductor)}, {device.leads.build}"),
            figure_cell(stated(device.standby, "nearest"), units),
            figure_cell(stated(device.per_output, "nearest"), units) if device.per_output else cell(""),
            figure_cell(stated(device.least_volts, "least"), units),
            figure_cell(stated(device.most_volts, "most"), units) if device.most_volts else cell(""),
            count_cell(used.count(name)),
        )
        for name, device in job.devices.items()
    ]  # fmt: skip
    areas = once(row for device in job.devices.values() for row in size_rows(context, device.leads.conductor))
    return _parts("devices", "Devices", DEVICE_COLUMNS, rows, areas, "Every kind of device on the path.")


def _parts(
    table_id: str,
    title: str,
    columns: tuple[Column, ...],
    rows: Sequence[tuple[Cell, ...]],
    used: tuple[Row, ...],
    intro: str,
) -> Table:
    """A table of parts; columns that no part fills are left out."""
    filled = [n for n in range(len(columns)) if n == 0 or any(row[n] != cell("") for row in rows)]
    shown = [tuple(row[n] for n in filled) for row in rows]
    return Table(
        table_id, title, tuple(columns[n] for n in filled), one_part(shown), ("job", "maker"), used, line(intro),
        landscape=True,
    )  # fmt: skip


def _copper(size: ConductorSize) -> str:
    """A conductor with its area and the diameter of a solid one."""
    if math.isnan(size.area_mm2):
        return fmt.conductor_label(size)
    diameter = f"{2.0 * math.sqrt(size.area_mm2 / math.pi):.2f} mm"
    area = f"{size.area_mm2:.2f} mm²" if size.system == "AWG" else ""
    return ", ".join(part for part in (fmt.conductor_label(size), area, f"{diameter} thick if solid") if part)


def _stated(context: Context, quantity: Quantity | None) -> Cell:
    """A quantity as the job wrote it; a dash where it states none."""
    return cell("") if quantity is None else figure_cell(stated(quantity, "nearest"), context.units)
