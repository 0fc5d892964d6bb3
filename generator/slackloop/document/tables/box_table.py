"""One table a box: its device, its volts and reading, its slack and its electrode."""

from __future__ import annotations

from dataclasses import replace

from slackloop.document.box_devices import BoxDevices
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.box_values import box_states
from slackloop.document.context import Context
from slackloop.document.inline import line
from slackloop.document.table import (
    Cell,
    Column,
    Part,
    Table,
    cell,
    figure_cell,
    missing_cell,
    number_cell,
)
from slackloop.document.tables.run_table import box_line
from slackloop.document.tables.source_table import once, resistance_rows, volts_at
from slackloop.reference.rows import Row
from slackloop.sections import format as fmt
from slackloop.site import effective_values as resolve
from slackloop.units.figure import length, ohms, run_length, stated, volts
from slackloop.units.ladder import System

NO_COIL = "the job gives no box size or no least bend"

_COLUMNS = (
    Column("box", "Box"), Column("name", "Name"), Column("device", "Device"), Column("address", "Address"),
    Column("stations", "Stations"), Column("rest", "Outputs off", "volts"), Column("lowest", "Lowest", "volts"),
    Column("needs", "Needs", "volts"), Column("loop", "Loop at 20 °C", "resistance"),
    Column("ends", "Cable ends", "count", total=True),
    Column("slack", "Slack on each", "length"), Column("electrode", "Electrode"), Column("note", "Note", share=1),
    Column("path", "Along the path", "run", in_files_only=True),
    Column("all-slack", "Slack in all", "run", in_files_only=True, total=True),
    Column("shortens", "A run may shorten by up to", "length", in_files_only=True),
    Column("coil", "Turns of a coil", "number", in_files_only=True),
    Column("across", "Coil across", "length", in_files_only=True),
    Column("lead", "Lead", "length", in_files_only=True),
)  # fmt: skip


def box_table(context: Context) -> Table:
    """Every box in the order in which the path reaches it."""
    supply, job = context.analysis.supply, context.job
    parts = tuple(Part(group.title, tuple(_row(context, index) for index in group.indices)) for group in context.groups)
    rest, most = (fmt.amps(amps, "highest") for amps in (supply.standby_a, supply.worst_a))
    intro = (
        f"With all outputs off the path takes {rest}; at most {most}, and the controller delivers "
        f"{fmt.written(job.supply.limit.text)}. The path can carry "
        f"{_stations(supply.most_stations_at_once)} at once; the job asks for "
        f"{job.supply.stations_at_once}."
    )
    values = context.values
    notes = (
        volts_at(context),
        "Lowest: for every choice of stations that may operate together, anywhere on the path. Loop: the pair off the "
        "controller and shorted at the box, the resistance of the test leads taken off, at the nominal resistance of "
        "the conductors; its limits for the soil of "
        f"the day ({values.coldest} to {values.hottest}) are on the card and the page of each box.",
        f"Between the hottest and the coldest soil a run shortens by up to "
        f"{length(max(each.contraction_m for each in context.analysis.slack), 'highest').text(context.units)}; soil "
        "holds a buried cable, so it shortens by less.",
    )
    return Table(
        "boxes", "Boxes", _columns(context), parts, ("job", "computed"), _rows_used(context), line(intro),
        tuple(line(note) for note in notes), landscape=True,
    )  # fmt: skip


def _columns(context: Context) -> tuple[Column, ...]:
    """The columns; the loop is read twice on a path with rings, which are closed only after they were read open."""
    states = [title for title, _ in box_states(context, 0)]
    made: list[Column] = []
    for column in _COLUMNS:
        if column.key != "loop":
            made.append(column)
            continue
        for number, title in enumerate(states):
            words = f"{column.heading}, {title.lower()}" if title else column.heading
            made.append(replace(column, key=f"loop-{number}" if number else "loop", heading=words))
    return tuple(made)


def _row(context: Context, index: int) -> tuple[Cell, ...]:
    facts, units = BoxFacts(context, index), context.units
    box, devices = facts.box, facts.devices
    answer, slack = context.analysis.volts, context.analysis.slack[index]
    rest, worst = answer.standby_volts[index], answer.worst_volts[index]
    return (
        cell(box_line(context, box.id)),
        cell(box.name),
        cell(devices.titles),
        cell("; ".join(each.address for each in devices.placed if each.address)),
        cell(devices.numbers),
        Cell(line("no volts")) if rest is None else figure_cell(volts(rest, "lowest"), units),
        Cell(line("no volts")) if worst is None else figure_cell(volts(worst, "lowest"), units),
        figure_cell(stated(devices.least_volts, "least"), units) if devices.least_volts else cell(""),
        *(figure_cell(ohms(reading.ohms_20c, "nearest"), units) for _, reading in box_states(context, index)),
        Cell(line(str(slack.tails)), float(slack.tails)),
        figure_cell(resolve.slack(context.job, slack.per_tail_m), units),
        cell("yes" if facts.electrode else ""),
        cell(" ".join(part for part in (facts.state.split(". ")[0] + "." if facts.state else "", box.note) if part)),
        *_file_cells(context, index),
    )


def _file_cells(context: Context, index: int) -> tuple[Cell, ...]:
    """What the file of boxes holds besides: its place, slack in all, its coil and the lead."""
    units, box, slack = context.units, context.box(index), context.analysis.slack[index]
    known = slack.coil_turns is not None and slack.coil_diameter_m is not None
    return (
        figure_cell(run_length(context.network.path_m[index], "nearest"), units),
        figure_cell(run_length(slack.total_m, "cut"), units),
        figure_cell(length(slack.contraction_m, "highest"), units),
        number_cell(slack.coil_turns or 0.0) if known else missing_cell(NO_COIL),
        figure_cell(length(slack.coil_diameter_m or 0.0, "most"), units) if known else missing_cell(NO_COIL),
        _lead_cell(context.devices(box), units),
    )


def _stations(most: int | None) -> str:
    return "a number of stations that is not known" if most is None else fmt.count(most, "station", "stations")


def _lead_cell(devices: BoxDevices, units: System) -> Cell:
    """The lead of the box's stations: one figure where they are alike, else each in words."""
    kinds = [alike[0] for _, alike in devices.leads()]
    if len(kinds) == 1:
        return figure_cell(kinds[0].lead, units)
    return cell(devices.leads_text())


def _rows_used(context: Context) -> tuple[Row, ...]:
    """The rows behind resistance, for volts and for readings, and behind how far a run shortens."""
    largest, nominal = resistance_rows(context, largest=True), resistance_rows(context, largest=False)
    return once((*largest, *nominal, context.tables.copper.rows["expansion"]))
