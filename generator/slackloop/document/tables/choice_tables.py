"""Choosing the cable: the job's own way beside the cheapest cable throughout and the cheapest cable for each run."""

from __future__ import annotations

from collections import Counter

from slackloop.compute.cable_choice import CableChoice, CableWay
from slackloop.document.context import Context
from slackloop.document.inline import line
from slackloop.document.table import Cell, Column, Table, cell, figure_cell, number_cell, one_part
from slackloop.document.tables.run_table import box_line
from slackloop.document.tables.source_table import once, resistance_rows, volts_at
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import cable_titles
from slackloop.source.suggestions import listed
from slackloop.units.figure import Figure, percent, run_length, volts
from slackloop.units.ladder import rounded

COLUMNS = (
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


def choice_table(context: Context) -> Table:
    """The ways to build the path from the job's own cables; without rows where there is nothing to choose."""
    choice = context.cable_choice
    ways = (
        ("this job", choice.drawn), ("one cable throughout", choice.same), ("a cable for each run", choice.sized),
    )  # fmt: skip
    has_price = any(way is not None and way.price is not None for _, way in ways)
    columns = COLUMNS if has_price else tuple(column for column in COLUMNS if column.key != "price")
    rows = [_row(context, name, way, has_price) for name, way in ways if way is not None]
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


def _row(context: Context, name: str, way: CableWay, has_price: bool) -> tuple[Cell, ...]:
    margin = cell("")
    if way.margin_volts is not None:
        left = f"{rounded(way.margin_volts, 0.1, 'lowest'):+.1f} V"
        margin = Cell(line(left), way.margin_volts, volts(way.margin_volts, "lowest"))
    lowest = cell("no volts")
    if way.lowest_volts is not None:
        lowest = figure_cell(volts(way.lowest_volts, "lowest"), context.units)
    price = (cell("") if way.price is None else number_cell(way.price, f"{way.price:,.2f}"),) if has_price else ()
    return (
        cell(name), cell(_cables(context, way)), figure_cell(Figure(way.copper_kg, "mass", "cut", 3), context.units),
        *price, lowest, cell(box_line(context, way.lowest_box)) if way.lowest_box else cell(""), margin,
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
