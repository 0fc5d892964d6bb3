"""Which checks a box is due: by what meets in it, whether the path ends or branches there, and its electrode."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.context import Context
from slackloop.sections import format as fmt
from slackloop.sections.addresses import section_uri
from slackloop.sections.inspection_points import is_due_at
from slackloop.sections.section import Check
from slackloop.sections.text import Trusted, large, trusted


@dataclass(frozen=True, slots=True)
class DueCheck:
    """A check at one place; title and limit are finished Markdown."""

    check: Check
    title: Trusted
    limit: Trusted
    section_uri: str


def is_due(check: Check, facts: BoxFacts) -> bool:
    """Whether a check is due at a box; a check of each run is due at the box that the run feeds."""
    electrodes = (facts.box.id,) if facts.electrode else ()
    return is_due_at(check.where, facts.box, facts.index, facts.network, electrodes)


def box_checks(context: Context, facts: BoxFacts) -> Iterator[DueCheck]:
    """Every check that is due at a box, in the order of the sections."""
    for applied in context.sections:
        front, file = applied.section.front, applied.section.file
        for check in applied.checks:
            if not is_due(check, facts):
                continue
            line = applied.section.line_of(check.id)
            title = context.renderer.render(check.title, file, line)
            limit = context.renderer.render(check.limit, file, line)
            if here := measured_here(check.measures, facts):
                limit = trusted(f"{limit}<br>Here: {large(here)}")
            yield DueCheck(check, title, limit, section_uri(front.part, front.id))


def measured_here(measures: str, facts: BoxFacts) -> str:
    """The limit of a measured quantity at this very box; empty where the check's own limit says it all."""
    context, units = facts.context, facts.context.units
    if measures == "loop_ohms":
        loop = context.analysis.loops[facts.index]
        return f"{fmt.ohms(loop.low_ohms, 'least')} to {fmt.ohms(loop.high_ohms, 'most')}"
    if measures == "path_volts":
        device = context.device(facts.box)
        return f"{fmt.written(device.least_volts.text)} or more" if device else ""
    if measures == "slack_m":
        return f"{facts.slack_text(context.analysis.slack[facts.index].per_tail_m)} on each cable end"
    if measures == "depth_m":
        depth_m = context.analysis.trench.runs[facts.index].depth_m
        return f"{fmt.length(depth_m, units, 'least')} dug, cover {facts.cover()}"
    if measures == "strip_m":
        return facts.strip()
    return ""
