"""One line of the order, how spares and packs are rounded, and the lines that the job states itself.

The order by phase: what each phase takes, and what must be ordered more so that it is there when the phase begins.

A phase orders what all phases up to it need, rounded up to whole packs, pieces and reels, less what was ordered before;
so the phases add up to the whole order, and what a pack has left over goes on into the next phase.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from slackloop.compute.cable.reels import ReelPlan
from slackloop.compute.day_plan import phase_ranks
from slackloop.compute.ground.trench import TrenchAnswer
from slackloop.site.models import Job, OwnMaterial, Per
from slackloop.site.network import CONTROLLER, Network
from slackloop.units.amount import EACH
from slackloop.units.unit_table import UNITS

_WITHIN = 1e-9
SI_NAMES = {"length": "m", "volume": "m3"}
STEP = 0.1
"""A length or volume is ordered in whole tenths of its unit."""
PER_WORDS: dict[Per, str] = {
    "box": "new box", "device": "new device", "electrode": "new electrode", "crossing": "crossing in a sleeve",
    "run": "new run", "cable end": "end of a new cable, the controller's among them", "reel": "reel",
    "metre": "metre of trench", "job": "job",
}  # fmt: skip


@dataclass(frozen=True)
class OrderLine:
    """One line to order: ``quantity`` in ``unit`` before waste and spares, ``order`` in ``order_unit`` after.

    ``basis`` says in one line where the quantity comes from; ``boxes`` are the boxes that need it, in path order.
    ``extra`` is the part added for waste, spares or loosening; with it the quantity is rounded up to whole
    ``step`` of its unit, and one of ``order_unit`` holds ``holds`` of that. Reels follow their own plan. ``part`` is
    the job's own order number, empty where it gives none. ``needs`` shares the quantity out over boxes and runs that
    close a ring, by id; what stands at the controller or is for the whole job is under a name that is no box.
    """

    item: str
    kind: str
    quantity: float
    unit: str
    order: float
    order_unit: str
    basis: str
    boxes: tuple[str, ...]
    extra: float = 0.0
    holds: float = 1.0
    step: float = 1.0
    part: str = ""
    needs: tuple[tuple[str, float], ...] = ()

    @property
    def si_unit(self) -> str:
        """The SI unit of the quantity, ``m`` or ``m3``; the unit itself for what is counted."""
        return _si(1.0, self.unit)[1]

    @property
    def si_quantity(self) -> float:
        """The quantity in ``si_unit``."""
        return _si(self.quantity, self.unit)[0]

    @property
    def si_order(self) -> tuple[float, str]:
        """The order in SI units, with its unit; packs, reels and pieces as they are."""
        return _si(self.order, self.order_unit)


def _si(amount: float, unit: str) -> tuple[float, str]:
    """An amount in a unit of length or volume in SI units; anything else as it is."""
    known = UNITS.get(unit)
    return (amount, unit) if known is None else (amount * float(known.factor), SI_NAMES[known.dimension])


def with_spare(count: float, spare: float) -> int:
    """Whole pieces to order for ``count`` pieces with a spare fraction on top, rounded up."""
    return math.ceil(count * (1.0 + spare) - _WITHIN)


def packs(count: float, spare: float, pack: int) -> int:
    """Whole packs of ``pack`` pieces for ``count`` pieces with a spare fraction on top."""
    return math.ceil(with_spare(count, spare) / pack)


def own_materials(
    job: Job, network: Network, electrodes: Sequence[str], plans: Sequence[ReelPlan], trench: TrenchAnswer
) -> list[OrderLine]:
    """A line for each material that the job states; ``electrodes`` are the new ones, by box or ``controller``."""
    if not job.materials:
        return []
    where = _places(job, network, electrodes)
    new = [run for run in network.all_runs if not run.existing]
    by_run: dict[Per, tuple[tuple[str, float], ...]] = {
        "metre": tuple((each.run_id, each.dug_m) for each in trench.runs),
        "cable end": tuple((run.id, 2.0) for run in new),
        "run": tuple((run.id, 1.0) for run in new),
        "crossing": tuple((run.id, 1.0) for run in new if run.crossing is not None),
    }
    lines = []
    for line in job.materials:
        times, places = _times(line.per, where, plans, trench), where.get(line.per, ())
        at_boxes = tuple((place, 1.0) for place in places) or ((CONTROLLER, times),)
        shares = by_run.get(line.per, at_boxes)
        needs = tuple((place, line.quantity.number * share) for place, share in shares)
        lines.append(replace(_line(job, line, times, places), needs=needs))
    return lines


def _places(job: Job, network: Network, electrodes: Sequence[str]) -> dict[Per, tuple[str, ...]]:
    """Where each kind of thing stands, a place for each: a box, or the controller."""
    new = [run for run in network.all_runs if not run.existing]
    boxes = list(zip([job.path.by_id[box] for box in network.boxes], network.devices, strict=True))
    return {
        "box": tuple(box.id for box, _ in boxes if not box.existing),
        "device": tuple(box.id for box, devices in boxes if not box.existing for _ in devices),
        "electrode": tuple(electrodes),
        "crossing": tuple(run.to_id for run in new if run.crossing is not None),
        "run": tuple(run.to_id for run in new),
        "cable end": tuple(end for run in new for end in (run.from_id, run.to_id)),
    }


def _times(per: Per, where: dict[Per, tuple[str, ...]], plans: Sequence[ReelPlan], trench: TrenchAnswer) -> float:
    """How often a material is needed."""
    if per == "reel":
        return sum(plan.reel_count for plan in plans)
    if per == "metre":
        return trench.length_m
    return 1.0 if per == "job" else len(where[per])


def _line(job: Job, line: OwnMaterial, times: float, places: Sequence[str]) -> OrderLine:
    """The quantity in the unit that the job wrote; with spares but for what the whole job needs once."""
    quantity, unit, pack = line.quantity.number * times, line.quantity.unit, line.pack
    spare = 0.0 if line.per == "job" else job.rules.spare.si
    step = 1.0 if unit == EACH or pack is not None else STEP
    order: float = with_spare(quantity, spare) if step == 1.0 else _up(quantity * (1.0 + spare))
    order = packs(quantity, spare, pack) if pack is not None else order
    counted = f"{line.quantity.text} for each {PER_WORDS[line.per]}" if line.per != "job" else "for the whole job"
    basis = f"{counted}; {job.rules.spare.text} spare" if spare else f"{counted}; no spare added"
    boxes = tuple(dict.fromkeys(place for place in places if place != CONTROLLER))
    return OrderLine(
        line.title, "other", quantity, unit, order, "pack" if pack is not None else unit, basis, boxes, spare,
        float(pack or 1), step, line.part,
    )  # fmt: skip


def _up(amount: float) -> float:
    return math.ceil(amount / STEP - _WITHIN) * STEP


_WITHIN_PHASE = 1e-9


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
        return math.ceil(math.ceil(wanted - _WITHIN_PHASE) / line.holds)
    return math.ceil(wanted / line.step - _WITHIN_PHASE) * line.step


def _by_reel(plan: ReelPlan, ranks: dict[str, int], phases: int) -> list[float]:
    """A reel is there for the first phase that pulls from it, and so are the reels of a length that no reel holds."""
    orders = [0.0] * phases
    for reel in plan.reels:
        orders[min(ranks.get(piece.run_id or piece.boxes[-1], 0) for piece in reel.pieces)] += 1
    for piece in plan.too_long:
        orders[ranks.get(piece.run_id or piece.boxes[-1], 0)] += plan.reels_of(piece)
    return orders
