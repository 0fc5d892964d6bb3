"""Cable ends in boxes: one for each run that starts or ends there."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.site.models import Job
from slackloop.site.network import CONTROLLER, Network, Run


@dataclass(frozen=True)
class Tail:
    """One cable end in a box; ``origin`` says in plain words where its run goes."""

    run: Run
    origin: str


def box_tails(network: Network) -> tuple[tuple[Tail, ...], ...]:
    """Tails of each box in path order: the run that feeds it, the runs it feeds, then closing runs."""
    tails: list[list[Tail]] = [[] for _ in network.boxes]
    for run in network.all_runs:
        for end, other, word in ((run.to_id, run.from_id, "from"), (run.from_id, run.to_id, "to")):
            if end != CONTROLLER:
                tails[network.index[end]].append(Tail(run, f"run {word} {other}"))
    return tuple(tuple(each) for each in tails)


def tail_length_m(job: Job, tails: int) -> float:
    """Slack on each tail of a box with this many tails, metres (``rules.slack``); 0 where there is none."""
    if tails == 0:
        return 0.0
    length_m = job.rules.slack.length.si
    return length_m if job.rules.slack.per == "tail" else length_m / tails
