"""Tables of parts: materials to order, and the job's cables, conductors, connectors and devices."""

from __future__ import annotations

from slackloop.compute.analysis import BEDDING_SOIL
from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context
from slackloop.handbook.format import Units
from slackloop.handbook.spans import spans
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Table, one_part
from slackloop.handbook.views import cable_views, connector_views, device_views
from slackloop.units.figure import Figure

ORDER_DIGITS = 9
"""Orders are rounded up once, where they are worked out, and printed whole."""
MAKER = "The makers' sheets, as the job file gives them."


def materials_table(context: Context) -> Table:
    """What to order, with where each quantity comes from."""
    units, order = context.units, context.network.index
    numbered = any(m.part for m in context.analysis.materials)
    rows = [
        (
            m.item,
            m.kind,
            amount(m.quantity, m.unit, units),
            amount(m.order, m.order_unit, units),
            m.basis,
            spans(m.boxes, order) or "controller",
            *([m.part] if numbered else []),
        )
        for m in context.analysis.materials
    ]
    sand = context.tables.soils.rows[BEDDING_SOIL]
    return Table(
        "materials",
        "Materials to order",
        f"Quantity is what the work takes; order adds waste ({context.values.waste} on cable) and spares "
        f"({context.values.spare} on small parts), in whole reels and packs.",
        (
            Column("Item"),
            Column("Kind"),
            Column("Quantity", align="right"),
            Column("Order", align="right"),
            Column("From"),
            Column("Needed in"),
            *([Column("Part number")] if numbered else []),
        ),
        one_part(rows),
        (JOB, COMPUTED, f"Sand, loose for compacted: {sand.source} ({sand.checked})."),
        banner=failed_banner(context, "run-longer", "connector"),
        own_place=True,
    )


def amount(quantity: float, unit: str, units: Units) -> str:
    """A quantity with its unit: both systems for lengths and volumes, whole pieces, packs and reels counted."""
    if unit == "m":
        return fmt.run_length(quantity, units, "cut")
    if unit == "m3":
        return fmt.told(Figure(quantity, "volume", "cut", digits=ORDER_DIGITS), units)
    return fmt.count(round(quantity), unit, f"{unit}s")


def cables_table(context: Context) -> Table:
    """The job's cables."""
    rows = [
        (v.name, v.conductor, v.build, v.core_a, v.core_b, v.jacket, v.od, v.reel) for v in cable_views(context.job)
    ]
    headings = ("Cable", "Conductor", "Build", "Core a", "Core b", "Jacket", "Outside diameter", "Reel")
    columns = tuple(Column(heading) for heading in headings)
    intro = "Hold each reel against this table before it is used. Colours are those printed on the reel."
    return Table("cables", "Cables", intro, columns, one_part(rows), (JOB, MAKER))


def conductors_table(context: Context) -> Table:
    """Every conductor size in use, with its area and diameter."""
    sizes = {}
    for cable in context.job.cables.values():
        sizes[cable.conductor.label] = cable.conductor
    for device in context.job.devices.values():
        sizes[device.leads.conductor.label] = device.leads.conductor
    for solenoid in context.job.solenoids.values():
        if solenoid.leads:
            sizes[solenoid.leads.conductor.label] = solenoid.leads.conductor
    rows = []
    for size in sorted(sizes.values(), key=lambda each: -each.area_mm2):
        diameter_mm = 2 * (size.area_mm2 / 3.141592653589793) ** 0.5
        rows.append((fmt.conductor_label(size), fmt.area(size.area_mm2, "nearest"), f"{diameter_mm:.2f} mm"))
    return Table(
        "conductors",
        "Conductors",
        "Every conductor size that meets in a splice.",
        (Column("Size"), Column("Copper", align="right"), Column("Diameter of a solid one", align="right")),
        one_part(rows),
        ("AWG: ASTM B258 (recomputed from its formula).", "mm²: nominal areas, IEC 60228."),
    )


def connectors_table(context: Context) -> Table:
    """The job's connectors with the limits printed on the pack."""
    rows = [
        (v.title, v.listing, v.sizes, v.wires, v.area, v.strip, v.pack, v.closing) for v in connector_views(context.job)
    ]
    headings = (
        "Connector", "Listing", "Conductor sizes", "Wires", "Copper in one splice", "Strip", "In a pack", "Closed",
    )  # fmt: skip
    columns = tuple(Column(heading) for heading in headings)
    intro = "Compare each pack with this table. The pack wins."
    return Table("connectors", "Connectors", intro, columns, one_part(rows), (JOB, MAKER))


def devices_table(context: Context) -> Table:
    """The job's devices."""
    used = [box.device for box in context.job.path.boxes if box.device]
    rows = [
        (v.title, v.outputs, v.leads, v.standby, v.per_output, v.least_volts, fmt.grouped(used.count(v.name)))
        for v in device_views(context.job)
    ]
    headings = ("Device", "Outputs", "Leads", "Draws at rest", "Draws for each output", "Least volts", "On this job")
    columns = tuple(Column(heading) for heading in headings)
    return Table("devices", "Devices", "Every kind of device on the path.", columns, one_part(rows), (JOB, MAKER))
