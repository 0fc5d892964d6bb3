"""The stages of a box's work, in the order in which the method does it, each with the checks that are due there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from slackloop.document.boxes.box_checks import is_due, measured_here
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.context import Context
from slackloop.document.inline import Line, line, plain
from slackloop.sections.inspection_points import is_due_on_ring_run
from slackloop.sections.section import Check
from slackloop.site.network import Run

StageId = Literal["run", "test", "splice", "device", "close"]
STAGES: tuple[tuple[StageId, str], ...] = (
    ("run", "Run"), ("test", "Test"), ("splice", "Splice"), ("device", "Device"), ("close", "Close")
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class DueCheck:
    """A check at one box: its words, and its limit at this very box."""

    check: Check
    title: str
    limit: Line
    section: str
    """The id of the page of its section."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage with its checks in the order of the method."""

    id: StageId
    title: str
    checks: tuple[DueCheck, ...]

    def recorded(self, record: str) -> tuple[DueCheck, ...]:
        """The checks that are recorded in one way."""
        return tuple(each for each in self.checks if each.check.record == record)

    @property
    def holds(self) -> tuple[DueCheck, ...]:
        """The checks that work stops for until somebody has signed."""
        return tuple(each for each in self.checks if each.check.hold == "hold")


def box_stages(context: Context, facts: BoxFacts) -> tuple[Stage, ...]:
    """The five stages of the box, those without a check left out."""
    return _stages(context, lambda check: is_due(check, facts), lambda check: measured_here(check.measures, facts))


def closing_run_stages(context: Context, run: Run) -> tuple[Stage, ...]:
    """The stages of a run that closes a ring: what is due of each run, and the loop there."""
    return _stages(context, lambda check: is_due_on_ring_run(check, run), lambda check: "")


def _stages(
    context: Context, is_due_here: Callable[[Check], bool], limit_here: Callable[[Check], str]
) -> tuple[Stage, ...]:
    """The stages with the checks that are due, each with its limit; stages without a check are left out."""
    due: dict[str, list[DueCheck]] = {name: [] for name, _ in STAGES}
    for applied in context.sections:
        front = applied.section.front
        for check in applied.checks:
            if check.stage and is_due_here(check):
                if check.id not in context.made_checks:
                    limit = context.prose.line(check.limit, applied.section.file, applied.section.line_of(check.id))
                    title = plain(context.prose.line(check.title, applied.section.file))
                    context.made_checks[check.id] = DueCheck(check, title, limit, f"{front.part}/{front.id}")
                made, here = context.made_checks[check.id], limit_here(check)
                due[check.stage].append(replace(made, limit=line(here)) if here else made)
    return tuple(Stage(name, title, tuple(due[name])) for name, title in STAGES if due[name])
