"""A closed ring with one run broken: which run, which box is then lowest, and does the job still pass."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.circuit.power_loads import NoSolution, worst_volts
from slackloop.compute.circuit.shared_ohms import Link
from slackloop.compute.circuit.volts import Feeder, Flags, Floats, Ints, Loads


@dataclass(frozen=True)
class Break:
    """One broken run and what it does.

    ``run`` is the index of the box whose feeding run is broken, or ``n + i`` for closing run ``i``.
    ``lowest_box`` is the index of the box with the lowest volts, ``lowest_volts`` those volts; both are None where
    the broken path has no solution. ``short_boxes`` are the boxes whose device is then out of range.
    """

    run: int
    lowest_box: int | None
    lowest_volts: float | None
    short_boxes: tuple[int, ...]

    @property
    def holds(self) -> bool:
        """Whether every device stays in range with this run broken."""
        return self.lowest_volts is not None and not self.short_boxes


def ring_runs(parent: tuple[int, ...], links: tuple[Link, ...]) -> tuple[int, ...]:
    """Runs that lie on some ring: feeding runs by the index of their box, closing run ``i`` as ``n + i``, rising."""
    on_ring: set[int] = set()
    for i, link in enumerate(links):
        on_ring.add(len(parent) + i)
        on_ring |= set(_way_up(parent, link.one)) ^ set(_way_up(parent, link.other))
    return tuple(sorted(on_ring))


def _way_up(parent: tuple[int, ...], box: int) -> list[int]:
    way = []
    while box >= 0:
        way.append(box)
        box = parent[box]
    return way


def broken_feeder(feeder: Feeder, run: int) -> tuple[Feeder, Ints]:
    """The feeder without one ring run, and the old index of each of its boxes in the new path order."""
    count = len(feeder.parent)
    ends: list[tuple[int, int, float]] = [
        (above, box, ohms)
        for box, (above, ohms) in enumerate(zip(feeder.parent, feeder.run_ohms.tolist(), strict=True))
        if box != run
    ]
    ends += [(link.one, link.other, link.ohms) for i, link in enumerate(feeder.links) if count + i != run]
    meets: dict[int, list[int]] = {}
    for number, (one, other, _) in enumerate(ends):
        meets.setdefault(one, []).append(number)
        meets.setdefault(other, []).append(number)
    new_of: dict[int, int] = {-1: -1}
    parent: list[int] = []
    run_ohms: list[float] = []
    order: list[int] = []
    used: set[int] = set()
    waiting = [-1]
    while waiting:
        here = waiting.pop()
        for number in meets.get(here, ()):
            one, other, ohms = ends[number]
            there = other if here == one else one
            if there in new_of:
                continue
            new_of[there] = len(order)
            order.append(there)
            parent.append(new_of[here])
            run_ohms.append(ohms)
            used.add(number)
            waiting.append(there)
    links = tuple(
        Link(new_of[one], new_of[other], ohms) for number, (one, other, ohms) in enumerate(ends) if number not in used
    )
    broken = replace(feeder, parent=tuple(parent), run_ohms=np.array(run_ohms), links=links)
    return broken, np.array(order, dtype=np.int64)


def break_table(feeder: Feeder, loads: Loads, at_once: int, least_volts: Floats) -> tuple[Break, ...]:
    """Each single broken ring run in turn, worst first.

    ``least_volts`` of shape ``(n,)`` holds what each box's device needs, volts, 0 where a box has none.
    """
    needs: Flags = least_volts > 0
    breaks = []
    for run in ring_runs(feeder.parent, feeder.links):
        broken, order = broken_feeder(feeder, run)
        moved = Loads(loads.standby[order], loads.per_output[order], loads.outputs[order], loads.constant_power[order])
        try:
            volts = np.empty(len(order))
            volts[order] = worst_volts(broken, moved, at_once)
        except NoSolution:
            breaks.append(Break(run, None, None, tuple(np.flatnonzero(needs).tolist())))
            continue
        lowest = int(np.argmin(volts))
        short = tuple(np.flatnonzero(needs & (volts < least_volts)).tolist())
        breaks.append(Break(run, lowest, float(volts[lowest]), short))
    return tuple(sorted(breaks, key=lambda each: (each.lowest_volts is not None, each.lowest_volts or 0.0)))
