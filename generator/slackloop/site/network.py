"""The path as a network: boxes in path order, the run that feeds each, and closing runs; where the job states each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import PlacedDevice
from slackloop.site.models import Box, Job, RingClosure
from slackloop.site.plain_fields import CONTROLLER as CONTROLLER
from slackloop.site.valve_boxes import Crossing
from slackloop.source.finding import At
from slackloop.units.figure import Figure
from slackloop.units.quantity import Quantity


@dataclass(frozen=True)
class Run:
    """One length of cable from end to end, without slack.

    ``id`` is the id of the box that the run feeds; for a run that closes a ring it is ``FROM-TO``.
    """

    id: str
    from_id: str
    to_id: str
    length_m: float
    cable: str
    surface: str
    cover_m: float
    closure: bool = False
    existing: bool = False
    """Whether it was there before the job: computed like any other, neither dug nor ordered."""
    duct: Quantity | None = None
    crossing: Crossing | None = None
    stated: Quantity | None = None
    cover_stated: Quantity | None = None

    @property
    def in_old_sleeve(self) -> bool:
        """Whether it crosses in a sleeve that is there already, so that nothing is cut for it."""
        return self.crossing is not None and self.crossing.method == "existing"

    @property
    def dug_m(self) -> float:
        """How much of it lies in a trench of the job, metres: not what was there before, nor what is in such a sleeve.
        """
        if self.existing:
            return 0.0
        whole = self.crossing is None or self.crossing.method == "open"
        return self.length_m - (0.0 if whole or self.crossing is None else min(self.crossing.length.si, self.length_m))

    @property
    def length(self) -> Figure:
        """Its length for a reader, as the job wrote it where it did; whoever cuts or digs by it has enough."""
        return Figure(self.length_m, "run", "cut", stated=self.stated)

    @property
    def cover(self) -> Figure:
        """Its cover for a reader, as the job wrote it."""
        return Figure(self.cover_m, "length", "least", stated=self.cover_stated)


@dataclass(frozen=True)
class Tail:
    """One cable end in a box; ``origin`` says in plain words where its run goes."""

    run: Run
    origin: str


@dataclass(frozen=True)
class Network:
    """The path as a tree of ``n`` boxes in path order (a parent stands before its children), with closures beside it.

    ``parent[i]`` is the index of the box that feeds box ``i``, -1 for the controller. ``runs[i]`` feeds
    ``boxes[i]``. ``arm[i]`` counts from 1: each run that leaves the controller starts an arm. ``devices[i]`` are those
    in box ``i``.
    """

    boxes: tuple[str, ...]
    parent: tuple[int, ...]
    children: tuple[tuple[int, ...], ...]
    roots: tuple[int, ...]
    arm: tuple[int, ...]
    runs: tuple[Run, ...]
    closures: tuple[Run, ...]
    path_m: tuple[float, ...]
    index: dict[str, int]
    devices: tuple[tuple[PlacedDevice, ...], ...] = field(repr=False)

    @property
    def all_runs(self) -> tuple[Run, ...]:
        """Every run: the feeding runs in path order, then the closing runs."""
        return self.runs + self.closures

    @cached_property
    def tails(self) -> tuple[tuple[Tail, ...], ...]:
        """Tails of each box in path order: the run that feeds it, the runs it feeds, then closing runs."""
        tails: list[list[Tail]] = [[] for _ in self.boxes]
        for run in self.all_runs:
            for end, other, word in ((run.to_id, run.from_id, "from"), (run.from_id, run.to_id, "to")):
                if end != CONTROLLER:
                    tails[self.index[end]].append(Tail(run, f"run {word} {other}"))
        return tuple(tuple(each) for each in tails)

    def ends(self) -> tuple[int, ...]:
        """Indices of the branch ends: boxes that feed no other and lie on no closing run."""
        closed = {end for run in self.closures for end in (run.from_id, run.to_id)}
        return tuple(i for i, below in enumerate(self.children) if not below and self.boxes[i] not in closed)


def build_network(job: Job) -> Network:
    """The network of a job whose references have been checked: every ``from`` exists and there is no cycle."""
    by_id = job.path.by_id
    fed_by: dict[str, list[str]] = {}
    for box in job.path.boxes:
        fed_by.setdefault(box.from_, []).append(box.id)
    order = _path_order(fed_by)
    index = {box_id: i for i, box_id in enumerate(order)}
    parent = tuple(index.get(by_id[box_id].from_, -1) for box_id in order)
    runs = tuple(_feeding_run(job, by_id[box_id]) for box_id in order)
    arm: list[int] = []
    path_m: list[float] = []
    arms = 0
    for i, above in enumerate(parent):
        arms += above < 0
        arm.append(arms if above < 0 else arm[above])
        path_m.append(runs[i].length_m + (path_m[above] if above >= 0 else 0.0))
    return Network(
        boxes=tuple(order),
        parent=parent,
        children=tuple(tuple(index[below] for below in fed_by.get(box_id, ())) for box_id in order),
        roots=tuple(index[box_id] for box_id in fed_by.get(CONTROLLER, ())),
        arm=tuple(arm),
        runs=runs,
        closures=_closing_runs(job),
        path_m=tuple(path_m),
        index=index,
        devices=tuple(resolve.placed_devices(job, by_id[box_id]) for box_id in order),
    )


def _path_order(fed_by: dict[str, list[str]]) -> list[str]:
    """Box ids as one walks the path: along each branch to its end before the next is begun."""
    order: list[str] = []
    waiting = list(reversed(fed_by.get(CONTROLLER, ())))
    while waiting:
        box_id = waiting.pop()
        order.append(box_id)
        waiting.extend(reversed(fed_by.get(box_id, ())))
    return order


def _feeding_run(job: Job, box: Box) -> Run:
    return Run(
        id=box.id,
        from_id=box.from_,
        to_id=box.id,
        length_m=resolve.run_length_m(job, box),
        cable=resolve.cable(job, box),
        surface=box.surface,
        cover_m=resolve.cover_m(job, box),
        existing=box.existing or job.cables[resolve.cable(job, box)].existing,
        duct=box.duct,
        crossing=box.crossing,
        stated=box.run,
        cover_stated=resolve.cover(job, box),
    )


def _closing_runs(job: Job) -> tuple[Run, ...]:
    return tuple(
        Run(
            id=f"{closure.from_}-{closure.to}",
            from_id=closure.from_,
            to_id=closure.to,
            length_m=closure.run.si,
            cable=resolve.cable(job, closure),
            surface=closure.surface,
            cover_m=resolve.cover_m(job, closure),
            closure=True,
            existing=job.cables[resolve.cable(job, closure)].existing,
            duct=closure.duct,
            stated=closure.run,
            cover_stated=resolve.cover(job, closure),
        )
        for closure in job.path.ring_closures
    )


def boxes_with_new_tails(network: Network) -> frozenset[str]:
    """The boxes that a new run starts or ends in."""
    ends = (end for run in network.all_runs if not run.existing for end in (run.from_id, run.to_id))
    return frozenset(end for end in ends if end != CONTROLLER)


def joined_boxes(job: Job, network: Network) -> frozenset[str]:
    """The boxes where new meets old: an existing run's tail is there, and something new is spliced to it."""
    old = {end for run in network.all_runs if run.existing for end in (run.from_id, run.to_id) if end != CONTROLLER}
    new, by_id = boxes_with_new_tails(network), job.path.by_id
    return frozenset(box for box in old if box in new or not by_id[box].existing)


