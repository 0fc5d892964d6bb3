"""Circuit length of each run: the run itself and the slack of its two ends, which the meter and the current go through.

There is one figure for what is electric. Distances along the trench leave slack out; ``CircuitLength.trench_m``
leads from one to the other.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from slackloop.compute.cable.tails import tail_length_m
from slackloop.site.models import Job
from slackloop.site.network import CONTROLLER, Network


@dataclass(frozen=True)
class CircuitLength:
    """One run in metres: along the trench, and the slack of its tails where it starts and where it ends."""

    run_m: float
    slack_from_m: float
    slack_to_m: float

    @property
    def slack_m(self) -> float:
        """Slack of both tails, metres."""
        return self.slack_from_m + self.slack_to_m

    @property
    def circuit_m(self) -> float:
        """Run and slack, metres."""
        return self.run_m + self.slack_m

    def trench_m(self, circuit_m: float) -> float:
        """Metres along the trench from the start of the run to a place ``circuit_m`` along the cable.

        A place in the slack of a box is 0 or the run's length.
        """
        return min(max(circuit_m - self.slack_from_m, 0.0), self.run_m)


CircuitLengths = Mapping[str, CircuitLength]
"""Of every run of a job by run id, closing runs last: worked out once (``circuit_lengths``) and handed on."""


def circuit_lengths(job: Job, network: Network) -> dict[str, CircuitLength]:
    """Circuit length of every run; there is no slack at the controller."""
    tails = Counter(end for run in network.all_runs for end in (run.from_id, run.to_id))
    share_m = {box_id: tail_length_m(job, tails[box_id]) for box_id in network.boxes}
    share_m[CONTROLLER] = 0.0
    return {run.id: CircuitLength(run.length_m, share_m[run.from_id], share_m[run.to_id]) for run in network.all_runs}


def cable_to_boxes_m(network: Network, lengths: CircuitLengths) -> tuple[float, ...]:
    """Circuit length from the controller to each box along the runs that feed it, metres, in path order."""
    to_box: list[float] = []
    for run, above in zip(network.runs, network.parent, strict=True):
        to_box.append(lengths[run.id].circuit_m + (to_box[above] if above >= 0 else 0.0))
    return tuple(to_box)
