"""Reels: which reel each length of cable is pulled from, so that no joint falls outside a box."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.compute.places import JobPlaces
from slackloop.compute.slack import run_slack_m
from slackloop.compute.splices import LONG_LEAD_M
from slackloop.job import resolve
from slackloop.job.finding import Finding
from slackloop.job.models import Job
from slackloop.path.network import Network

_WITHIN_M = 1e-9


@dataclass(frozen=True)
class Piece:
    """One unbroken length: a run with the slack of its ends, or a lead. ``length_m`` is before waste."""

    id: str
    cable: str
    length_m: float
    boxes: tuple[str, ...]


@dataclass(frozen=True)
class Reel:
    """One reel: its pieces in pulling order, what they take with waste, and what is left, metres."""

    pieces: tuple[Piece, ...]
    used_m: float
    left_m: float


@dataclass(frozen=True)
class ReelPlan:
    """Reels of one cable, metres. ``fewest_reels`` is a lower bound; ``too_long`` are pieces that no reel holds.

    ``reel_m`` is None where the job gives no reel length: then ``reels`` is empty.
    """

    cable: str
    reel_m: float | None
    quantity_m: float
    order_m: float
    reels: tuple[Reel, ...]
    fewest_reels: int
    too_long: tuple[Piece, ...]
    pieces: tuple[Piece, ...]

    @property
    def reel_count(self) -> int:
        """Reels to order: those packed, and the joined reels that each over-long piece would take."""
        extra = sum(math.ceil(piece.length_m / (self.reel_m or 1.0)) for piece in self.too_long)
        return len(self.reels) + extra


def pieces(job: Job, network: Network) -> tuple[Piece, ...]:
    """Every unbroken length of the job in pulling order: runs with slack, then leads that are a cable of their own."""
    slack = run_slack_m(job, network)
    runs = [
        Piece(f"run {run.id}", run.cable, run.length_m + slack[run.id],
              tuple(end for end in (run.from_id, run.to_id) if end in network.index))
        for run in network.all_runs
    ]  # fmt: skip
    by_id = {box.id: box for box in job.path.boxes}
    leads: list[Piece] = []
    for box_id in network.boxes:
        box = by_id[box_id]
        lead_m, cable = resolve.lead_m(job, box), resolve.lead_cable(job, box)
        if box.device is not None and lead_m > LONG_LEAD_M and cable is not None:
            leads.extend(Piece(f"lead to station {station}", cable, lead_m, (box_id,)) for station in box.stations)
    return (*runs, *leads)


def pack(lengths_m: Sequence[float], reel_m: float) -> tuple[tuple[int, ...], ...]:
    """Put lengths on as few reels as a simple rule finds: indices of each reel, in order.

    Longest first, each on the first reel that still holds it, or on the fullest that does: whichever rule takes
    fewer reels. First fit decreasing never takes more than 11/9 of the fewest plus 6/9 of a reel (Dósa 2007).
    Every length must be at most ``reel_m``.
    """
    order = sorted(range(len(lengths_m)), key=lambda i: (-lengths_m[i], i))
    first, fullest = _first_fit(order, lengths_m, reel_m), _best_fit(order, lengths_m, reel_m)
    return fullest if len(fullest) < len(first) else first


def fewest_reels(lengths_m: Sequence[float], reel_m: float) -> int:
    """Lower bound on the reels for these lengths: the larger of their sum and a count of those that cannot share.

    For a limit k up to half a reel: lengths over reel − k stand alone, those over half need a reel each, and what
    the rest of k or more does not find room for beside them takes more (Martello and Toth's bound).
    """
    lengths = sorted(lengths_m)
    sums = [0.0, *itertools.accumulate(lengths)]
    half = bisect_right(lengths, reel_m / 2)
    most = math.ceil(sums[-1] / reel_m - _WITHIN_M)
    for n, limit in enumerate([0.0, *lengths[:half]]):
        first = max(n - 1, 0)
        alone = bisect_right(lengths, reel_m - limit)
        room = (alone - half) * reel_m - (sums[alone] - sums[half])
        more = math.ceil((sums[half] - sums[first] - room) / reel_m - _WITHIN_M)
        most = max(most, len(lengths) - half + max(more, 0))
    return most


def reel_plans(job: Job, network: Network) -> tuple[ReelPlan, ...]:
    """A plan for each cable that is used, in the job's order of cables."""
    every = pieces(job, network)
    waste = 1.0 + job.rules.waste.si
    plans: list[ReelPlan] = []
    for name, cable in job.cables.items():
        mine = [piece for piece in every if piece.cable == name]
        if not mine:
            continue
        quantity_m = math.fsum(piece.length_m for piece in mine)
        reel_m = cable.reel.si if cable.reel is not None else None
        if reel_m is None:
            plans.append(ReelPlan(name, None, quantity_m, quantity_m * waste, (), 0, (), tuple(mine)))
            continue
        long = tuple(piece for piece in mine if piece.length_m * waste > reel_m + _WITHIN_M)
        fitting = [piece for piece in mine if piece.length_m * waste <= reel_m + _WITHIN_M]
        lengths = [piece.length_m * waste for piece in fitting]
        reels = sorted(tuple(sorted(each)) for each in pack(lengths, reel_m))
        used = [math.fsum(lengths[i] for i in each) for each in reels]
        plans.append(
            ReelPlan(
                cable=name,
                reel_m=reel_m,
                quantity_m=quantity_m,
                order_m=quantity_m * waste,
                reels=tuple(
                    Reel(tuple(fitting[i] for i in each), m, reel_m - m) for each, m in zip(reels, used, strict=True)
                ),
                fewest_reels=fewest_reels(lengths, reel_m),
                too_long=long,
                pieces=tuple(mine),
            )
        )
    return tuple(plans)


def reel_findings(job: Job, plans: Sequence[ReelPlan]) -> tuple[Finding, ...]:
    """Pieces longer than a reel: they would need a joint outside a box."""
    places = JobPlaces(job)
    findings: list[Finding] = []
    for plan in plans:
        for piece in plan.too_long:
            length_m = piece.length_m * (1.0 + job.rules.waste.si)
            findings.append(
                Finding(
                    level="error",
                    code="run-longer-than-reel",
                    message=f"{piece.id[0].upper()}{piece.id[1:]} takes {length_m:.1f} m of {plan.cable} with slack "
                    f"and waste, and a reel holds {plan.reel_m or 0.0:g} m: the joint would fall outside a box.",
                    at=places.box(piece.boxes[-1]),
                    box=piece.boxes[-1],
                    expected="a run that one reel covers",
                    hint="Ask for a longer reel, or add a box on this run.",
                )
            )
    return tuple(findings)


def _first_fit(order: Sequence[int], lengths_m: Sequence[float], reel_m: float) -> tuple[tuple[int, ...], ...]:
    """Each length, longest first, on the first reel with room.

    ``most`` is a tree whose leaves are the room on each reel and whose nodes hold the larger of the two below,
    so that the first reel with room is found in a few steps however many reels there are.
    """
    size = 1 << max(len(order) - 1, 0).bit_length()
    most = [reel_m] * (2 * size)
    reels: list[list[int]] = []
    for i in order:
        node = 1
        while node < size:
            node *= 2
            if most[node] + _WITHIN_M < lengths_m[i]:
                node += 1
        if node - size == len(reels):
            reels.append([])
        reels[node - size].append(i)
        most[node] -= lengths_m[i]
        while node > 1:
            node //= 2
            most[node] = max(most[2 * node], most[2 * node + 1])
    return tuple(tuple(each) for each in reels)


def _best_fit(order: Sequence[int], lengths_m: Sequence[float], reel_m: float) -> tuple[tuple[int, ...], ...]:
    """Each length, longest first, on the fullest reel with room."""
    reels: list[list[int]] = []
    room: list[tuple[float, int]] = []
    for i in order:
        at = bisect_left(room, (lengths_m[i] - _WITHIN_M, -1))
        left, n = room.pop(at) if at < len(room) else (reel_m, len(reels))
        if n == len(reels):
            reels.append([])
        reels[n].append(i)
        insort(room, (left - lengths_m[i], n))
    return tuple(tuple(each) for each in reels)
