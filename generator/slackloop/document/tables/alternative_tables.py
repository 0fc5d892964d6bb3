"""What the path has room for: other conductor sizes, spare length at each end, makers' limits, a broken ring."""

from __future__ import annotations

import math

from slackloop.compute.alternatives import SizeRow, SpareEnd
from slackloop.compute.circuit.makers_limits import TITLES
from slackloop.document.context import Context
from slackloop.document.inline import line
from slackloop.document.table import Cell, Column, Table, cell, count_cell, figure_cell, number_cell, one_part
from slackloop.document.tables.run_table import box_line
from slackloop.document.tables.source_table import listed_size_rows, resistance_rows, volts_at
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import cable_titles, device_titles
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


def sizes_table(context: Context) -> Table:
    """The same path in every listed conductor size, side by side."""
    units, rows = context.units, []
    for size in context.outlook.sizes:
        live = size.lowest_volts is not None and size.lowest_volts > 0
        margin = cell("")
        if size.lowest_volts is not None and math.isnan(size.lowest_volts):
            margin = cell(NOT_KNOWN)
        elif live and size.margin_volts is not None:
            left = f"{rounded(size.margin_volts, 0.1, 'lowest'):+.1f} V"
            margin = Cell(line(left), size.margin_volts, volts(size.margin_volts, "lowest"))
        rows.append((
            cell(f"{fmt.written(size.label)}{', this job' if size.chosen else ''}"),
            _lowest(context, size.lowest_volts), margin,
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
