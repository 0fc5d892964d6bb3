"""Reels: which reel each length of cable is pulled from, so that no joint falls outside a box."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.cable.packing import Packing, packing
from slackloop.site.effective_values import long_leads
from slackloop.site.models import Job
from slackloop.site.network import JobPlaces, Network, boxes_in_order
from slackloop.source.finding import At, Finding
from slackloop.units.figure import run_length, stated

NANO = 1_000_000_000
"""Nanometres in a metre: lengths are packed as whole numbers, so that a plan is the same on every machine."""


@dataclass(frozen=True)
class Piece:
    """One unbroken length: a run with the slack of its ends, or a lead. ``length_m`` is before waste."""

    id: str
    cable: str
    length_m: float
    boxes: tuple[str, ...]
    run_id: str = ""
    """The run, where the piece is one; empty for a lead."""


@dataclass(frozen=True)
class Reel:
    """One reel: its pieces in pulling order, what they take with waste, and what is left, metres."""

    pieces: tuple[Piece, ...]
    used_m: float
    left_m: float


@dataclass(frozen=True)
class ReelPlan:
    """Reels of one cable, metres; ``pieces`` are all its lengths in pulling order.

    ``fewest_reels`` is a lower bound from ``bound_source``; ``open_at_once`` is the most reels that are begun and
    not finished at any time, ``way`` how the plan was found; ``too_long`` are pieces that no reel holds. ``reel_m``
    is None where the job gives no reel length: then ``reels`` is empty.
    """

    cable: str
    reel_m: float | None
    waste: float
    quantity_m: float
    order_m: float
    pieces: tuple[Piece, ...]
    reels: tuple[Reel, ...] = ()
    fewest_reels: int = 0
    bound_source: str = ""
    open_at_once: int = 0
    way: str = ""
    too_long: tuple[Piece, ...] = ()

    @property
    def reel_count(self) -> int:
        """Reels to order: those packed, and the joined reels that each over-long piece would take."""
        return len(self.reels) + sum(self.reels_of(piece) for piece in self.too_long)

    def reels_of(self, piece: Piece) -> int:
        """The joined reels that a length takes which no reel holds."""
        return math.ceil(piece.length_m * (1.0 + self.waste) / (self.reel_m or 1.0))

    @property
    def left_m(self) -> float:
        """What is left on all reels together, metres."""
        return math.fsum(reel.left_m for reel in self.reels)

    def most_m(self, piece: Piece) -> float:
        """The most that a length may take off its reel, metres: with its waste, and never more than a reel holds."""
        return min(piece.length_m * (1.0 + self.waste), math.inf if self.reel_m is None else self.reel_m)

    def reel_numbers(self) -> dict[str, int]:
        """The reel, from 1, that each run is pulled from, by run id."""
        return {
            piece.run_id: number
            for number, reel in enumerate(self.reels, start=1)
            for piece in reel.pieces
            if piece.run_id
        }


def pieces(job: Job, network: Network, lengths: CircuitLengths) -> tuple[Piece, ...]:
    """Every unbroken length of the job in pulling order: runs with slack, then leads that are a cable of their own.

    What was there before is not pulled.
    """
    runs = [
        Piece(f"run {run.id}", run.cable, lengths[run.id].circuit_m,
              tuple(end for end in (run.from_id, run.to_id) if end in network.index), run.id)
        for run in network.all_runs
        if not run.existing
    ]  # fmt: skip
    leads: list[Piece] = []
    for box, devices in zip(boxes_in_order(job, network.boxes), network.devices, strict=True):
        for station in () if box.existing else long_leads(devices):
            if station.lead_cable is not None:
                title = f"lead to station {station.number}"
                leads.append(Piece(title, station.lead_cable, station.lead_m, (box.id,)))
    return (*runs, *leads)


def pack(lengths_m: Sequence[float], reel_m: float) -> Packing:
    """Share out lengths (metres, in pulling order, each at most ``reel_m``) over reels; see ``packing.packing``."""
    return packing(tuple(round(each * NANO) for each in lengths_m), round(reel_m * NANO))


def reel_plans(job: Job, network: Network, lengths: CircuitLengths) -> tuple[ReelPlan, ...]:
    """A plan for each cable that is used, in the job's order of cables."""
    every = pieces(job, network, lengths)
    plans: list[ReelPlan] = []
    for name, cable in job.cables.items():
        mine = tuple(piece for piece in every if piece.cable == name)
        if mine:
            plans.append(_plan(name, cable.reel.si if cable.reel is not None else None, mine, job.rules.waste.si))
    return tuple(plans)


