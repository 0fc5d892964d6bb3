"""Volts where devices draw constant power: a bound that is never optimistic.

For one choice S of running outputs the volts are the greatest solution of

    V = F_S(V),   F_S(V)(v) = V0 - sum_i standby_i(V_i) Z(v, i) - sum_{j in S} draw_j(V_j) Z(v, j)

where a constant-power draw is ``a Vs / V`` for a current ``a`` stated at the supply's stated volts Vs, and V0 are the
lowest volts that the supply gives. Taking the worst
choice at each box by itself gives a map F with F(V) <= F_S(V) for every S. All these maps rise with V, so by the
Knaster-Tarski theorem any W with W <= F(W) lies at or below the solution for every choice. The iteration starts
at V0 and falls; at its end W is lowered by a hair and W <= F(W) is checked, which proves the bound.

How many stations may run at once before a device falls out of range or the supply is asked for too much.

Tightens the constant-power bound on small paths by branching on which outputs run.

The bound of ``power_loads`` lets every box see its own worst choice. Here the choices are split: either at least
so many outputs of one box run, or fewer do. Each part has its own bound, proved in the same way, and the least of
the parts' bounds holds for all. A part is left alone once its bound lies within ``CLOSE`` of volts that a real
choice gives, so the answer is within that share of the truth, or as near as the stated number of parts allows.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.circuit.volts import Feeder, Floats, Ints, Loads, constant_current_volts, most_drawn

MOST_STEPS = 2000
SETTLED_VOLTS = 1e-8
HAIRS_VOLTS = (1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2)


class NoSolution(Exception):
    """No volts can be shown to satisfy the path: voltage collapse, as far as can be told before it is built."""


def at_volts(loads: Loads, volts: Floats, stated_volts: float) -> Loads:
    """The same loads as currents, with each constant-power box at ``volts``; ``stated_volts`` are its sheet's."""
    return loads.times(np.where(loads.constant_power, stated_volts / volts, 1.0))


def worst_volts(
    feeder: Feeder, loads: Loads, at_once: int, least_volts: Floats | None = None, settled_volts: float = SETTLED_VOLTS
) -> Floats:
    """Lowest volts at each box for any choice of ``at_once`` outputs; shape ``(n,)``, volts.

    Exact where all draws are constant currents; with constant power a lower bound, proved as above.
    Raises NoSolution where the bound falls away: the path then has no operating point that can be relied on. With
    ``least_volts`` also as soon as a box is sure to end below its own: the iteration only falls. It ends when a step
    moves no volts by ``settled_volts``; a larger one is sooner done, and near collapse finds no solution sooner.
    """
    if not loads.constant_power.any():
        return constant_current_volts(feeder, loads, at_once)

    def step(volts: Floats) -> Floats:
        return constant_current_volts(feeder, at_volts(loads, volts, feeder.draws_at_volts), at_once)

    volts = np.full(len(loads.standby), feeder.supply_volts)
    for _ in range(MOST_STEPS):
        lower = step(volts)
        if lower.min() <= 0 or (least_volts is not None and (lower < least_volts).any()):
            raise NoSolution
        moved = float(np.max(np.abs(volts - lower)))
        volts = lower
        if moved < settled_volts:
            break
    for hair in HAIRS_VOLTS:
        candidate = volts - hair
        if candidate.min() > 0 and (step(candidate) >= candidate).all():
            return candidate
    raise NoSolution


def most_supply_amps(feeder: Feeder, loads: Loads, at_once: int, volts: Floats) -> float:
    """Most current from the supply, amperes, with constant-power draws taken at their lowest ``volts``.

    Exact for constant currents, never too low for constant power.
    """
    return most_drawn(at_volts(loads, volts, feeder.draws_at_volts), at_once)


def most_at_once(feeder: Feeder, loads: Loads, least_volts: Floats, limit_amps: float, always_on: int = 0) -> int:
    """The most outputs that may run together, any outputs, 0 when not even one may.

    ``always_on`` outputs run in every case: ``loads`` holds them as drawn with all outputs off, and they are counted.
    Where they alone are too many the answer is 0.

    ``least_volts`` of shape ``(n,)`` is what each box's device needs, 0 where there is none. More outputs never
    raise any volts, so the answer is found by doubling until it is passed, then by halving: no case far beyond the
    answer is worked out.
    """
    low, high = 0, loads.total_outputs
    smallest = float(np.min(loads.per_output[loads.outputs > 0], initial=np.inf))
    if np.isfinite(smallest) and smallest > 0:
        high = min(high, max(0, int((limit_amps - float(loads.standby.sum())) / smallest) + 1))
    passed = False
    while low < high:
        middle = (low + high + 1) // 2 if passed else min(max(2 * low, 1), high)
        if holds(feeder, loads, middle, least_volts, limit_amps):
            low = middle
        else:
            high, passed = middle - 1, True
    if low == 0 and always_on and not holds(feeder, loads, 0, least_volts, limit_amps):
        return 0
    return low + always_on


def holds(
    feeder: Feeder, loads: Loads, at_once: int, least_volts: Floats, limit_amps: float,
    settled_volts: float = SETTLED_VOLTS,
) -> bool:  # fmt: skip
    """Whether every device stays in range and the supply within its limit for any ``at_once`` outputs."""
    try:
        volts = worst_volts(feeder, loads, at_once, least_volts, settled_volts)
    except NoSolution:
        return False
    if (volts < least_volts).any():
        return False
    return most_supply_amps(feeder, loads, at_once, volts) <= limit_amps


