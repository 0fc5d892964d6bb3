"""What the path has room for: other conductor sizes, spare length at each end, a broken ring, reactance."""

from __future__ import annotations

from slackloop.compute.makers_limits import TITLES
from slackloop.compute.outlook import SizeRow, SpareEnd
from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.path_tables import box_link
from slackloop.handbook.tables.resistance_basis import largest_source, volts_basis
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Row, Table, one_part
from slackloop.units.figure import Figure, percent
from slackloop.units.rounding import rounded


def sizes_table(context: Context) -> Table:
    """The same path in every listed conductor size, side by side."""
    rows: list[Row] = []
    for size in context.outlook.sizes:
        live = size.lowest_volts is not None and size.lowest_volts > 0
        volts = fmt.lowest_volts(size.lowest_volts)
        margin = _margin(size.margin_volts) if live and size.margin_volts is not None else "–"
        chosen = "this job" if size.chosen else ""
        copper = fmt.told(Figure(size.copper_kg, "mass", "cut", digits=3), context.units)
        rows.append((fmt.written(size.label), chosen, volts, margin, _verdict(size), copper))
    return Table(
        "conductor-sizes",
        "The path in other conductor sizes",
        "Every run in one size, all else as in this job. Margin: the least of volts less need over all boxes.",
        (
            Column("Size"),
            Column("Chosen"),
            Column("Lowest volts", align="right"),
            Column("Margin", align="right"),
            Column("The path"),
            Column("Copper", align="right"),
        ),
        one_part(rows),
        (
            COMPUTED,
            largest_source(context),
            "Density of copper: IEC 60028 (from memory, to be checked). Copper: both cores, runs and slack.",
        ),
        notes=(
            volts_basis(context),
            "A thicker conductor must also fit the connectors: check the splices again.",
            *(("A cable of another size has another capacitance: hold it against the limit.",) if _capacitance(context)
              else ()),
        ),
    )


def _capacitance(context: Context) -> bool:
    """Whether the job states a limit of capacitance."""
    return any(limit.name == "capacitance" for limit in context.analysis.limits)


def _verdict(size: SizeRow) -> str:
    """Whether the path could be built in a size, and if not, what stops it."""
    if not size.in_range:
        return "out of range"
    if not size.supply_holds:
        return "more current than the controller delivers"
    return "in range" if size.limits_hold else "over a maker's limit"


def _margin(volts: float) -> str:
    """Volts above or below what is needed, with the sign; never rounded to the good side."""
    return f"{rounded(volts, 0.1, 'lowest'):+.1f} V"


def spare_table(context: Context) -> Table:
    """How much farther each branch end could reach with the same device added there."""
    units = context.units
    rows: list[Row] = []
    for end in context.outlook.ends:
        title = context.job.devices[end.device].title
        spare = "no room for one more" if end.spare_m is None else fmt.run_length(end.spare_m, units, "most", 3)
        rows.append((box_link(context, end.box), title, spare, _stopped_by(end)))
    return Table(
        "spare-length",
        "Spare length at each branch end",
        "How far a new box with the same device could stand beyond each end, all its outputs in use, so that every "
        "device on the path stays in range, the controller within its current and the path within the makers' limits.",
        (Column("Branch end"), Column("Device added"), Column("Spare run", align="right"), Column("What stops it")),
        one_part(rows),
        (COMPUTED, largest_source(context)),
        notes=(volts_basis(context), "One end at a time: what one end uses, the others no longer have."),
        banner=failed_banner(context, "volts", "supply", "limit"),
    )


def _stopped_by(end: SpareEnd) -> str:
    """What stops a branch end from reaching farther, in words."""
    if end.stopped_by is None:
        return "volts, or the controller's current"
    return f"makers' limit: {TITLES[end.stopped_by].lower()}"


def limits_table(context: Context) -> Table:
    """What the makers' sheets allow on the path, beside what the path has."""
    units = context.units
    rows: list[Row] = []
    for limit in context.analysis.limits:
        where = box_link(context, limit.box) if limit.box else "–"
        unknown = f", {fmt.listing(list(limit.unknown))} not counted: not stated" if limit.unknown else ""
        verdict = "more than is allowed" if not limit.holds else "not known" if limit.unknown else "inside the limit"
        rows.append((TITLES[limit.name], f"{limit.found_text(units)}{unknown}", limit.most_text(units), where, verdict))
    return Table(
        "makers-limits",
        "Limits of the makers' sheets",
        "Lengths are lengths of cable, with the slack in the boxes.",
        (
            Column("Limit"),
            Column("This path", align="right"),
            Column("Most", align="right"),
            Column("Reached at"),
            Column("The path"),
        ),
        one_part(rows),
        (JOB, "Limits: the makers' sheets, as the job file gives them."),
        banner=failed_banner(context, "limit"),
        door="Inspect",
        omit_when_empty=True,
    )


def ring_breaks_table(context: Context) -> Table:
    """Each single broken run of the ring: which box is then lowest, and whether the job still passes."""
    boxes = context.network.boxes
    rows: list[Row] = []
    for run, each in context.analysis.breaks:
        lowest = "–" if each.lowest_box is None else box_link(context, boxes[each.lowest_box])
        verdict = "passes" if each.holds else f"fails: {fmt.count(len(each.short_boxes), 'box', 'boxes')} out of range"
        rows.append((run, lowest, fmt.lowest_volts(each.lowest_volts), verdict))
    intro = (
        "One run broken at a time, worst first. A run is named by the box it feeds; a closing run by both its ends."
        if rows
        else "This path has no closed ring."
    )
    return Table(
        "ring-breaks",
        "The ring with one run broken",
        intro,
        (Column("Broken run"), Column("Lowest box"), Column("Volts there", align="right"), Column("The job")),
        one_part(rows),
        (COMPUTED, largest_source(context), "Lowest volts for every choice of stations that may operate together."),
        notes=(volts_basis(context),) if rows else (),
        door="Inspect",
        omit_when_empty=True,
    )


def reactance_table(context: Context) -> Table:
    """Reactance of each cable beside its resistance, to show that it may be left out."""
    rows: list[Row] = []
    for name, each in context.outlook.reactances:
        figures = (f"{each.loop_ohms_per_m * 1e3:.2f} mΩ/m", f"{each.reactance_ohms_per_m * 1e3:.2f} mΩ/m")
        rows.append((name, *figures, percent(each.excess, "highest").alone("metric")))
    intro = (
        f"At {context.outlook.mains_hz:g} Hz, cores taken as far apart as the cable allows. The figures of this "
        "handbook leave reactance out; this is what that leaves out."
        if rows
        else "The supply is direct current: there is no reactance."
        if context.job.supply.current == "dc"
        else "The job does not give the frequency of the supply, so the reactance is not worked out."
    )
    return Table(
        "reactance",
        "Reactance",
        intro,
        (
            Column("Cable"),
            Column("Largest loop resistance, hottest soil", align="right"),
            Column("Reactance", align="right"),
            Column("Impedance over resistance", align="right"),
        ),
        one_part(rows),
        (
            COMPUTED,
            largest_source(context),
            "Inductance of two parallel conductors: F. W. Grover, Inductance Calculations (from memory).",
        ),
        omit_when_empty=True,
    )
