"""The work day by day, along the path, at the job's own rates: what is dug, which boxes are finished, what is capped.

Nobody else's productivity is used: a day ends where the job's trench or the job's boxes a day are used up. Runs are
taken in path order, phase by phase, so that cable is always laid on from a box that is there.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from slackloop.compute.ground.trench import TrenchAnswer
from slackloop.site.models import WEEK, Job, Programme
from slackloop.site.network import CONTROLLER, Network, Run
from slackloop.source.finding import Finding
from slackloop.units.amount import count

MOST_DAYS = 2_000
"""Days that a programme may take, each with a sheet of its own; a bound of the program's own."""
_WITHIN_M = 1e-6


@dataclass(frozen=True)
class DayRun:
    """What is done on one run in a day: trench from ``from_m`` to ``to_m`` of its digging, metres."""

    run_id: str
    from_m: float
    to_m: float
    is_finished: bool


@dataclass(frozen=True)
class DayPlan:
    """One day: runs, boxes that are finished, and runs whose end is capped overnight."""

    number: int
    day: datetime.date
    phases: tuple[str, ...]
    runs: tuple[DayRun, ...]
    boxes: tuple[str, ...]
    capped: tuple[str, ...]


@dataclass
class _Day:
    """A day that is being filled; ``trench_m`` and ``boxes_left`` are what the crew has left of it."""

    trench_m: float
    boxes_left: int
    runs: list[DayRun] = field(default_factory=list)
    boxes: list[str] = field(default_factory=list)
    capped: list[str] = field(default_factory=list)
    phases: dict[str, None] = field(default_factory=dict)


def day_plans(job: Job, network: Network, trench: TrenchAnswer) -> tuple[DayPlan, ...]:
    """Every day of work; nothing where the job states no programme, has nothing new to do or takes too many days."""
    if job.programme is None:
        return ()
    days = list(islice(_days(job, network, trench, job.programme), MOST_DAYS + 1))
    if len(days) > MOST_DAYS:
        return ()
    calendar, plans = _calendar(job.programme), list[DayPlan]()
    for number, day in enumerate(days, start=1):
        parts = tuple(day.runs), tuple(day.boxes), tuple(day.capped)
        plans.append(DayPlan(number, next(calendar), tuple(day.phases), *parts))
    return tuple(plans)


def length_findings(job: Job, network: Network, plans: tuple[DayPlan, ...]) -> tuple[Finding, ...]:
    """An error where there is work to do, and so much of it at the rates given that no sheets are made."""
    if job.programme is None or plans or not _in_order(job, network):
        return ()
    programme = job.programme
    return (
        Finding(
            "error",
            "programme-too-long",
            f"at {programme.trench_a_day.text} of trench and {count(programme.boxes_a_day, 'box', 'boxes')} a day the "
            f"work takes more than {MOST_DAYS:,} working days",
            ("programme", "trench_a_day"),
            expected=f"rates at which the work takes at most {MOST_DAYS:,} days",
            hint="give the trench and the boxes that the crew really does in a day",
        ),
    )


def search_findings(job: Job, plans: tuple[DayPlan, ...]) -> tuple[Finding, ...]:
    """A warning where digging goes on after the last day of the search for buried utilities."""
    last = job.locates.valid_to if job.locates else None
    late = [plan for plan in plans if last is not None and plan.runs and plan.day > last]
    if not late:
        return ()
    return (
        Finding("warning", "locate-short",
                f"the search for buried utilities holds until {last}, and the programme digs until {late[-1].day}",
                ("locates", "valid_to"), expected=f"a search that holds until {late[-1].day}",
                hint=f"have the utilities marked again before {late[0].day}",
                asks="the service that marks buried utilities"),
    )  # fmt: skip


def _calendar(programme: Programme) -> Iterator[datetime.date]:
    """Working days from the first one on."""
    day = programme.start
    while True:
        if WEEK[day.weekday()] in programme.days:
            yield day
        day += datetime.timedelta(days=1)


def phase_ranks(job: Job, network: Network) -> tuple[tuple[str, ...], tuple[int, ...]]:
    """The phases in the order of the work, and for each box the place of its phase, never before that of its feeder."""
    ranks: dict[str, int] = {}
    rank_of: list[int] = []
    for box_id, above in zip(network.boxes, network.parent, strict=True):
        own = ranks.setdefault(job.path.by_id[box_id].phase, len(ranks))
        rank_of.append(max(own, rank_of[above]) if above >= 0 else own)
    return tuple(ranks), tuple(rank_of)


def _in_order(job: Job, network: Network) -> list[tuple[Run, str]]:
    """New runs and new boxes in the order of the work, each with its phase; a phase starts where it is first named.

    A box is never before the box that feeds it; runs that close rings come last.
    """
    boxes, (_, rank_of) = [job.path.by_id[box] for box in network.boxes], phase_ranks(job, network)
    order = sorted(range(len(boxes)), key=lambda i: rank_of[i])
    work = [(network.runs[i], boxes[i].phase) for i in order if not (network.runs[i].existing and boxes[i].existing)]
    return [*work, *((run, "") for run in network.closures if not run.existing)]


def _days(job: Job, network: Network, trench: TrenchAnswer, programme: Programme) -> Iterator[_Day]:
    dug = {each.run_id: each.dug_m for each in trench.runs}
    day = _Day(programme.trench_a_day.si, programme.boxes_a_day)
    for run, phase in _in_order(job, network):
        has_box = not run.closure and run.to_id != CONTROLLER and not job.path.by_id[run.to_id].existing
        done_m, whole_m = 0.0, 0.0 if run.existing else dug[run.id]
        while whole_m - done_m > _WITHIN_M:
            if day.trench_m <= _WITHIN_M:
                yield day
                day = _Day(programme.trench_a_day.si, programme.boxes_a_day)
            part_m = min(day.trench_m, whole_m - done_m)
            is_finished = whole_m - done_m - part_m <= _WITHIN_M
            day.runs.append(DayRun(run.id, done_m, done_m + part_m, is_finished))
            day.phases[phase] = None
            day.trench_m -= part_m
            done_m += part_m
            if not is_finished:
                day.capped.append(run.id)
        if has_box and day.boxes_left == 0:
            if not run.existing:
                day.capped.append(run.id)
            yield day
            day = _Day(programme.trench_a_day.si, programme.boxes_a_day)
        if has_box:
            day.boxes.append(run.to_id)
            day.boxes_left -= 1
            day.phases[phase] = None
    if day.runs or day.boxes:
        yield day
