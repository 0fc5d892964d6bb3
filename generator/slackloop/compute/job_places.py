"""Key paths into the job file, for findings that a box or run causes."""

from __future__ import annotations

from collections.abc import Sequence

from slackloop.site.models import Box, Job, RingClosure
from slackloop.site.network import Run
from slackloop.source.finding import At


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

    def part(self, run: Run) -> Box | RingClosure:
        """The box or ring closure that states a run."""
        if run.closure:
            return self._path.ring_closures[self._closures[run.from_id, run.to_id]]
        return self._path.by_id[run.to_id]


def boxes_in_order(job: Job, boxes: Sequence[str]) -> tuple[Box, ...]:
    """The job's boxes in the order of these ids."""
    by_id = job.path.by_id
    return tuple([by_id[box_id] for box_id in boxes])


def some_of(names: Sequence[str], most: int = 6) -> str:
    """Names for a message: the first few, then how many more."""
    if len(names) <= most:
        return ", ".join(names)
    return f"{', '.join(names[:most])} and {len(names) - most} more"


def _part(key: str) -> tuple[str, ...]:
    return (key,) if key else ()
