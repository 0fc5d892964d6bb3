"""The part of a section that applies to one job: its steps, requirements and checks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slackloop.sections.section import Also, Check, Group, Requirement, Section, Step, Taken


@dataclass(frozen=True, slots=True)
class AppliedSection:
    """A section cut down to the job; ``numbers`` gives each step's number by its id."""

    section: Section
    groups: tuple[Group, ...]
    requirements: tuple[Requirement, ...]
    checks: tuple[Check, ...]
    numbers: dict[str, int]
    also: tuple[Also, ...] = ()
    """What the section takes besides on this job."""

    def named(self, key: Taken) -> tuple[str, ...]:
        """The tools, the equipment or the hazards of the section on this job."""
        found = (*getattr(self.section.front, key), *(name for each in self.also for name in getattr(each, key)))
        return tuple(dict.fromkeys(found))

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps that apply, in order."""
        return tuple(block for group in self.groups for block in group.blocks if isinstance(block, Step))

    def steps_of(self, requirement: Requirement) -> tuple[Step, ...]:
        """The steps that carry out a requirement."""
        return tuple(step for step in self.steps if requirement.id in step.carries)

    def checks_of(self, requirement: Requirement) -> tuple[Check, ...]:
        """The checks that prove a requirement."""
        return tuple(check for check in self.checks if requirement.id in check.proves)


def apply_section(section: Section, holds: Callable[[str], bool]) -> AppliedSection | None:
    """The section for a job, or nothing when it does not apply.

    A requirement goes with its steps: when none of the steps that carry it applies, neither does
    it, nor a check that proves nothing else.
    """
    if not holds(section.front.applies):
        return None
    groups = tuple(
        Group(group.title, group.line, blocks)
        for group in section.groups
        if (blocks := tuple(block for block in group.blocks if not isinstance(block, Step) or holds(block.applies)))
    )
    steps = [block for group in groups for block in group.blocks if isinstance(block, Step)]
    carried = {requirement for step in steps for requirement in step.carries}
    requirements = tuple(each for each in section.front.requirements if each.id in carried and holds(each.applies))
    asked = {requirement.id for requirement in requirements}
    checks = tuple(
        check for check in section.front.checks if holds(check.applies) and not asked.isdisjoint(check.proves)
    )
    numbers = {step.id: number for number, step in enumerate(steps, start=1)}
    also = tuple(each for each in section.front.also if holds(each.applies))
    return AppliedSection(section, groups, requirements, checks, numbers, also)
