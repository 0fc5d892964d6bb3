"""Named conditions: when a section, a step, a requirement or a check applies to a job.

Content names a condition and never computes one. Each is a plain predicate on the job and its
analysis.

The part of a section that applies to one job: its steps, requirements and checks.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from slackloop.sections.inspection_points import CROSSED
from slackloop.sections.section import Also, Check, Group, Requirement, Section, Step, Taken
from slackloop.site.effective_values import long_leads
from slackloop.site.models import Job
from slackloop.site.network import joined_boxes

if TYPE_CHECKING:
    from slackloop.compute.computed_job import ComputedJob


Condition = Callable[["Job", "ComputedJob"], bool]


def _surfaces(job: Job) -> frozenset[str]:
    """Every surface that a run passes under."""
    runs = {box.surface for box in job.path.boxes}
    return frozenset(runs | {closure.surface for closure in job.path.ring_closures})


def _hazard(*words: str) -> Condition:
    """Whether the site lists a hazard that holds one of the words."""
    return lambda job, _: any(word in hazard.lower() for hazard in job.conditions.hazards for word in words)


def _surface(*names: str) -> Condition:
    """Whether a run passes under one of the surfaces."""
    return lambda job, _: not _surfaces(job).isdisjoint(names)


def _new_crossing(*names: str) -> Condition:
    """Whether a run passes under one of the surfaces, and in no sleeve that is there already."""
    return lambda _, analysis: any(
        run.surface in names and not run.in_old_sleeve for run in analysis.network.all_runs
    )


def _code(name: str) -> Condition:
    """Whether the job's code basis is this one."""
    return lambda job, _: job.job.code_basis == name


def _any_jacket(job: Job, _: ComputedJob) -> bool:
    """Whether a run's cable has an outer jacket."""
    return any(job.cables[name].jacket for name in job.path.run_cables)


def _any_bare_pair(job: Job, _: ComputedJob) -> bool:
    """Whether a run's cable has no outer jacket."""
    return any(not job.cables[name].jacket for name in job.path.run_cables)


def _has_branches(_: Job, analysis: ComputedJob) -> bool:
    """Whether the path divides, at the controller or in a box."""
    network = analysis.network
    return len(network.roots) > 1 or any(len(children) > 1 for children in network.children)


def _mixed_conductors(job: Job, _: ComputedJob) -> bool:
    """Whether runs use conductors of more than one size or build."""
    kinds = {(job.cables[name].conductor.label, job.cables[name].build) for name in job.path.run_cables}
    return len(kinds) > 1


def _traffic(job: Job, analysis: ComputedJob) -> bool:
    """Whether work stands in or beside moving vehicles."""
    return "road" in _surfaces(job) or _hazard("traffic", "vehicle")(job, analysis)


CONDITIONS: MappingProxyType[str, Condition] = MappingProxyType(
    {
        "always": lambda job, analysis: True,
        "jacketed-cable": _any_jacket,
        "unjacketed-cable": _any_bare_pair,
        "shared-trench": lambda job, _: job.trench.shared_with_pipe is not None,
        "own-trench": lambda job, _: job.trench.shared_with_pipe is None,
        "warning-tape": lambda job, _: job.trench.warning_tape,
        "has-branches": _has_branches,
        "has-device-boxes": lambda job, _: any(box.fitted for box in job.path.boxes),
        "has-long-leads": lambda _, analysis: any(long_leads(devices) for devices in analysis.network.devices),
        "surge-part-stated": lambda job, _: job.rules.earthing.surge_part is not None,
        "surge-part-open": lambda job, _: job.rules.earthing.surge_part is None,
        "has-electrodes": lambda _, analysis: bool(analysis.electrodes.places),
        "rock-soil": lambda job, _: "rock" in job.conditions.soil.lower(),
        "high-groundwater": _hazard("groundwater", "water table"),
        "frost": lambda job, _: job.conditions.frost_depth is not None,
        "crossings": lambda job, analysis: (
            _surface(*CROSSED)(job, analysis) or any(box.crossing for box in job.path.boxes)
        ),
        "road-crossing": _new_crossing("road"),
        "driveway-crossing": _new_crossing("driveway", "drive"),
        "building-crossing": _new_crossing("building"),
        "us-code": _code("us"),
        "uk-code": _code("uk"),
        "general-code": _code("general"),
        "cover-question": lambda _, analysis: any(cover.question for cover in analysis.covers),
        "connector-closing-stated": lambda job, _: any(each.closing for each in job.connectors.values()),
        "public-access": _hazard("public"),
        "overhead-lines": _hazard("overhead"),
        "traffic": _traffic,
        "water-near": _hazard("water", "lake", "river", "pond", "flood"),
        "mixed-conductors": _mixed_conductors,
        "slack-per-tail": lambda job, _: job.rules.slack.per == "tail",
        "slack-per-box": lambda job, _: job.rules.slack.per == "box",
        "resistivity-unknown": lambda job, _: job.conditions.soil_resistivity is None,
        "ac-supply": lambda job, _: job.supply.current == "ac",
        "dc-supply": lambda job, _: job.supply.current == "dc",
        "joins-existing": lambda job, analysis: bool(joined_boxes(job, analysis.network)),
        "ring": lambda job, _: bool(job.path.ring_closures),
    }
)


def holds(name: str, job: Job, analysis: ComputedJob) -> bool:
    """Whether the condition ``name`` holds; raises ``KeyError`` for a name that is none."""
    return CONDITIONS[name](job, analysis)


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


def apply_sections(sections: Iterable[Section], holds: Callable[[str], bool]) -> tuple[AppliedSection, ...]:
    """The sections that apply, in printed order.

    A check that is signed with another one is ticked by itself where a job, or a firm's own content, has no such check.
    """
    applied = [each for section in sections if (each := apply_section(section, holds)) is not None]
    there = {check.id for each in applied for check in each.checks if check.record != "covered"}
    return tuple(replace(each, checks=tuple(_signed(check, there) for check in each.checks)) for each in applied)


def _signed(check: Check, there: Container[str]) -> Check:
    if not check.signed_with or check.signed_with in there:
        return check
    return check.model_copy(update={"signed_with": "", "record": "tick"})


NOT_SCORED = "Not scored: score it on site"
