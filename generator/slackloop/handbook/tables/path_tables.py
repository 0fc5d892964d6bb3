"""Tables that follow the path: boxes, runs, volts, loop readings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from slackloop.compute.loop import LoopReading
from slackloop.handbook import format as fmt
from slackloop.handbook.addresses import box_uri
from slackloop.handbook.box_facts import cover_text, duct_text, least_cover_text
from slackloop.handbook.context import Context
from slackloop.handbook.loop_text import HOW, passes, soil_text
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.resistance_basis import NOMINAL_SOURCE, largest_source, volts_basis
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Row, Table, TablePart
from slackloop.handbook.text import link
from slackloop.path.network import Run


def box_link(context: Context, box_id: str) -> str:
    """A link from a table's page to a box's page; plain text for the controller."""
    return link(box_id, f"../{box_uri(box_id)}") if box_id in context.network.index else box_id


def by_arm(context: Context, row: Callable[[int], Row]) -> tuple[TablePart, ...]:
    """A row a box, in the groups that box pages use too."""
    return tuple(TablePart(group.title, tuple(row(index) for index in group.indices)) for group in context.groups)


def boxes_table(context: Context) -> Table:
    """Every box with its device, address, stations and what meets in it."""

    def row(index: int) -> Row:
        box, slack = context.box(index), context.analysis.slack[index]
        device = context.device(box)
        stations = ", ".join(str(station) for station in box.stations)
        title = device.title if device else "None"
        return box_link(context, box.id), box.name, title, box.address, stations, str(slack.tails), box.note

    columns = ("Box", "Name", "Device", "Address", "Stations", "Cable ends", "Note")
    return Table(
        "boxes",
        "Boxes",
        "Every box in the order in which the path reaches it.",
        tuple(Column(heading) for heading in columns),
        by_arm(context, row),
        (JOB,),
        door="Install",
    )


def runs_table(context: Context) -> Table:
    """Every run, closing runs last."""
    network, units = context.network, context.units
    numbers = {run: str(n) for plan in context.analysis.reels for run, n in plan.reel_numbers().items()}

    def cells(position: int) -> Row:
        run = network.runs[position] if position < len(network.runs) else network.closures[position - len(network.runs)]
        cover = context.analysis.covers[position]
        least = least_cover_text(cover, context)
        ends = (box_link(context, run.from_id), box_link(context, run.to_id))
        length = fmt.told(run.length, units)
        cable, under = f"{run.cable}{duct_text(context, run)}", context.surface(run.surface)
        return (*ends, length, cable, numbers.get(run.id, "–"), under, cover_text(context, run), least)

    parts = by_arm(context, cells)
    if network.closures:
        closing = range(len(network.runs), len(network.runs) + len(network.closures))
        parts = (*parts, TablePart("Runs that close a ring", tuple(cells(position) for position in closing)))
    columns = ("From", "To", "Length", "Cable", "Reel", "Under", "Cover", "Least cover")
    return Table(
        "runs",
        "Runs",
        "Every run of cable, along the trench, without slack. Reel: the number in the reel plan.",
        tuple(Column(heading) for heading in columns),
        parts,
        (JOB, "Lengths that the job does not give: straight line between coordinates plus the detour."),
        banner=failed_banner(context, "cover", "run-longer"),
        door="Install",
    )


def volts_table(context: Context) -> Table:
    """Volts at each box: at rest, and the lowest for any choice of running outputs."""
    volts = context.analysis.volts

    def row(index: int) -> Row:
        box = context.box(index)
        device = context.device(box)
        least = fmt.written(device.least_volts.text) if device else "–"
        lowest = fmt.lowest_volts(volts.worst_volts[index])
        return box_link(context, box.id), fmt.lowest_volts(volts.standby_volts[index]), lowest, least

    supply = context.analysis.supply
    rest, most = (fmt.amps(value, "highest") for value in (supply.standby_a, supply.worst_a))
    intro = (
        f"At rest the path draws {rest}; at most {most}, and the controller delivers "
        f"{fmt.written(context.job.supply.limit.text)}. The path can carry {supply.most_stations_at_once} "
        f"stations at once; the job asks for {context.job.supply.stations_at_once}."
    )
    return Table(
        "volts",
        "Volts along the path",
        intro,
        (
            Column("Box"),
            Column("At rest", align="right"),
            Column("Lowest", align="right"),
            Column("Device needs", align="right"),
        ),
        by_arm(context, row),
        (COMPUTED, largest_source(context), "Superposition on a resistive network."),
        notes=(
            volts_basis(context),
            "Lowest: for every choice of stations that may operate together, anywhere on the path.",
        ),
        banner=failed_banner(context, "volts", "supply"),
        door="Inspect",
    )


def loop_table(context: Context) -> Table:
    """What passes at the controller's meter with the pair shorted at each box, at each soil temperature."""
    loops, network = context.analysis.loops, context.network

    def cells(reading: LoopReading) -> Row:
        return (fmt.ohms(reading.ohms_20c, "nearest"), *(passes(limit) for limit in reading.limits))

    def parts(title: str, readings: Sequence[LoopReading]) -> Iterator[TablePart]:
        for part in by_arm(context, lambda index: (box_link(context, network.boxes[index]), *cells(readings[index]))):
            yield TablePart(f"{part.title}, {title}" if title else part.title, part.rows)

    if network.closures:
        closing = tuple(
            (ring_link(context, run), *cells(reading))
            for run, reading in zip(network.closures, loops.closures, strict=True)
        )
        ends = TablePart("Ring runs, shorted at their open end", closing)
        every = (*parts("ring open", loops.opened), ends, *parts("ring closed", loops.closed))
    else:
        every = tuple(parts("", loops.closed))
    soils = [soil_text(context, limit) for limit in loops.closed[0].limits]
    headings = ("Expected at 20 °C (68 °F)", *(f"Passes at {soil}" for soil in soils))
    return Table(
        "loop-readings",
        "Loop readings",
        "Resistance at the controller's end, pair off the controller, pair shorted at the box. Slack in the boxes is "
        "counted. Cable alone: a device on the way may change a reading, as its maker's sheet says.",
        (Column("Box"), *(Column(heading, align="right") for heading in headings)),
        every,
        (
            COMPUTED,
            NOMINAL_SOURCE,
            f"Tolerance {context.values.loop_tolerance}, error of the meter {context.values.loop_meter}: "
            "job specification.",
        ),
        notes=(HOW, "First read the two test leads alone, and take that reading off each loop reading."),
        door="Inspect",
        own_place=True,
    )


def ring_link(context: Context, run: Run) -> str:
    """A link from a table's page to the page of a closing run."""
    return link(run.id, f"../{box_uri(run.id)}")
