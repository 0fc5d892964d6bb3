"""The order by phase: what each phase takes, and what must be ordered more so that it is there when the phase begins.

A phase orders what all phases up to it need, rounded up to whole packs, pieces and reels, less what was ordered before;
so the phases add up to the whole order, and what a pack has left over goes on into the next phase.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.compute.cable.order_lines import OrderLine
from slackloop.compute.cable.reels import ReelPlan
from slackloop.compute.day_plan import phase_ranks
from slackloop.site.models import Job
from slackloop.site.network import Network

_WITHIN = 1e-9


@dataclass(frozen=True)
class PhasedOrder:
    """What one phase takes of a material, and what is ordered for it, in the units of the line."""

    phase: str
    line: OrderLine
    quantity: float
    order: float


def phased_orders(
    job: Job, network: Network, lines: Sequence[OrderLine], plans: Sequence[ReelPlan]
) -> tuple[PhasedOrder, ...]:
    """Each material of each phase, phase by phase; nothing where the job names no phase.

    A run that closes a ring belongs to the later of its two ends; what no box needs, to the first phase.
    """
    titles, rank_of = phase_ranks(job, network)
    if not any(titles):
        return ()
    ranks = dict(zip(network.boxes, rank_of, strict=True))
    for run in network.closures:
        ranks[run.id] = max(ranks.get(run.from_id, 0), ranks.get(run.to_id, 0))
    reels = {plan.cable: plan for plan in plans if plan.reel_m is not None}
    found: list[tuple[int, PhasedOrder]] = []
    for line in lines:
        need = [0.0] * len(titles)
        for place, quantity in line.needs:
            need[ranks.get(place, 0)] += quantity
        plan = reels.get(line.item) if line.kind == "cable" else None
        orders = _by_reel(plan, ranks, len(titles)) if plan is not None else _by_quantity(line, need)
        found += [
            (rank, PhasedOrder(titles[rank], line, need[rank], orders[rank]))
            for rank in range(len(titles)) if need[rank] > 0.0 or orders[rank] > 0.0
        ]  # fmt: skip
    return tuple(each for _, each in sorted(found, key=lambda each: each[0]))


def _by_quantity(line: OrderLine, need: Sequence[float]) -> list[float]:
    """Whole packs or steps for what is needed up to each phase, less those of the phases before."""
    orders, before, total = list[float](), 0.0, 0.0
    for quantity in need:
        total += quantity
        now = _order(line, total)
        orders.append(round(now - before, 9))
        before = now
    return orders


def _order(line: OrderLine, quantity: float) -> float:
    """What is ordered of a line for a quantity."""
    wanted = quantity * (1.0 + line.extra)
    if line.holds != 1.0 or line.order_unit == "pack":
        return math.ceil(math.ceil(wanted - _WITHIN) / line.holds)
    return math.ceil(wanted / line.step - _WITHIN) * line.step


def _by_reel(plan: ReelPlan, ranks: dict[str, int], phases: int) -> list[float]:
    """A reel is there for the first phase that pulls from it, and so are the reels of a length that no reel holds."""
    orders = [0.0] * phases
    for reel in plan.reels:
        orders[min(ranks.get(piece.run_id or piece.boxes[-1], 0) for piece in reel.pieces)] += 1
    for piece in plan.too_long:
        orders[ranks.get(piece.run_id or piece.boxes[-1], 0)] += plan.reels_of(piece)
    return orders