def spliced_boxes(job: Job, network: Network) -> frozenset[str]:
    """The boxes whose path splices are made by this job: every new box, and existing ones that a new tail enters."""
    new = boxes_with_new_tails(network)
    return frozenset(box.id for box in job.path.boxes if not box.existing or box.id in new)


class JobPlaces:
    """Finds the key path of a box or run of one job; made once for a set of findings."""

    def __init__(self, job: Job) -> None:
        self._path = job.path
        self._boxes = job.path.place_of
        self._closures = {(each.from_, each.to): n for n, each in enumerate(job.path.ring_closures)}

    def box(self, box_id: str, key: str = "") -> At:
        """Key path of a box, or of one key of it."""
        return ("path", "boxes", self._boxes[box_id], *_part(key))

    def run(self, run: Run, key: str = "") -> At:
        """Key path of the box or ring closure that states a run, or of one key of it."""
        if run.closure:
            return ("path", "ring_closures", self._closures[run.from_id, run.to_id], *_part(key))
        return self.box(run.to_id, key)

    def run_of(self, run_id: str) -> At:
        """Key path of the box or ring closure that states the run with this id."""
        closing = next((n for ends, n in self._closures.items() if "-".join(ends) == run_id), None)
        return self.box(run_id) if closing is None else ("path", "ring_closures", closing)

    def part(self, run: Run) -> Box | RingClosure:
        """The box or ring closure that states a run."""
        if run.closure:
            return self._path.ring_closures[self._closures[run.from_id, run.to_id]]
        return self._path.by_id[run.to_id]


def boxes_in_order(job: Job, boxes: Sequence[str]) -> tuple[Box, ...]:
    """The job's boxes in the order of these ids."""
    by_id = job.path.by_id
    return tuple([by_id[box_id] for box_id in boxes])


def _part(key: str) -> tuple[str, ...]:
    return (key,) if key else ()
