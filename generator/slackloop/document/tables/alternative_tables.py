"""What the path has room for: other sizes, a choice of cables, spare length, makers' limits, a broken ring."""

from __future__ import annotations

import math
from collections import Counter

from slackloop.compute.alternatives import SizeRow, SpareEnd
from slackloop.compute.cable_choice import CableChoice, CableWay
from slackloop.compute.circuit.makers_limits import TITLES
from slackloop.document.context import Context
from slackloop.document.inline import line
from slackloop.document.table import Cell, Column, Table, cell, count_cell, figure_cell, number_cell, one_part
from slackloop.document.tables.run_table import box_line
from slackloop.document.tables.source_table import listed_size_rows, once, resistance_rows, volts_at
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import cable_titles, device_titles
from slackloop.source.suggestions import listed
from slackloop.units.figure import NOT_KNOWN, Figure, ohms, percent, run_length, volts
from slackloop.units.ladder import rounded

SIZE_COLUMNS = (
    Column("size", "Size"), Column("lowest", "Lowest volts", "volts"), Column("margin", "Margin", "volts"),
    Column("copper", "Copper", "mass"), Column("path", "The path"),
)  # fmt: skip
SPARE_COLUMNS = (
    Column("end", "Branch end"), Column("device", "Device added"), Column("spare", "Spare run", "run"),
    Column("stopped_by", "What stops it"),
)  # fmt: skip
LIMIT_COLUMNS = (
    Column("limit", "Limit"), Column("found", "This path", "number"), Column("most", "Most", "number"),
    Column("unit", "Unit", in_files_only=True), Column("box", "Reached at"), Column("path", "The path"),
)  # fmt: skip
BREAK_COLUMNS = (
    Column("run", "Broken run"), Column("box", "Lowest box"), Column("volts", "Volts there", "volts"),
    Column("short", "Boxes out of range", "count"), Column("job", "The job"),
)  # fmt: skip
REACTANCE_COLUMNS = (
    Column("cable", "Cable"), Column("resistance", "Loop resistance of 100 m, hottest soil", "resistance"),
    Column("reactance", "Reactance of 100 m", "resistance"),
    Column("excess", "Impedance over resistance", "percent"),
)  # fmt: skip
UNITS = {"farthest": "m", "total": "m", "capacitance": "F"}
PER_M = 100.0
CHOICE_COLUMNS = (
    Column("way", "Way"), Column("cables", "Cables", share=3), Column("copper", "Copper", "mass"),
    Column("price", "Price", "number"), Column("lowest", "Lowest volts", "volts"), Column("box", "At box"),
    Column("margin", "Margin", "volts"), Column("path", "The path"),
)  # fmt: skip
RUN_COLUMNS = (
    Column("from", "From"), Column("to", "To"), Column("length", "Length of cable", "run"),
    Column("drawn", "Cable in this job"), Column("chosen", "Cable by this choice"),
)  # fmt: skip
MOST_NAMED = 12
"""Runs that a cell names; the file names each."""


def sizes_table(context: Context) -> Table:
    """The same path in every listed conductor size, side by side."""
    units, rows = context.units, []
    for size in context.outlook.sizes:
        live = size.lowest_volts is not None and size.lowest_volts > 0
        unknown = size.lowest_volts is not None and math.isnan(size.lowest_volts)
        rows.append((
            cell(f"{fmt.written(size.label)}{', this job' if size.chosen else ''}"),
            _lowest(context, size.lowest_volts),
            cell(NOT_KNOWN) if unknown else _margin(size.margin_volts if live else None),
            figure_cell(Figure(size.copper_kg, "mass", "cut", 3), units), cell(_verdict(size)),
        ))  # fmt: skip
    intro = "Every run in one size, all else as in this job. Margin: the least of volts less need over all boxes."
    notes = [
        volts_at(context),
        "Copper: both cores, with runs and slack. A thicker conductor must also fit the connectors: check the splices "
        "again.",
    ]
    if context.cable_choice.why_not:
        notes.append(f"A cable for each run is not calculated: {context.cable_choice.why_not}.")
    if any(limit.name == "capacitance" for limit in context.analysis.limits):
        notes.append("A cable of another size has another capacitance: compare it with the limit.")
    return Table(
        "conductor-sizes", "The path in other conductor sizes", SIZE_COLUMNS, one_part(rows), ("job", "computed"),
        listed_size_rows(context), line(intro), tuple(line(note) for note in notes),
    )  # fmt: skip


def _lowest(context: Context, value: float | None) -> Cell:
    """The lowest volts of something; words where the path cannot carry the load."""
    return cell("no volts") if value is None else figure_cell(volts(value, "lowest"), context.units)


def _margin(left_volts: float | None) -> Cell:
    """The least of volts less need, with its sign; nothing where it is not known."""
    if left_volts is None:
        return cell("")
    return Cell(line(f"{rounded(left_volts, 0.1, 'lowest'):+.1f} V"), left_volts, volts(left_volts, "lowest"))


