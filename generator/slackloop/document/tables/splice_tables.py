"""Splices and solenoids: alike ones said once, with the boxes or stations where they are."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.context import Context
from slackloop.document.inline import Line, line
from slackloop.document.table import Cell, Column, Table, cell, figure_cell, one_part
from slackloop.document.tables.said_once import where
from slackloop.reference.rows import Row
from slackloop.units.figure import Figure, length, volts

SPLICE_COLUMNS = (
    Column("splice", "Splice"), Column("wires", "Wires in each"), Column("count", "Wires", "count"),
    Column("copper", "Copper"), Column("connector", "Connector"), Column("where", "Where"),
)  # fmt: skip
SOLENOID_COLUMNS = (
    Column("lead", "Lead", "length"), Column("output", "Volts at the output", "volts"),
    Column("inrush", "At inrush", "volts"), Column("holding", "Holding", "volts"), Column("needs", "It needs", "volts"),
    Column("longest", "Longest lead", "run"), Column("where", "Stations"),
)  # fmt: skip


def splice_table(context: Context) -> Table:
    """Every kind of splice: what meets in it, the connector that takes it, and the boxes that have it."""
    boxes: dict[tuple[str, ...], list[str]] = {}
    for index, box in enumerate(context.network.boxes):
        for label, how_many, wires, count, copper, connector in BoxFacts(context, index).splice_rows():
            each = f"{label}, {how_many} times" if how_many != "1" else label
            boxes.setdefault((each, wires, count, copper, connector), []).append(box)
    total, order = len(context.network.boxes), context.network.index
    rows = [
        (*(cell(text) for text in kind), cell(where(names, total, order, "box", "boxes")))
        for kind, names in boxes.items()
    ]
    note = "A connector takes only what its maker lists. The pack in your hand comes before this table."
    return Table(
        "splices", "Splices", SPLICE_COLUMNS, one_part(rows), ("job", "computed"), tuple(_sizes_used(context)),
        notes=(line(note),), landscape=True,
    )  # fmt: skip


def solenoid_table(context: Context) -> Table:
    """Volts at the solenoids, alike stations said once, the worst first."""
    alike: dict[tuple[str, ...], list[str]] = {}
    cells: dict[tuple[str, ...], tuple[Cell, ...]] = {}
    units = context.units
    for each in context.analysis.solenoids:
        figures: list[Figure] = [
            length(each.lead_m, "nearest"), volts(each.output_volts, "lowest"), volts(each.volts, "lowest"),
            volts(each.holding_volts, "lowest"), volts(each.least_volts, "least"),
        ]  # fmt: skip
        shown = tuple(figure_cell(figure, units) for figure in figures)
        longest = (
            figure_cell(length(each.longest_lead_m, "most"), units)
            if each.longest_lead_m > 0 else cell("none is short enough")
        )  # fmt: skip
        key = tuple(str(part.line) for part in (*shown, longest))
        cells[key] = (*shown, longest)
        alike.setdefault(key, []).append(str(each.station))
    total = len(context.analysis.solenoids)
    order = {str(each.station): n for n, each in enumerate(context.analysis.solenoids)}
    ranked = sorted(alike, key=lambda key: (cells[key][2].number or 0.0) - (cells[key][4].number or 0.0))
    rows = [(*cells[key], cell(where(alike[key], total, order, "station", "stations"))) for key in ranked]
    intro = (
        "Volts at each solenoid over its lead, at inrush and while it holds: soil at its hottest, and the largest "
        "resistance that the lead may have."
    )
    return Table(
        "solenoids", "Solenoids", SOLENOID_COLUMNS, one_part(rows), ("job", "computed"), tuple(_sizes_used(context)),
        line(intro), tuple(_notes(context)), landscape=True,
    )  # fmt: skip


def _notes(context: Context) -> Iterator[Line]:
    """Where outputs follow the path, how."""
    if any(each.path_volts is not None for each in context.analysis.solenoids):
        yield line(
            "Where an output follows the path, it has the lowest volts of the path at that box less what the device "
            "loses."
        )


def _sizes_used(context: Context) -> Iterator[Row]:
    """The rows of the AWG sizes whose areas are added up."""
    for row in context.tables.conductors.awg_sizes.values():
        if any(cable.conductor.label == f"{row.awg} AWG" for cable in context.job.cables.values()):
            yield row
