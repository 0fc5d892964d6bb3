"""Which checks a box is due: by what meets in it, whether the path ends or branches there, and its electrode."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.context import Context
from slackloop.sections import format as fmt
from slackloop.sections.addresses import section_uri
from slackloop.sections.applied import AppliedSection
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
        for check in applied.checks:
            if not is_due(check, facts):
                continue
            due = rendered_check(context, applied, check)
            if here := measured_here(check.measures, facts):
                due = replace(due, limit=trusted(f"{due.limit}<br>Here: {large(here)}"))
            yield due


def rendered_check(context: Context, applied: AppliedSection, check: Check) -> DueCheck:
    """A check of a section as finished Markdown."""
    front, file, line = applied.section.front, applied.section.file, applied.section.line_of(check.id)
    title, limit = (context.renderer.render(text, file, line) for text in (check.title, check.limit))
    return DueCheck(check, title, limit, section_uri(front.part, front.id))


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
