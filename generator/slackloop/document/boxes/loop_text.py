"""Loop readings as text: what passes at each soil temperature, the ring open and closed, limits never looser."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.compute.circuit.loop import LoopReading
from slackloop.compute.circuit.loop_limits import LoopLimit
from slackloop.document.context import Context
from slackloop.document.inline import Value, line
from slackloop.document.table import Column, Table, cell, one_part
from slackloop.sections import format as fmt
from slackloop.sections.text import Measure

OPEN, CLOSED = "Ring open", "Ring closed"
HOW = (
    "Read the soil temperature at cable depth and use its row. Between two rows, the reading must be inside the "
    "limits of both."
)


@dataclass(frozen=True, slots=True)
class LoopRow:
    """One soil temperature; ``cells`` are what passes and what is expected, for each state of the ring."""

    soil: str
    cells: tuple[tuple[str, str], ...]


def box_states(context: Context, index: int) -> tuple[tuple[str, LoopReading], ...]:
    """The readings of a box, each with the state of the ring; one without a title on a path without rings."""
    loops = context.analysis.loops
    if not context.network.closures:
        return (("", loops.closed[index]),)
    return ((OPEN, loops.opened[index]), (CLOSED, loops.closed[index]))


def loop_rows(context: Context, readings: tuple[LoopReading, ...]) -> tuple[LoopRow, ...]:
    """A row for each soil temperature, coldest first, with a cell for each reading."""
    steps = zip(*(reading.limits for reading in readings), strict=True)
    return tuple(
        LoopRow(
            soil_text(context, limits[0]),
            tuple((passes(limit), fmt.ohms(limit.expected_ohms, "nearest")) for limit in limits),
        )
        for limits in steps
    )


def soil_text(context: Context, limit: LoopLimit) -> str:
    """The soil temperature of a limit; the coldest and the hottest as the job wrote them."""
    soil = context.job.conditions.soil_temperature
    if limit.celsius == soil.low.si:
        return fmt.stated(soil.low, context.units, "lowest")
    if limit.celsius == soil.high.si:
        return fmt.stated(soil.high, context.units, "highest")
    return fmt.temperature(limit.celsius, context.units, "nearest")


def passes(limit: LoopLimit) -> Measure:
    """What passes, as ``0.97 to 1.32 Ω``: the least rounded up, the most rounded down."""
    low = fmt.ohms(limit.low_ohms, "least")
    high = fmt.ohms(limit.high_ohms, "most")
    number, _, unit = low.partition(" ")
    return Measure(f"{number if high.endswith(f' {unit}') else low} to {high}")


def loop_table(context: Context, states: tuple[tuple[str, LoopReading], ...]) -> Table:
    """The limits of a loop reading by soil temperature, for each state of the ring."""
    columns = [Column("soil", "Soil at cable depth")]
    for number, (title, _) in enumerate(states):
        columns += [
            Column(f"passes-{number}", f"{title} passes".strip().capitalize()),
            Column(f"expected-{number}", "Expected", "resistance"),
        ]
    rows = [
        (
            cell(row.soil),
            *(cell(Value(text)) if n == 0 else cell(text) for pair in row.cells for n, text in enumerate(pair)),
        )
        for row in loop_rows(context, tuple(reading for _, reading in states))
    ]
    return Table(
        "loop-limits", "Loop limits", tuple(columns), one_part(rows), ("job", "computed"), notes=(line(HOW),)
    )  # fmt: skip