def _verdict(size: SizeRow) -> str:
    """Whether the path could be built in a size, and if not, what stops it."""
    if size.lowest_volts is not None and math.isnan(size.lowest_volts):
        return NOT_KNOWN
    if not size.in_range:
        return "out of range"
    if not size.supply_holds:
        return "more current than the controller delivers"
    return "in range" if size.limits_hold else "over a maker's limit"


def spare_table(context: Context) -> Table:
    """How much farther each branch end could reach with the same device added there."""
    titles, rows = device_titles(context.job), []
    for end in context.outlook.ends:
        spare = cell("no room for one more")
        if end.spare_m is not None:
            spare = figure_cell(run_length(end.spare_m, "most", 3), context.units)
        rows.append((cell(box_line(context, end.box)), cell(titles[end.device]), spare, cell(_stopped_by(end))))
    intro = (
        "How far from each end a new box could be, with the same device and all its outputs in use. Every device stays "
        "in range, the controller gives no more than its current, and the path stays inside the makers' limits."
    )
    notes = (volts_at(context), "One end at a time: what one end uses, the others no longer have.")
    return Table(
        "spare-length", "Spare length at each branch end", SPARE_COLUMNS, one_part(rows), ("job", "computed"),
        resistance_rows(context, largest=True), line(intro), tuple(line(note) for note in notes),
    )  # fmt: skip


def _stopped_by(end: SpareEnd) -> str:
    """What stops a branch end from reaching farther, in words."""
    if end.stopped_by is None:
        return "volts, or the controller's current"
    return f"makers' limit: {TITLES[end.stopped_by].lower()}"


def limits_table(context: Context) -> Table:
    """What the makers' sheets allow on the path, beside what the path has."""
    units, titles, rows = context.units, cable_titles(context.job), []
    for limit in context.analysis.limits:
        unknown = ""
        if limit.unknown:
            unknown = f", {fmt.listing([titles.get(name, name) for name in limit.unknown])} not counted: not stated"
        verdict = "more than is allowed" if not limit.holds else "not known" if limit.unknown else "inside the limit"
        rows.append((
            cell(TITLES[limit.name]), number_cell(limit.found, f"{limit.found_text(units)}{unknown}"),
            number_cell(limit.most, limit.most_text(units)), cell(UNITS.get(limit.name, "")),
            cell(box_line(context, limit.box)) if limit.box else cell(""), cell(verdict),
        ))  # fmt: skip
    return Table(
        "makers-limits", "Limits of the makers' sheets", LIMIT_COLUMNS, one_part(rows), ("job", "maker", "computed"),
        intro=line("Lengths are lengths of cable, with the slack in the boxes."),
    )  # fmt: skip


def ring_breaks_table(context: Context) -> Table:
    """Each single broken run of the ring: which box is then lowest, and whether the job still passes."""
    boxes, rows = context.network.boxes, []
    for run, each in context.analysis.breaks:
        lowest = cell("") if each.lowest_box is None else cell(box_line(context, boxes[each.lowest_box]))
        short = len(each.short_boxes)
        rows.append((
            cell(run), lowest, _lowest(context, each.lowest_volts), count_cell(short),
            cell("passes" if each.holds else "fails"),
        ))  # fmt: skip
    intro = "One run broken at a time, worst first. A run is named by the box it feeds; a closing run by both its ends."
    return Table(
        "ring-breaks", "The ring with one run broken", BREAK_COLUMNS, one_part(rows), ("job", "computed"),
        resistance_rows(context, largest=True), line(intro), (line(volts_at(context)),) if rows else (),
    )  # fmt: skip


def reactance_table(context: Context) -> Table:
    """Reactance of each cable beside its resistance, to show that it may be left out."""
    titles, units = cable_titles(context.job), context.units
    rows = [
        (
            cell(titles[name]), figure_cell(ohms(each.loop_ohms_per_m * PER_M, "nearest"), units),
            figure_cell(ohms(each.reactance_ohms_per_m * PER_M, "highest", 3), units),
            figure_cell(percent(each.excess, "highest"), units),
        )
        for name, each in context.outlook.reactances
    ]  # fmt: skip
    intro = ""
    if rows:
        intro = (
            f"At {context.outlook.mains_hz:g} Hz, cores taken as far apart as the cable allows. The figures of this "
            "handbook leave reactance out; this is what that leaves out."
        )
    mains = context.basis.mains
    used = (context.tables.formulas["inductance"], *((mains,) if mains and not context.job.supply.frequency else ()))
    return Table(
        "reactance", "Reactance", REACTANCE_COLUMNS, one_part(rows), ("job", "computed"),
        (*used, *resistance_rows(context, largest=True)) if rows else (), line(intro),
    )  # fmt: skip


