"""A closed ring with one run broken: which run, which box is then lowest, and does the job still pass."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.circuit.power_loads import NoSolution, worst_volts
from slackloop.compute.circuit.volts import (
    LEAST_OHMS,
    MOST_BOXES_KEPT,
    Feeder,
    Flags,
    Floats,
    Ints,
    Link,
    Loads,
    standby_drop,
)

MOST_WORK = 500_000_000
"""Most pairs of a box and an output that are looked at for broken runs: some seconds."""
TREE_STEP, SOLVE_STEP, POWER_STEPS = 1_000, 100, 15
"""What else is worth how many pairs: a box of a tree, a row of a long path, and how often constant power is tried."""
LEAST_LEFT = 1e-4
"""Least share of a run's ohms by which the rest of its ring must differ, for a change of rows to keep ten digits."""


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


def runs_tried(feeder: Feeder, loads: Loads, at_once: int) -> tuple[int, ...]:
    """The ring runs that ``break_table`` tries: all of them, or where that is too much work those that carry most.

    Current is that of the whole ring with every output running.
    """
    runs = ring_runs(feeder.parent, feeder.links)
    count, outputs = len(feeder.parent), int(np.minimum(loads.outputs, at_once).sum())
    one = count * TREE_STEP if len(feeder.links) == 1 else count * (outputs + 2 * count)
    if count > MOST_BOXES_KEPT:
        one += count * count * SOLVE_STEP
    if loads.constant_power.any():
        one *= POWER_STEPS
    most = MOST_WORK // max(one, 1)
    if len(runs) <= most:
        return runs
    lost = np.append(standby_drop(feeder, loads.standby + loads.per_output * loads.outputs), 0.0)
    amps = {}
    for run in runs:
        one_end, other_end, ohms = _ends_of(feeder, run)
        amps[run] = abs(float(lost[one_end] - lost[other_end])) / max(ohms, LEAST_OHMS)
    return tuple(sorted(sorted(runs, key=lambda run: (-amps[run], run))[:most]))


def _ends_of(feeder: Feeder, run: int) -> tuple[int, int, float]:
    """The two boxes of a run, -1 for the controller, and its ohms."""
    count = len(feeder.parent)
    if run < count:
        return run, feeder.parent[run], float(feeder.run_ohms[run])
    link = feeder.links[run - count]
    return link.one, link.other, link.ohms


def _without(feeder: Feeder, run: int) -> Feeder | None:
    """The feeder with other shared resistances, as they are without one run; None where rounding would spoil them.

    Taking a run of r ohms away from the nodal matrix changes its inverse by one product (Sherman and Morrison 1950):
    Z' = Z + c c' / (r - x), with c the difference of the columns of the run's ends, and x that of c at them.
    """
    rows = np.concatenate([block for _, block in feeder.shared_rows()])
    one, other, ohms = _ends_of(feeder, run)

    def at(box: int) -> Floats:
        return rows[:, box] if box >= 0 else np.full(len(rows), feeder.source_ohms)

    change = at(one) - at(other)
    between = (change[one] if one >= 0 else 0.0) - (change[other] if other >= 0 else 0.0)
    if not ohms - between > LEAST_LEFT * ohms:
        return None
    return replace(feeder, known_rows=rows + np.outer(change, change / (ohms - between)))


def break_table(
    feeder: Feeder, loads: Loads, at_once: int, least_volts: Floats, runs: tuple[int, ...]
) -> tuple[Break, ...]:
    """Each single broken run of ``runs`` in turn, worst first.

    ``least_volts`` of shape ``(n,)`` holds what each box's device needs, volts, 0 where a box has none.
    """
    needs: Flags = least_volts > 0
    breaks = []
    for run in runs:
        changed = _without(feeder, run) if len(feeder.links) > 1 and len(needs) <= MOST_BOXES_KEPT else None
        broken, order = (changed, np.arange(len(needs))) if changed is not None else broken_feeder(feeder, run)
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
