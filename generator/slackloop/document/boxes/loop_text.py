"""Loop readings as text: what passes at each soil temperature, the ring open and closed, limits never looser."""

from __future__ import annotations

from slackloop.compute.circuit.loop import LoopReading
from slackloop.compute.circuit.loop_limits import LoopLimit
from slackloop.document.context import Context
from slackloop.sections import format as fmt
from slackloop.sections.text import Measure

OPEN, CLOSED = "Ring open", "Ring closed"

def box_states(context: Context, index: int) -> tuple[tuple[str, LoopReading], ...]:
    """The readings of a box, each with the state of the ring; one without a title on a path without rings."""
    loops = context.analysis.loops
    if not context.network.closures:
        return (("", loops.closed[index]),)
    return ((OPEN, loops.opened[index]), (CLOSED, loops.closed[index]))


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
