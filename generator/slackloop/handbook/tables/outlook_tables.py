"""What the path has room for: other conductor sizes, spare length at each end, a broken ring, reactance."""

from __future__ import annotations

from slackloop.compute.reactance import HIGHEST_MAINS_HZ
from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.path_tables import COPPER_SOURCE, box_link
from slackloop.handbook.tables.table import COMPUTED, Column, Row, Table, one_part


def sizes_table(context: Context) -> Table:
    """The same path in every listed conductor size, side by side."""
    rows: list[Row] = []
    for size in context.outlook.sizes:
        live = size.lowest_volts is not None and size.lowest_volts > 0
        volts = fmt.lowest_volts(size.lowest_volts)
        margin = f"{size.margin_volts:+.1f} V" if live and size.margin_volts is not None else "–"
        chosen = "this job" if size.chosen else ""
        verdict = "in range" if size.holds else "out of range"
        rows.append((fmt.written(size.label), chosen, volts, margin, verdict, f"{size.copper_kg:.0f} kg"))
    return Table(
        "conductor-sizes",
        "The path in other conductor sizes",
        "Every run in one size, all else as in this job. Margin: the least of volts less need over all devices.",
        (
            Column("Size"),
            Column("Chosen"),
            Column("Lowest volts", align="right"),
            Column("Margin", align="right"),
            Column("Devices"),
            Column("Copper", align="right"),
        ),
        one_part(rows),
        (
            COMPUTED,
            COPPER_SOURCE,
            "Density of copper: IEC 60028 (from memory, to be checked). Copper: both cores, runs and slack.",
        ),
        notes=("A thicker conductor must also fit the connectors: check the splices again.",),
    )


def spare_table(context: Context) -> Table:
    """How much farther each branch end could reach with the same device added there."""
    units = context.units
    rows: list[Row] = []
    for end in context.outlook.ends:
        title = context.job.devices[end.device].title
        spare = "no room for one more" if end.spare_m is None else fmt.run_length(end.spare_m, units)
        rows.append((box_link(context, end.box), title, spare))
    return Table(
        "spare-length",
        "Spare length at each branch end",
        "How far a new box with the same device could stand beyond each end, all its outputs in use, so that every "
        "device on the path stays in range and the controller within its limit.",
        (Column("Branch end"), Column("Device added"), Column("Spare run", align="right")),
        one_part(rows),
        (COMPUTED, COPPER_SOURCE),
        notes=("One end at a time: what one end uses, the others no longer have.",),
        banner=failed_banner(context, "volts", "supply"),
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
        (COMPUTED, COPPER_SOURCE, "Lowest volts for every choice of stations that may run together."),
        door="Inspect",
        omit_when_empty=True,
    )


def reactance_table(context: Context) -> Table:
    """Reactance of each cable beside its resistance, to show that it may be left out."""
    rows: list[Row] = []
    for name, each in context.outlook.reactances:
        figures = (f"{each.loop_ohms_per_m * 1e3:.2f} mΩ/m", f"{each.reactance_ohms_per_m * 1e3:.2f} mΩ/m")
        rows.append((name, *figures, f"{each.excess * 100:.2f} %"))
    intro = (
        f"At {HIGHEST_MAINS_HZ:.0f} Hz, cores taken as far apart as the cable allows. The figures of this handbook "
        "leave reactance out; this is what that leaves out."
        if rows
        else "The supply is direct current: there is no reactance."
    )
    return Table(
        "reactance",
        "Reactance",
        intro,
        (
            Column("Cable"),
            Column("Loop resistance, hottest soil", align="right"),
            Column("Reactance", align="right"),
            Column("Impedance over resistance", align="right"),
        ),
        one_part(rows),
        (COMPUTED, "Inductance of two parallel conductors: F. W. Grover, Inductance Calculations (from memory)."),
        omit_when_empty=True,
    )
