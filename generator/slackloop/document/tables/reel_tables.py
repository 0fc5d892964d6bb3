"""From which reel each length of cable is pulled, in which order, and which boxes wait for one of them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from slackloop.compute.cable.reels import Piece, ReelPlan
from slackloop.document.context import Context
from slackloop.document.inline import Line, joined, line
from slackloop.document.table import Cell, Column, Part, Table, cell, count_cell, figure_cell, one_part
from slackloop.document.tables.order_tables import bound_rows
from slackloop.document.tables.run_table import box_line
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import cable_titles
from slackloop.units.figure import run_length, stated

REEL_COLUMNS = (
    Column("cable", "Cable", in_files_only=True), Column("reel", "Reel", "count"),
    Column("holds", "Holds", "run"),
    Column("pulls", "Lengths to pull, in this order: with the slack in their boxes, and the most that each may take",
           share=1),
    Column("pieces", "Lengths", "count", in_files_only=True, total=True),
    Column("taken", "Taken, with waste", "run", total=True), Column("left", "Left", "run", total=True),
)  # fmt: skip
PULL_COLUMNS = (
    Column("cable", "Cable"), Column("reel", "Reel", "count"), Column("from", "From"), Column("to", "To"),
    Column("length", "Length with slack", "run", total=True),
    Column("most", "Most it may take", "run"), Column("left", "Left on the reel", "run"),
)  # fmt: skip


def reels_table(context: Context) -> Table:
    """Each reel with the lengths that are pulled from it, in order."""
    titles, units, parts = cable_titles(context.job), context.units, []
    for plan in context.analysis.reels:
        rows, reel = [], context.job.cables[plan.cable].reel
        for number, pulled in enumerate(plan.reels, start=1):
            pulls = joined((_pull(context, plan, piece) for piece in pulled.pieces), "; ")
            rows.append((
                cell(titles[plan.cable]), count_cell(number),
                figure_cell(run_length(0.0, "lowest") if reel is None else stated(reel, "lowest"), units),
                Cell(pulls), count_cell(len(pulled.pieces)),
                figure_cell(run_length(pulled.used_m, "cut"), units),
                figure_cell(run_length(pulled.left_m, "lowest"), units),
            ))  # fmt: skip
        parts.append(Part(titles[plan.cable], tuple(rows)))
    intro = (
        "If each length is pulled from its own reel, no joint lies outside a box. The first figure of a length is its "
        "run and the slack at its ends. It holds no waves in the trench and nothing that is cut off at the ends: those "
        f"come out of the waste, {context.values.waste} of each length. With the waste it may take the second figure "
        "and no more, or the reel becomes too short for its other lengths."
    )
    return Table(
        "reels", "Reels", REEL_COLUMNS, tuple(parts), ("job", "computed"), bound_rows(context), line(intro),
        (*_waits(context), *(line(note) for plan in context.analysis.reels for note in _reel_notes(context, plan))),
        landscape=True,
    )  # fmt: skip


def _pull(context: Context, plan: ReelPlan, piece: Piece) -> Line:
    """A length with its ends, what it is and what it may take."""
    pulled, most = run_length(piece.length_m, "cut"), run_length(plan.most_m(piece), "most")
    return line(_ends(context, piece), f" {pulled.alone(context.units)}, at most {most.alone(context.units)}")


def _waits(context: Context) -> Iterator[Line]:
    """The boxes whose splices wait for a length that other lengths are pulled before; nothing where there are none."""
    places = {each.run_id: place for place, each in enumerate(
        piece for plan in context.analysis.reels for reel in plan.reels for piece in reel.pieces if piece.run_id
    )}  # fmt: skip
    late: list[Line] = []
    for box, tails in zip(context.network.boxes, context.network.tails, strict=True):
        ordered = sorted((places[tail.run.id], tail.run) for tail in tails if tail.run.id in places)
        for (before, _), (place, run) in pairwise(ordered):
            if place > before + 1:
                ends = line(box_line(context, run.from_id), " to ", box_line(context, run.to_id))
                late.append(line(box_line(context, box), " for ", ends, f" (reel {context.reel_of[run.id]})"))
    if late:
        yield line(
            "A box is spliced when all its runs lie and have passed their insulation test. In this order, some boxes "
            "wait for a length while others are pulled: ", joined(late, "; "), ". You may pull such a length sooner: "
            "on its own reel the order may change.",
        )  # fmt: skip


def _ends(context: Context, piece: Piece) -> Line:
    """A length by its two ends: a run's, or a lead's station and box."""
    if not piece.run_id:
        return line(f"{piece.id}, from ", box_line(context, piece.boxes[0]))
    run = context.runs[piece.run_id]
    return line(box_line(context, run.from_id), " to ", box_line(context, run.to_id))


def _reel_notes(context: Context, plan: ReelPlan) -> Iterator[str]:
    """Reels beside the fewest there can be, how many are begun at once, what is left over, and what no reel holds."""
    units, title = context.units, cable_titles(context.job)[plan.cable]
    holds = context.job.cables[plan.cable].reel
    if holds is None:
        yield (f"{title}: the job gives no reel length, so {run_length(plan.order_m, 'cut').text(units)} are ordered.")
        return
    count = fmt.count(plan.reel_count, "reel", "reels")
    least = f"no plan takes fewer than {plan.fewest_reels}" if plan.reels else "no length fits a reel"
    at_once = fmt.count(plan.open_at_once, "reel is", "reels are")
    yield (
        f"{title}: {count} of {stated(holds, 'lowest').text(units)}; {least}. At most {at_once} started and "
        f"not finished at once. Left over in all: {run_length(plan.left_m, 'lowest').text(units)}."
    )
    for piece in plan.too_long:
        yield f"No reel holds {piece.id}: {run_length(piece.length_m, 'cut').text(units)}."


def pulls_table(context: Context) -> Table:
    """A row for each length to pull, with what is left on the reel after it."""
    titles, units, rows = cable_titles(context.job), context.units, []
    for plan in context.analysis.reels:
        for number, reel in enumerate(plan.reels, start=1):
            left_m = plan.reel_m or 0.0
            for piece in reel.pieces:
                left_m -= plan.most_m(piece)
                run = context.runs.get(piece.run_id)
                ends = (run.from_id, run.to_id) if run else (piece.boxes[0], piece.id)
                rows.append((
                    cell(titles[plan.cable]), count_cell(number), cell(ends[0]), cell(ends[1]),
                    figure_cell(run_length(piece.length_m, "cut"), units),
                    figure_cell(run_length(plan.most_m(piece), "most"), units),
                    figure_cell(run_length(max(left_m, 0.0), "lowest"), units),
                ))  # fmt: skip
    return Table("pulls", "Lengths to pull", PULL_COLUMNS, one_part(rows), ("job", "computed"), bound_rows(context))
