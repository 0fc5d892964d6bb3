"""Circuit length of each run: the run itself and the slack of its two ends, which the meter and the current go through.

There is one figure for what is electric. Distances along the trench leave slack out; ``CircuitLength.trench_m``
leads from one to the other.

Cable ends in boxes: one for each run that starts or ends there.

Slack: the spare cable in each box, and what it must be enough for.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.models import Box, BoxSize, Job
from slackloop.site.network import CONTROLLER, Network, Tail, boxes_in_order, spliced_boxes
from slackloop.source.finding import At, Finding
from slackloop.source.suggestions import FEW, listed
from slackloop.units.figure import length, stated
from slackloop.units.ladder import Rounding
from slackloop.units.quantity import Quantity


def tail_length_m(job: Job, tails: int) -> float:
    """Slack on each tail of a box with this many tails, metres (``rules.slack``); 0 where there is none."""
    if tails == 0:
        return 0.0
    length_m = job.rules.slack.length.si
    return length_m if job.rules.slack.per == "tail" else length_m / tails


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


@dataclass(frozen=True)
class BoxSlack:
    """Slack in one box, metres.

    ``contraction_m`` is the most that one of its runs can shorten from the hottest to the coldest soil.
    ``coil_turns`` is the number of turns of ``coil_diameter_m`` that the slack of the box makes; None where the
    box size or the cable's least bend is not given.
    """

    tails: int
    per_tail_m: float
    total_m: float
    contraction_m: float
    coil_diameter_m: float | None = None
    coil_turns: float | None = None


def contraction_m(length_m: float, warmest_c: float, coldest_c: float, expansion_per_c: float) -> float:
    """How much a length shortens on cooling, metres: α·L·ΔT.

    Linear expansion of copper 17×10⁻⁶ /°C; buried cable is held by the soil and moves less, so this is an upper
    bound. 100 m over 20 °C gives 0.034 m.
    """
    return expansion_per_c * length_m * (warmest_c - coldest_c)


def coil_diameter_m(size: BoxSize, least_bend_m: float) -> float | None:
    """Largest coil that lies flat in a box, metres: the shorter inside side; None where that bends too tightly."""
    side = min(size.length.si, size.width.si)
    return side if side >= 2.0 * least_bend_m else None


def box_slack(job: Job, network: Network, tables: ReferenceTables) -> tuple[BoxSlack, ...]:
    """Slack of each box, in path order."""
    return tuple(
        _slack_of(job, box, tails, tables)
        for box, tails in zip(boxes_in_order(job, network.boxes), network.tails, strict=True)
    )


def slack_findings(job: Job, network: Network, slacks: Sequence[BoxSlack]) -> tuple[Finding, ...]:
    """Slack that is too short for the contraction or the depth of its box, or too stiff for its size.

    One finding for each fault, with the worst box's figures and the names of the others.
    """
    faults: dict[str, list[tuple[float, str, str]]] = {}
    boxes, units = boxes_in_order(job, network.boxes), job.job.units

    def told(quantity: Quantity, rounding: Rounding) -> str:
        return stated(quantity, rounding).brief(units)

    def told_slack(slack: BoxSlack) -> str:
        return resolve.slack(job, slack.per_tail_m).brief(units)

    new = spliced_boxes(job, network)
    for box, slack in zip(boxes, slacks, strict=True):
        if box.id not in new:
            continue
        size, bend = box.box or job.path.box, _least_bend_m(job, box)
        if slack.tails and slack.per_tail_m <= slack.contraction_m:
            shorter = length(slack.contraction_m, "highest").brief(units)
            text = f"{told_slack(slack)} on a cable end, and its run can become shorter by {shorter}"
            faults.setdefault("slack-below-contraction", []).append((-slack.contraction_m, box.id, text))
        elif slack.tails and size is not None and slack.per_tail_m <= size.depth.si:
            text = f"{told_slack(slack)} on a cable end does not reach out of a box {told(size.depth, 'least')} deep"
            faults.setdefault("slack-short", []).append((slack.per_tail_m - size.depth.si, box.id, text))
        if size is not None and bend is not None and slack.coil_diameter_m is None:
            side = min(size.length, size.width, key=lambda each: each.si)
            across = length(2.0 * bend, "least").brief(units)
            text = f"a coil is at most {told(side, 'most')} across, and the cable's tightest bend needs {across}"
            faults.setdefault("coil-too-tight", []).append((side.si, box.id, text))
    return tuple(_fault(code, sorted(found)) for code, found in faults.items())


_MEND = {
    "slack-below-contraction": "Ask for more slack than the run can shorten by.",
    "slack-short": "Ask for more slack, so that the ends reach above ground.",
    "coil-too-tight": "Name a larger box.",
}


def _fault(code: str, each: list[tuple[float, str, str]]) -> Finding:
    _, worst, text = each[0]
    others = [box_id for _, box_id, _ in each[1:]]
    more = f" Also {listed(others, FEW)}." if others else ""
    at: At = ("path", "box") if code == "coil-too-tight" else ("rules", "slack")
    of = tuple(box_id for _, box_id, _ in each)
    return Finding("warning", code, f"{worst}: {text}.{more}", at=at, box=worst, hint=_MEND[code], of=of)


def _slack_of(job: Job, box: Box, tails: tuple[Tail, ...], tables: ReferenceTables) -> BoxSlack:
    per_tail_m = tail_length_m(job, len(tails))
    total_m = per_tail_m * len(tails)
    longest_m = max((tail.run.length_m for tail in tails), default=0.0)
    temperature = job.conditions.soil_temperature
    shortening = contraction_m(longest_m, temperature.high.si, temperature.low.si, tables.copper.expansion_per_c)
    size, bend = box.box or job.path.box, _least_bend_m(job, box)
    across = coil_diameter_m(size, bend) if size is not None and bend is not None else None
    turns = total_m / (math.pi * across) if across else None
    return BoxSlack(len(tails), per_tail_m, total_m, shortening, across, turns)


def _least_bend_m(job: Job, box: Box) -> float | None:
    bend = job.cables[resolve.cable(job, box)].least_bend
    return bend.si if bend is not None else None