CLOSE = 0.002
MOST_BOXES = 64
MOST_PARTS_A_BOX = 60


@dataclass(frozen=True)
class _Part:
    """All choices with at least ``least[i]`` and at most ``most[i]`` outputs running at box ``i``."""

    least: Ints
    most: Ints


class _Search:
    """The volts of one path for any part of the choices; each choice is solved once."""

    def __init__(self, feeder: Feeder, loads: Loads, at_once: int) -> None:
        self.feeder = feeder
        self.loads = loads
        self.at_once = min(at_once, loads.total_outputs)
        self.rows = np.concatenate([rows for _, rows in feeder.shared_rows()])
        self.solved: dict[bytes, Floats | None] = {}
        self.lowest_seen = np.full(len(loads.standby), np.inf)

    def bound(self, part: _Part) -> Floats | None:
        """Volts at or below those of every choice in the part; None where none can be shown."""
        fixed = replace(
            self.loads,
            standby=self.loads.standby + part.least * self.loads.per_output,
            outputs=part.most - part.least,
        )
        try:
            return worst_volts(self.feeder, fixed, self.at_once - int(part.least.sum()))
        except NoSolution:
            return None

    def solve(self, choice: Ints) -> Floats | None:
        """Volts with just these outputs running, or None where the path has no solution."""
        key = choice.tobytes()
        if key not in self.solved:
            volts = self.bound(_Part(choice, choice))
            self.solved[key] = volts
            if volts is not None:
                self.lowest_seen = np.minimum(self.lowest_seen, volts)
        return self.solved[key]

    def likely_choice(self, part: _Part, volts: Floats, box: int) -> Ints:
        """The choice in the part that takes most from ``box`` when each box is at ``volts``."""
        worth = at_volts(self.loads, volts, self.feeder.draws_at_volts).per_output * self.rows[box]
        choice = part.least.copy()
        left = self.at_once - int(choice.sum())
        for i in np.argsort(-worth, kind="stable"):
            take = min(left, int(part.most[i] - part.least[i]))
            choice[i] += take
            left -= take
            if left == 0:
                break
        return choice


def tightened_volts(feeder: Feeder, loads: Loads, at_once: int) -> Floats:
    """Lowest volts at each box for any choice of ``at_once`` outputs, ``(n,)``; never above the truth.

    Raises NoSolution where some choice has no solution, or where none can be shown for every choice.
    """
    if not loads.constant_power.any() or len(loads.standby) > MOST_BOXES or loads.total_outputs == 0:
        return worst_volts(feeder, loads, at_once)
    search = _Search(feeder, loads, at_once)
    whole = _Part(np.zeros_like(loads.outputs), np.minimum(loads.outputs, search.at_once))
    first = search.bound(whole)
    answer = np.empty(len(loads.standby))
    for box in range(len(answer)):
        answer[box] = _tighten_one(search, whole, first, box)
    return answer


def _tighten_one(search: _Search, whole: _Part, first: Floats | None, box: int) -> float:
    count = 0
    waiting: list[tuple[float, int, _Part, Floats | None]] = [_entry(whole, first, box, count)]
    lowest = np.inf
    while waiting:
        value, _, part, volts = heapq.heappop(waiting)
        if value >= min(search.lowest_seen[box], lowest) * (1 - CLOSE):
            return float(min(value, lowest, search.lowest_seen[box]))
        if count > MOST_PARTS_A_BOX:
            break
        at = volts if volts is not None else np.full(len(part.least), search.feeder.supply_volts)
        choice = search.likely_choice(part, at, box)
        real = search.solve(choice)
        if real is None:
            raise NoSolution
        split = _widest(search, part, choice, at, real, box)
        if split is None:
            lowest = min(lowest, float(real[box]))
            continue
        for piece in _halves(part, choice, split, search.at_once):
            count += 1
            heapq.heappush(waiting, _entry(piece, search.bound(piece), box, count))
    if not waiting:
        return float(min(lowest, search.lowest_seen[box]))
    if value == -np.inf:
        raise NoSolution
    return float(min(value, lowest))


def _entry(part: _Part, volts: Floats | None, box: int, order: int) -> tuple[float, int, _Part, Floats | None]:
    return (-np.inf if volts is None else float(volts[box]), order, part, volts)


def _widest(search: _Search, part: _Part, choice: Ints, low: Floats, real: Floats, box: int) -> int | None:
    """The box whose running outputs, still free, make most of the gap between bound and real choice."""
    free = choice > part.least
    if not free.any():
        return None
    gap = (choice - part.least) * search.loads.per_output * search.rows[box] * np.abs(1 / low - 1 / real)
    return int(np.argmax(np.where(free, gap, -1.0)))


def _halves(part: _Part, choice: Ints, split: int, at_once: int) -> list[_Part]:
    """The part with at least ``choice[split]`` outputs at that box, and the part with fewer."""
    least = part.least.copy()
    least[split] = choice[split]
    most = part.most.copy()
    most[split] = choice[split] - 1
    halves = [_Part(least, np.minimum(part.most, least + at_once - int(least.sum())))]
    if int(most.sum()) >= at_once:
        halves.append(_Part(part.least, most))
    return halves
