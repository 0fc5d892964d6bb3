"""What stands between a fault and the filled trench: the steps that prevent it and the checks that show it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slackloop.sections.catalogue import Words
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.section import Check, Section, Step
from slackloop.source.finding import Placed, found_at

FILL = "backfill-and-tape"
"""The section by which a run is covered: what is checked in a section before it is checked in time."""
ON_THE_RUN = ("", "run")
"""Stages of checks on the run as it is laid, before anything at its boxes."""


@dataclass(frozen=True, slots=True)
class FaultCover:
    """One fault: steps in printed order, checks in the order of the work, and how many of these come before the fill.

    A check comes before the fill where its section does. A splice is made when the run that comes in may be covered
    already; its checks are made before the run that goes on is covered.
    """

    fault: str
    steps: tuple[tuple[AppliedSection, Step], ...]
    checks: tuple[tuple[AppliedSection, Check], ...]
    in_time: int


def fault_covers(sections: Sequence[AppliedSection], words: Words) -> tuple[FaultCover, ...]:
    """Each fault of the words with what prevents and what shows it on one job."""
    method = [each for each in sections if each.section.front.part == "method"]
    return tuple(_cover(name, method) for name in words.faults)


def _cover(fault: str, method: Sequence[AppliedSection]) -> FaultCover:
    steps = tuple((each, step) for each in method for step in each.steps if fault in step.prevents)
    checks = [(each, check) for each in method for check in each.checks if fault in check.shows]
    fill = next((each.section.front.order for each in method if each.section.front.id == FILL), None)
    early = [pair for pair in checks if _is_in_time(*pair, fill)]
    late = [pair for pair in checks if pair not in early]
    ordered = (*sorted(early, key=_when), *sorted(late, key=_when))
    return FaultCover(fault, steps, ordered, len(early))


def _is_in_time(applied: AppliedSection, check: Check, fill: int | None) -> bool:
    """Whether a check is made before the run beyond it is covered."""
    return check.stage != "close" and (fill is None or applied.section.front.order < fill)


def _when(pair: tuple[AppliedSection, Check]) -> tuple[bool, int]:
    """The order of the work: what is done on the run, then as printed, since a splice is read at the next box."""
    applied, check = pair
    return check.stage not in ON_THE_RUN, applied.section.front.order


def late_faults(sections: Sequence[AppliedSection], words: Words) -> Iterator[Placed]:
    """A warning for each fault that no check of a job shows before the trench is filled."""
    for cover in fault_covers(sections, words):
        if not cover.in_time:
            then = f"{cover.checks[0][1].id} shows it when it is buried" if cover.checks else "no check shows it at all"
            message = f"no check of this job shows '{words.faults[cover.fault].title}' before the fill: {then}"
            line = words.places.get("faults", {}).get(cover.fault, 1)
            yield found_at("words/faults.yml", line, "fault-not-shown", message, "warning")


def unknown_faults(section: Section, words: Words) -> Iterator[Placed]:
    """Faults that a step prevents or a check shows are in the word file."""
    named = [(name, section.line_of(check.id)) for check in section.front.checks for name in check.shows]
    named += [(name, step.line) for step in section.steps for name in step.prevents]
    for name, line in named:
        if name not in words.faults:
            yield found_at(section.file, line, "fault-unknown", f"'{name}' is not in words/faults.yml")
