"""Which reel each run is pulled from, and volts at each solenoid."""

from __future__ import annotations

from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.path_tables import COPPER_SOURCE, box_link
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Row, Table, TablePart


def reels_table(context: Context) -> Table:
    """Each reel with the lengths cut from it, in pulling order."""
    units = context.units
    parts, notes = [], []
    for plan in context.analysis.reels:
        rows: list[Row] = []
        for number, reel in enumerate(plan.reels, start=1):
            cut = ", ".join(f"{piece.id} ({fmt.run_length(piece.length_m, units)})" for piece in reel.pieces)
            rows.append((f"{plan.cable}, reel {number}", cut, fmt.run_length(reel.left_m, units)))
        rows += [(f"{plan.cable}, no reel holds it", piece.id, "") for piece in plan.too_long]
        if plan.reel_m is None:
            notes.append(
                f"{plan.cable}: the job gives no reel length, so {fmt.run_length(plan.order_m, units)} are ordered."
            )
        else:
            notes.append(f"{plan.cable}: at least {fmt.count(plan.fewest_reels, 'reel', 'reels')} whatever the order.")
        if rows:
            parts.append(TablePart(plan.cable, tuple(rows)))
    intro = "Cut the lengths in this order, and no joint falls outside a box. A length holds its slack at both ends."
    columns = (Column("Reel"), Column("Lengths, in pulling order"), Column("Left on the reel", align="right"))
    sources = (JOB, COMPUTED)
    banner = failed_banner(context, "reel", "piece")
    return Table("reels", "Reels", intro, columns, tuple(parts), sources, tuple(notes), banner, "Install")


def solenoids_table(context: Context) -> Table:
    """Volts at each solenoid over its lead while the plunger pulls in."""
    units = context.units
    where = context.network.index
    answers = {group.title: list[Row]() for group in context.groups}
    titles = {index: group.title for group in context.groups for index in group.indices}
    for each in context.analysis.solenoids:
        lengths = (fmt.run_length(each.lead_m, units), fmt.run_length(each.longest_lead_m, units))
        volts = (fmt.volts(each.volts), fmt.volts(each.holding_volts), fmt.volts(each.least_volts))
        row = (
            box_link(context, each.box_id),
            str(each.station),
            lengths[0],
            fmt.ohms(each.lead_ohms),
            *volts,
            lengths[1],
        )
        answers[titles[where[each.box_id]]].append(row)
    parts = tuple(TablePart(title, tuple(rows)) for title, rows in answers.items() if rows)
    headings = ("Station", "Lead", "Lead, both cores", "Volts at inrush", "Volts holding", "It needs", "Longest lead")
    return Table(
        "solenoids",
        "Solenoids",
        "Volts at each solenoid over its lead, at inrush and while it holds, soil at its hottest.",
        (Column("Box"), *(Column(heading, align="right") for heading in headings)),
        parts,
        (JOB, COMPUTED, COPPER_SOURCE),
        banner=failed_banner(context, "solenoid", "lead"),
        door="Inspect",
    )
