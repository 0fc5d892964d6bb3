"""One table a box: its device, its volts and reading, its slack and its electrode."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.context import Context
from slackloop.document.inline import line
from slackloop.document.table import Cell, Column, Part, Table, cell, figure_cell
from slackloop.document.tables.resistance_basis import volts_basis
from slackloop.document.tables.run_table import box_line
from slackloop.reference.rows import Row
from slackloop.sections import format as fmt
from slackloop.units.figure import ohms, volts

COLUMNS = (
    Column("box", "Box"), Column("name", "Name"), Column("device", "Device"), Column("address", "Address"),
    Column("stations", "Stations"), Column("rest", "At rest", "volts"), Column("lowest", "Lowest", "volts"),
    Column("needs", "Needs", "volts"), Column("loop", "Loop at 20 °C", "resistance"),
    Column("ends", "Cable ends", "count"),
    Column("slack", "Slack on each"), Column("electrode", "Electrode"), Column("note", "Note"),
)  # fmt: skip
SPOILED_BY = ("volts-low", "volts-collapse", "supply-over", "solenoid-volts-low")


def box_table(context: Context) -> Table:
    """Every box in the order in which the path reaches it."""
    supply, job = context.analysis.supply, context.job
    parts = tuple(Part(group.title, tuple(_row(context, index) for index in group.indices)) for group in context.groups)
    rest, most = (fmt.amps(amps, "highest") for amps in (supply.standby_a, supply.worst_a))
    intro = (
        f"At rest the path takes {rest}; at most {most}, and the controller delivers "
        f"{fmt.written(job.supply.limit.text)}. The path can carry "
        f"{fmt.count(supply.most_stations_at_once, 'station', 'stations')} at once; the job asks for "
        f"{job.supply.stations_at_once}."
    )
    climate = job.conditions.soil_temperature
    notes = (
        volts_basis(context),
        "Lowest: for every choice of stations that may operate together, anywhere on the path. Loop: the pair off the "
        "controller and shorted at the box, the resistance of the test leads taken off; its limits for the soil of "
        f"the day ({fmt.temperature(climate.low.si, context.units, 'nearest')} to "
        f"{fmt.temperature(climate.high.si, context.units, 'nearest')}) are on the card and the page of each box.",
    )
    return Table(
        "boxes", "Boxes", COLUMNS, parts, ("job", "computed"), tuple(_rows_used(context)), line(intro),
        tuple(line(note) for note in notes), landscape=True,
    )  # fmt: skip


def _row(context: Context, index: int) -> tuple[Cell, ...]:
    facts, units = BoxFacts(context, index), context.units
    box, device = facts.box, context.device(facts.box)
    answer, slack = context.analysis.volts, context.analysis.slack[index]
    rest, worst = answer.standby_volts[index], answer.worst_volts[index]
    return (
        cell(box_line(context, box.id)),
        cell(box.name),
        cell(device.title if device else "none"),
        cell(box.address),
        cell(", ".join(str(station) for station in box.stations)),
        Cell(line("no volts")) if rest is None else figure_cell(volts(rest, "nearest"), units),
        Cell(line("no volts")) if worst is None else figure_cell(volts(worst, "lowest"), units),
        figure_cell(volts(device.least_volts.si, "least"), units) if device else cell(""),
        figure_cell(ohms(context.analysis.loops.closed[index].ohms_20c, "nearest"), units),
        Cell(line(str(slack.tails)), float(slack.tails)),
        cell(facts.slack_text(slack.per_tail_m)),
        cell(facts.electrode),
        cell(box.note),
    )


def _rows_used(context: Context) -> Iterator[Row]:
    """The rows on which resistance rests: copper, and the sizes of the cables in use."""
    tables = context.tables
    yield from (tables.copper.rows[name] for name in ("conductivity", "alpha", "largest-over-nominal"))
    for cable in context.job.cables.values():
        size = cable.conductor
        if size.system == "AWG":
            yield from (row for gauge, row in tables.conductors.awg_sizes.items() if gauge == size.number)
        elif cable.build == "flexible":
            yield from (row for area, row in tables.conductors.iec_60228_class_5.items() if area == size.number)
        else:
            yield from (row for area, row in tables.conductors.iec_60228.items() if area == size.number)
