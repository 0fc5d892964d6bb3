"""Loop readings one by one, for a file: what is expected and what passes in each soil, rings open and closed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from slackloop.compute.circuit.loop import LoopReading
from slackloop.document.context import Context
from slackloop.document.table import EMPTY_CELL, Cell, Column, Table, cell, figure_cell, one_part
from slackloop.document.tables.rows_behind import resistance_rows
from slackloop.units.figure import ohms, temperature
from slackloop.units.rounding import Rounding


def each_loop_table(context: Context) -> Table:
    """A row for each box and closing run and state of the ring, with room for the reading and the soil of the day."""
    limits = [
        Column(f"{key}-{number}", f"{name} at {_soil(context, each.celsius)}", "resistance")
        for number, each in enumerate(context.analysis.loops.closed[0].limits)
        for key, name in (("least", "Least"), ("most", "Most"))
    ]
    columns = (
        Column("place", "Box"), Column("ring", "Ring"),
        Column("expected", f"Expected at {_soil(context, 20.0)}", "resistance"), *limits,
        Column("soil", "Soil on the day", "temperature"), Column("read", "Read on site", "resistance"),
    )  # fmt: skip
    return Table(
        "each-loop", "Loop readings", columns, one_part(_rows(context)), ("job", "computed"),
        resistance_rows(context, largest=False),
    )  # fmt: skip


def _rows(context: Context) -> Iterator[tuple[Cell, ...]]:
    """Boxes with the rings open, closing runs at their open end, then boxes with the rings closed."""
    loops, network = context.analysis.loops, context.network
    groups: list[tuple[Sequence[str], Sequence[LoopReading], str]] = [(network.boxes, loops.closed, "none")]
    if network.closures:
        ends = tuple(run.id for run in network.closures)
        groups = [
            (network.boxes, loops.opened, "open"), (ends, loops.closures, "open"),
            (network.boxes, loops.closed, "closed"),
        ]  # fmt: skip
    for places, readings, ring in groups:
        for place, reading in zip(places, readings, strict=True):
            expected = figure_cell(ohms(reading.ohms_20c, "nearest"), context.units)
            yield cell(place), cell(ring), expected, *_limits(context, reading), EMPTY_CELL, EMPTY_CELL


def _limits(context: Context, reading: LoopReading) -> Iterator[Cell]:
    """Least and most at each soil temperature, never looser than they are."""
    for limit in reading.limits:
        yield figure_cell(ohms(limit.low_ohms, "least"), context.units)
        yield figure_cell(ohms(limit.high_ohms, "most"), context.units)


def _soil(context: Context, celsius: float) -> str:
    """A soil temperature for a heading; the coldest and the hottest never told nearer to each other."""
    soil = context.job.conditions.soil_temperature
    ends: dict[float, Rounding] = {soil.low.si: "lowest", soil.high.si: "highest"}
    return temperature(celsius, ends.get(celsius, "nearest")).alone(context.units)
