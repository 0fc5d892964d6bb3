"""What was on site before the job: boxes with the runs to them, runs of an existing cable; where new meets old."""

from __future__ import annotations

from slackloop.site.models import Job
from slackloop.site.network import CONTROLLER, Network


def has_existing(job: Job, network: Network) -> bool:
    """Whether anything of the path was there before."""
    return any(run.existing for run in network.all_runs) or any(box.existing for box in job.path.boxes)


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
