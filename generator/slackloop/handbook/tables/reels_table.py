"""Which reel each run is pulled from, and volts at each solenoid."""

from __future__ import annotations

from slackloop.compute.reels import ReelPlan
from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.path_tables import COPPER_SOURCE, box_link
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Row, Table, TablePart


def reels_table(context: Context) -> Table:
    """Each reel with the lengths cut from it, in pulling order."""
    units = context.units
    parts = []
    for plan in context.analysis.reels:
        rows: list[Row] = []
        for number, reel in enumerate(plan.reels, start=1):
            cut = ", ".join(f"{piece.id} ({fmt.run_length(piece.length_m, units)})" for piece in reel.pieces)
            lengths = (fmt.run_length(reel.used_m, units), fmt.run_length(reel.left_m, units))
            rows.append((f"{plan.cable}, reel {number}", cut, *lengths))
        rows += [(f"{plan.cable}, no reel holds it", piece.id, "", "") for piece in plan.too_long]
        if rows:
            parts.append(TablePart(plan.cable, tuple(rows)))
    plans = context.analysis.reels
    bounds = dict.fromkeys(plan.bound_source for plan in plans if plan.bound_source)
    return Table(
        "reels",
        "Reels",
        "Cut the lengths in this order, and no joint falls outside a box. A length holds its slack at both ends; "
        f"waste ({context.values.waste}) comes on top.",
        (
            Column("Reel"),
            Column("Lengths, in pulling order"),
            Column("Taken, with waste", align="right"),
            Column("Left on the reel", align="right"),
        ),
        tuple(parts),
        (JOB, COMPUTED, *(f"Fewest reels: {bound} (recomputed)." for bound in bounds)),
        notes=tuple(reel_note(context, plan) for plan in plans),
        banner=failed_banner(context, "reel", "piece"),
        door="Install",
    )


def reel_note(context: Context, plan: ReelPlan) -> str:
    """One line on a cable's plan: reels beside the fewest there can be, how many stand open, what is left over."""
    units = context.units
    if plan.reel_m is None:
        return f"{plan.cable}: the job gives no reel length, so {fmt.run_length(plan.order_m, units)} are ordered."
    count = fmt.count(plan.reel_count, "reel", "reels")
    least = f"no plan takes fewer than {plan.fewest_reels}" if plan.reels else "no length fits a reel"
    at_once = fmt.count(plan.open_at_once, "reel stands", "reels stand")
    return (
        f"{plan.cable}: {count} of {fmt.run_length(plan.reel_m, units)}; {least}. At most {at_once} open at once. "
        f"Left over in all: {fmt.run_length(plan.left_m, units)}."
    )


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
