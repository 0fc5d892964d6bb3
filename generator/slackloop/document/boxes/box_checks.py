"""Which checks a box is due, by what meets in it, and between which numbers what is measured there can be true."""

from __future__ import annotations

from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.sections import format as fmt
from slackloop.sections.inspection_points import is_due_at
from slackloop.sections.section import Check
from slackloop.units.figure import is_unknown

Likely = tuple[float | None, float | None]
LIKELY_TIMES, LIKELY_PART = 10.0, 0.01
"""A cover or slack of ten times its least, or of a hundredth of it, is written in another unit. Our own bounds."""
LIKELY_MOHM = 1e6
"""No insulation tester reads more than this, MΩ. Our own bound."""
LIKELY_OVER_SUPPLY = 1.2
"""What volts on the path may come to, of the supply's. Our own bound."""
LENGTHS = {"depth_m": ("mm", "in"), "slack_m": ("m", "ft"), "strip_m": ("mm", "in")}
"""The unit that a length is written in: metric, US."""


def is_due(check: Check, facts: BoxFacts) -> bool:
    """Whether a check is due at a box; a check of each run is due at the box that the run feeds."""
    electrodes = (facts.box.id,) if facts.electrode else ()
    return is_due_at(check.where, facts.box, facts.index, facts.network, electrodes)


def measured_here(measures: str, facts: BoxFacts) -> str:
    """The limit of a measured quantity at this very box; empty where the check's own limit says it all."""
    context, units = facts.context, facts.context.units
    if measures == "path_volts":
        least = facts.devices.least_volts
        return f"{fmt.written(least.text)} or more" if least else ""
    if measures == "slack_m":
        return f"{facts.slack_text(context.analysis.slack[facts.index].per_tail_m)} on each cable end"
    if measures == "depth_m":
        depth_m = context.analysis.trench.runs[facts.index].depth_m
        return f"{fmt.length(depth_m, units, 'least')} dug, cover {facts.cover()}"
    if measures == "strip_m":
        return facts.strip()
    return ""


def likely_of(measures: str, least: float | None, most: float | None, supply_volts: float) -> Likely:
    """Between which numbers a measured value can be true at all; ``least`` and ``most`` are its limits."""
    if measures == "insulation_ohms":
        return 0.0, LIKELY_MOHM
    if measures == "path_volts":
        return 0.0, None if is_unknown(supply_volts) else LIKELY_OVER_SUPPLY * supply_volts
    if measures in LENGTHS and least is not None:
        return LIKELY_PART * least, LIKELY_TIMES * least
    return (most / 1000.0 if most is not None else 0.0), None
