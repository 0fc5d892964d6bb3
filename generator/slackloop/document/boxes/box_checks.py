"""Which checks a box is due: by what meets in it, whether the path ends or branches there, and its electrode."""

from __future__ import annotations

from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.sections import format as fmt
from slackloop.sections.inspection_points import is_due_at
from slackloop.sections.section import Check


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