def choice_table(context: Context) -> Table:
    """The ways to build the path from the job's own cables; without rows where there is nothing to choose."""
    choice = context.cable_choice
    ways = (
        ("this job", choice.drawn), ("one cable throughout", choice.same), ("a cable for each run", choice.sized),
    )  # fmt: skip
    has_price = any(way is not None and way.price is not None for _, way in ways)
    columns = CHOICE_COLUMNS if has_price else tuple(column for column in CHOICE_COLUMNS if column.key != "price")
    rows = [_way_row(context, name, way, has_price) for name, way in ways if way is not None]
    least = "price" if choice.by_price else "copper"
    intro = (
        "An alternative: the figures of this handbook are calculated with the cables of the job. From these cables, "
        f"the least {least} that keeps every box in range. A run nearer the controller is never thinner than those "
        "beyond it."
    )
    notes = [_proof(context, choice)] if rows else []
    if rows:
        notes += [
            volts_at(context),
            "Every cable of the job is tried, those for leads too. Before you change a cable, compare its jacket, "
            "connectors, duct and the makers' limits again.",
        ]
        if any(run.existing for run in context.network.runs):
            notes.append("Runs that exist already stay as they are; copper and price count new runs alone.")
        if context.analysis.volts.constant_power:
            notes.append("Devices of constant power: the volts here are calculated more simply, and never too high.")
        if choice.by_price:
            notes.append("Prices are the job's own, for the length of cable with its slack, without waste.")
    copper = context.tables.copper.rows["density"]
    return Table(
        "cable-choice", "Choosing the cable", columns, one_part(rows), ("job", "computed"),
        once((*resistance_rows(context, largest=True), copper)) if rows else (), line(intro) if rows else (),
        tuple(line(note) for note in notes),
    )  # fmt: skip


def choice_runs_table(context: Context) -> Table:
    """The cable of each run by the choice, beside that of the job."""
    choice, titles, network = context.cable_choice, cable_titles(context.job), context.network
    rows = []
    for run, chosen in zip(network.runs, choice.sized.cables if choice.sized else (), strict=False):
        metres = context.analysis.lengths[run.id].circuit_m
        rows.append((
            cell(box_line(context, run.from_id)), cell(box_line(context, run.to_id)),
            figure_cell(run_length(metres, "cut"), context.units), cell(titles[run.cable]), cell(titles[chosen]),
        ))  # fmt: skip
    return Table(
        "choice-runs", "Choosing the cable, run by run", RUN_COLUMNS, one_part(rows), ("job", "computed"),
        resistance_rows(context, largest=True) if rows else (),
    )  # fmt: skip


def _way_row(context: Context, name: str, way: CableWay, has_price: bool) -> tuple[Cell, ...]:
    price = (cell("") if way.price is None else number_cell(way.price, f"{way.price:,.2f}"),) if has_price else ()
    return (
        cell(name), cell(_cables(context, way)), figure_cell(Figure(way.copper_kg, "mass", "cut", 3), context.units),
        *price, _lowest(context, way.lowest_volts),
        cell(box_line(context, way.lowest_box)) if way.lowest_box else cell(""), _margin(way.margin_volts),
        cell("in range" if way.in_range else "out of range"),
    )  # fmt: skip


def _cables(context: Context, way: CableWay) -> str:
    """Which cable is in which runs: all but that of most runs with the boxes that they feed."""
    titles = cable_titles(context.job)
    new = [(run.id, cable) for run, cable in zip(context.network.runs, way.cables, strict=False) if not run.existing]
    counted = Counter(cable for _, cable in new).most_common()
    if len(counted) == 1:
        return titles[counted[0][0]]
    told = []
    for cable, count in reversed(counted[1:]):
        runs = listed([run for run, has in new if has == cable], MOST_NAMED)
        told.append(f"{titles[cable]}: {'run' if count == 1 else f'{count} runs'} to {runs}")
    most, count = counted[0]
    return "; ".join([*told, f"{titles[most]}: the other {fmt.count(count, 'run', 'runs')}"])


def _proof(context: Context, choice: CableChoice) -> str:
    """Whether nothing cheaper can be, or how much cheaper it might be."""
    if choice.sized is None:
        return "No cable of the job keeps every box in range, however the runs are sized."
    if choice.is_proved:
        least = "costs less" if choice.by_price else "takes less copper"
        return f"Proved: no other choice of these cables {least} and keeps every box in range."
    cost = choice.cost(choice.sized)
    gap = percent(1.0 - choice.bound / cost, "highest").text(context.units)
    if choice.by_price:
        bound = f"{rounded(choice.bound, 0.01, 'lowest'):,.2f}"
    else:
        bound = Figure(choice.bound, "mass", "least", 3).text(context.units)
    return (
        f"Not proved to be the least: no choice can do with less than {bound}. What is saved beside the choice above "
        f"is at most {gap} of it."
    )
