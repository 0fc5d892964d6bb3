"""Which reel each run is pulled from, and volts at each solenoid."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.reels import Piece, Reel, ReelPlan
from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.path_tables import box_link
from slackloop.handbook.tables.resistance_basis import largest_source
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Row, Table, TablePart
from slackloop.handbook.text import escape, trusted
from slackloop.job import resolve


def reels_table(context: Context) -> Table:
    """Each reel with the lengths cut from it, in pulling order."""
    parts: list[TablePart] = []
    alone = sum(bool(plan.reels) for plan in context.analysis.reels) == 1
    for plan in context.analysis.reels:
        for number, reel in enumerate(plan.reels, start=1):
            name = str(number) if alone else f"{plan.cable}: {number}"
            parts.append(TablePart(f"{plan.cable}, reel {number}", tuple(_pulls(context, plan, name, reel))))
        if plan.too_long:
            rows = tuple(("No reel holds it", _pull(context, piece), "", "") for piece in plan.too_long)
            parts.append(TablePart(f"{plan.cable}, too long for a reel", rows))
    plans = context.analysis.reels
    bounds = dict.fromkeys(plan.bound_source for plan in plans if plan.bound_source)
    return Table(
        "reels",
        "Reels",
        "Pull the lengths in this order, and no joint falls outside a box. A length holds its slack at both ends. "
        f"What is left on the reel has {context.values.waste} of waste taken off each length.",
        (
            Column("Reel"),
            Column("Pull"),
            Column("Length with slack", align="right"),
            Column("Left on the reel", align="right"),
        ),
        tuple(parts),
        (JOB, COMPUTED, *(f"Fewest reels: {bound} (recomputed)." for bound in bounds)),
        notes=tuple(reel_note(context, plan) for plan in plans),
        banner=failed_banner(context, "run-longer"),
        door="Install",
    )


def _pulls(context: Context, plan: ReelPlan, name: str, reel: Reel) -> Iterator[Row]:
    """A row a length, with what is left on the reel after it."""
    left_m = plan.reel_m or 0.0
    for piece in reel.pieces:
        left_m -= piece.length_m * (1.0 + plan.waste)
        left = fmt.run_length(max(left_m, 0.0), context.units, "lowest")
        yield name, _pull(context, piece), fmt.run_length(piece.length_m, context.units, "cut"), left


def _pull(context: Context, piece: Piece) -> str:
    """A length by its two ends: a run's, or a lead's station and box."""
    if not piece.run_id:
        return trusted(f"{escape(piece.id)}, from {box_link(context, piece.boxes[0])}")
    run = context.runs[piece.run_id]
    return trusted(f"{escape(box_link(context, run.from_id))} to {escape(box_link(context, run.to_id))}")


def reel_note(context: Context, plan: ReelPlan) -> str:
    """One line on a cable's plan: reels beside the fewest there can be, how many stand open, what is left over."""
    units = context.units
    holds = context.job.cables[plan.cable].reel
    if holds is None:
        order = fmt.run_length(plan.order_m, units, "cut")
        return f"{plan.cable}: the job gives no reel length, so {order} are ordered."
    count = fmt.count(plan.reel_count, "reel", "reels")
    least = f"no plan takes fewer than {plan.fewest_reels}" if plan.reels else "no length fits a reel"
    at_once = fmt.count(plan.open_at_once, "reel stands", "reels stand")
    return (
        f"{plan.cable}: {count} of {fmt.stated(holds, units, 'lowest')}; {least}. At most {at_once} open at once. "
        f"Left over in all: {fmt.run_length(plan.left_m, units, 'lowest')}."
    )


def solenoids_table(context: Context) -> Table:
    """Volts at each solenoid over its lead while the plunger pulls in."""
    units = context.units
    where = context.network.index
    answers = {group.title: list[Row]() for group in context.groups}
    titles = {index: group.title for group in context.groups for index in group.indices}
    for each in context.analysis.solenoids:
        box = context.boxes[each.box_id]
        solenoid = context.job.solenoids[resolve.solenoid(context.job, box) or ""]
        lowest = (each.output_volts, each.volts, each.holding_volts)
        volts = (*(fmt.lowest_volts(value) for value in lowest), fmt.written(solenoid.least_volts.text))
        row = (
            box_link(context, each.box_id),
            str(each.station),
            fmt.told(resolve.lead(context.job, box), units),
            fmt.ohms(each.lead_ohms, "highest"),
            *volts,
            fmt.told(each.longest_lead, units) if each.longest_lead_m > 0 else "none is short enough",
        )
        answers[titles[where[each.box_id]]].append(row)
    parts = tuple(TablePart(title, tuple(rows)) for title, rows in answers.items() if rows)
    follows: tuple[str, ...] = ()
    if any(each.path_volts is not None for each in context.analysis.solenoids):
        follows = (
            "Where an output follows the path, it has the lowest volts of the path at that box less what the device "
            "loses.",
        )
    headings = (
        "Station", "Lead", "Lead, both cores", "Volts at the output", "Volts at inrush", "Volts holding", "It needs",
        "Longest lead",
    )  # fmt: skip
    return Table(
        "solenoids",
        "Solenoids",
        "Volts at each solenoid over its lead, at inrush and while it holds: soil at its hottest, and the largest "
        "resistance that the lead may have.",
        (Column("Box"), *(Column(heading, align="right") for heading in headings)),
        parts,
        (JOB, COMPUTED, largest_source(context)),
        notes=follows,
        banner=failed_banner(context, "solenoid", "lead"),
        door="Inspect",
    )