def _plan(cable: str, reel_m: float | None, mine: tuple[Piece, ...], waste: float) -> ReelPlan:
    """The plan of one cable for its pieces in pulling order."""
    quantity_m = math.fsum(piece.length_m for piece in mine)
    order_m = quantity_m * (1.0 + waste)
    if reel_m is None:
        return ReelPlan(cable, None, waste, quantity_m, order_m, mine)
    fitting, too_long = list[Piece](), list[Piece]()
    for piece in mine:
        fits = round(piece.length_m * NANO) <= round(reel_m * NANO)
        (fitting if fits else too_long).append(piece)
    lengths = [min(piece.length_m * (1.0 + waste), reel_m) for piece in fitting]
    packed = pack(lengths, reel_m)
    used = [math.fsum(lengths[i] for i in each) for each in packed.reels]
    return ReelPlan(
        cable=cable,
        reel_m=reel_m,
        waste=waste,
        quantity_m=quantity_m,
        order_m=order_m,
        pieces=mine,
        reels=tuple(
            Reel(tuple(fitting[i] for i in each), m, max(reel_m - m, 0.0))
            for each, m in zip(packed.reels, used, strict=True)
        ),
        fewest_reels=packed.bound.reels,
        bound_source=packed.bound.source,
        open_at_once=packed.open_at_once,
        way=packed.way,
        too_long=tuple(too_long),
    )


def reel_findings(job: Job, plans: Sequence[ReelPlan]) -> tuple[Finding, ...]:
    """Pieces longer than a reel: they would need a joint outside a box; and those that leave no room for waste."""
    places = JobPlaces(job)
    findings: list[Finding] = []
    for plan in plans:
        reel = job.cables[plan.cable].reel
        holds = "" if reel is None else stated(reel, "lowest").brief(job.job.units)
        for piece in plan.too_long:
            findings.append(
                Finding(level="error", code="run-longer-than-reel",
                        message=f"{_takes(piece, plan, job)}, and a reel holds {holds}: the joint would fall outside "
                        "a box.", at=_place(piece, places), box=piece.boxes[-1],
                        expected="a run that one reel covers",
                        hint="Ask for a longer reel, or add a box on this run.")
            )  # fmt: skip
        reel_m = plan.reel_m or math.inf
        for piece in plan.pieces:
            if piece.length_m <= reel_m < piece.length_m * (1.0 + plan.waste):
                findings.append(
                    Finding(level="warning", code="run-without-waste",
                            message=f"{_takes(piece, plan, job)}: a whole reel of {holds}, and less than "
                            f"{job.rules.waste.text} to waste.", at=_place(piece, places), box=piece.boxes[-1],
                            hint="Measure the run again before the reel is cut, or ask for a longer reel.")
                )  # fmt: skip
    return tuple(findings)


def _place(piece: Piece, places: JobPlaces) -> At:
    """What states a piece: the entry of its run, also of one that closes a ring, or the box of a lead."""
    return places.run_of(piece.run_id) if piece.run_id else places.box(piece.boxes[-1])


def _takes(piece: Piece, plan: ReelPlan, job: Job) -> str:
    """What one length takes off a reel, in words."""
    taken = run_length(piece.length_m, "cut").brief(job.job.units)
    return f"{piece.id[0].upper()}{piece.id[1:]} takes {taken} of {plan.cable} with slack"
