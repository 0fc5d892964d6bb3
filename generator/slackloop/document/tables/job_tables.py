"""What the job states, what it is not sure of, and where it departs from the firm's standing standard.

The parts of the job as the makers' sheets give them: cables, connectors and devices, by title and part number.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from slackloop.document.context import Context
from slackloop.document.doubts import Doubt, doubts
from slackloop.document.inline import Line, line, strong
from slackloop.document.table import Cell, Column, Table, cell, count_cell, figure_cell, one_part
from slackloop.document.tables.source_table import once, size_rows
from slackloop.reference.rows import Row
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import cable_titles, connector_titles, device_titles
from slackloop.sections.views import connector_view
from slackloop.site.schema import key_title
from slackloop.source.finding import At
from slackloop.units.conductor_size import ConductorSize
from slackloop.units.figure import stated
from slackloop.units.quantity import Quantity

FACT_COLUMNS = (Column("fact", "Fact"), Column("value", "Value"))
DEPARTURE_COLUMNS = (
    Column("what", "What"), Column("standard", "The standard says"), Column("job", "This job says"),
    Column("why", "Why"),
)  # fmt: skip
DOUBT_COLUMNS = (
    Column("fact", "Fact", share=6), Column("value", "Taken as", share=4), Column("of", "Of", share=5),
    Column("moves", "What moves with it", share=7), Column("before", "Confirm before", share=5),
    Column("place", "In the job file", share=4),
)  # fmt: skip


def job_facts_table(context: Context) -> Table:
    """Every standing fact of the job, as the job file states it."""
    rows = [(cell(fact), cell(value)) for fact, value in _facts(context)]
    intro = "What the job requires. Every other figure in this handbook is calculated from these."
    notes: tuple[Line, ...] = ()
    if context.job.trench.warning_tape:
        notes = (line("Warning tape lies at half the cover."),)
    return Table(
        "job-facts", "Job facts", FACT_COLUMNS, one_part(rows), ("job", *(("practice",) if notes else ())), (),
        line(intro), notes,
    )  # fmt: skip


def _facts(context: Context) -> Iterator[tuple[str, str]]:
    values, job = context.values, context.job
    yield "Supply", f"{values.supply_volts}, {values.supply_kind}"
    yield from _supply_facts(context)
    yield "Most stations at once", values.stations_at_once
    yield "Soil", values.soil
    yield "Soil at cable depth, coldest and hottest", f"{values.coldest} to {values.hottest}"
    yield "Frost depth", values.frost_depth
    yield "Slack", f"{values.slack_length} {values.slack_rule}"
    yield "Bare copper at each wire end", values.strip
    yield "Cover over the cable", values.cover
    yield "Trench width", values.trench_width
    yield "Trench depth", values.trench_depth
    yield "Pipe in the trench, outside diameter", values.pipe_od
    yield "Bedding under and around", values.bedding
    yield "Warning tape", f"yes, {values.tape_depth} below the surface" if job.trench.warning_tape else "no"
    yield "Earth rod", values.rod
    yield "Earth electrode, most resistance", values.target
    yield "Most boxes from one electrode to the next", values.every_boxes
    yield "Most run from one electrode to the next", values.every_run
    yield "Least distance from rod to cable", values.clear_of_cable
    yield "Insulation test", f"{values.insulation_volts}, at least {values.insulation_least}"
    yield "Loop reading, tolerance", values.loop_tolerance
    yield "Loop meter, error", values.loop_meter
    yield "Meter that reads volts, error", values.volt_meter
    yield "Waste on cable", values.waste
    yield "Spares on small parts", values.spare
    yield "Site hazards", ", ".join(job.conditions.hazards) or "none stated"


def _supply_facts(context: Context) -> Iterator[tuple[str, str]]:
    """What the job states of its supply besides volts and current."""
    supply, hertz = context.job.supply, context.outlook.mains_hz
    if supply.lowest:
        yield "Lowest volts of the supply", fmt.written(supply.lowest.text)
    if hertz:
        yield "Frequency of the supply", f"{hertz:g} Hz"
    if supply.always_on:
        numbers = ", ".join(str(station) for station in supply.always_on)
        yield "Stations that always operate, counted in those at once", numbers


def departures_table(context: Context) -> Table:
    """Every value where the job departs from the firm's standing standard; no rows where it names none."""
    departures = context.reading.departures if context.reading else ()
    rows = [
        (
            cell(_what(context, each.at)), cell(fmt.written(each.standard_text)), cell(fmt.written(each.job_text)),
            cell(each.reason or strong("no reason is given")),
        )
        for each in departures
    ]  # fmt: skip
    intro = "The firm's standing standard says one thing and this job another. The job's own value counts."
    return Table(
        "departures", "Departures from the standard", DEPARTURE_COLUMNS, one_part(rows), ("job", "standard"),
        intro=line(intro),
    )  # fmt: skip


def _what(context: Context, at: At) -> str:
    """What a departure is about, with the part that it belongs to."""
    title = key_title(at)
    words = title[:1].upper() + title[1:]
    part = context.part_titles.get(str(at[0]), {}).get(str(at[1]), "") if len(at) > 1 else ""
    return f"{words}: {part}" if part else words


def assumptions_table(context: Context) -> Table:
    """The list with what each fact moves; no rows where the job is sure of everything."""
    rows = [_doubt_row(each) for each in doubts(context)]
    intro = (
        "Facts that the job assumes or does not know, those with most effect on volts and on orders first. Find them "
        "out in this order. Each is a hold point on the job sheet."
    )
    note = "Not known: the figures that rest on it are told as not known too, and never guessed."
    return Table(
        "assumptions", "Facts to confirm", DOUBT_COLUMNS, one_part(rows), ("job",), (), line(intro), (line(note),),
        landscape=True,
    )  # fmt: skip


def _doubt_row(each: Doubt) -> tuple[Cell, ...]:
    fact = each.fact[:1].upper() + each.fact[1:]
    return (
        cell(fact), cell(each.value), cell(each.of), cell(each.effect.moves), cell(each.effect.before),
        cell(each.where),
    )  # fmt: skip


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
    Column("strip", "Bare copper", "length", share=3), Column("pack", "In a pack", "count", share=1),
    Column("closing", "How it is closed", share=5),
)  # fmt: skip
DEVICE_COLUMNS = (
    Column("device", "Device", share=4), Column("part", "Part number", share=2),
    Column("outputs", "Outputs", "count", share=2),
    Column("leads", "Leads", share=4), Column("rest", "Takes, outputs off", "current", share=2),
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
