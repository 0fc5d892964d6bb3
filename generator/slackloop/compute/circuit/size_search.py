"""The cheapest size for each run of a tree that keeps every box in range, no run thicker than the one that feeds it.

With one current for each run, whatever the sizes, the volts that a run asks for at its start follow from those asked
for at its end. So each run has a list of answers, from few volts and dear to many volts and cheap, which is made from
the lists beyond it (dynamic programming over Pareto lists, any text). Two currents are worked with: the most that any
choice of running outputs sends through a run, which gives sizes that hold, and the least that the worst choice for
some box beyond it sends, which gives a bound that no sizes can be cheaper than. Where both agree the answer is proved.
Else sizes of single runs are ruled out one after the other (branch and bound), the true worst case deciding each time.
Work is bounded by counting, never by a clock.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

MOST_WORK = 2_000_000
"""Most work while sizes are ruled out, about a second: answers in lists made, and what else takes as long."""
LIST_WORK, TRIAL_WORK = 100, 5
"""What a list takes besides its answers, and what a trial of the true worst case takes, for each node."""
MOST_ANSWERS = 3_000_000
"""Most answers kept in all lists together; a longer list is cut, and the bound shows what that may cost."""
HAIR_VOLTS = 1e-9
"""What sizes that hold keep to spare, and what the bound gives away: more than rounding can be."""
SAME_COST = 1e-9
"""Costs closer than this part of them are the same."""

Holds = Callable[[Ints], Flags]
"""By the size of each node: whether each node keeps its volts in the true worst case."""


@dataclass(frozen=True)
class AnswerList:
    """Answers of one run: volts asked for, rising, with the cost, falling, and the size of the run in each."""

    volts: Floats
    cost: Floats
    size: Ints


NO_ANSWERS = AnswerList(np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.int64))


def joined(lists: Sequence[AnswerList], need: float) -> AnswerList:
    """What a box asks for with all that is fed from it: its own need, and an answer of each run for the same volts."""
    if not lists:
        return AnswerList(np.array([need]), np.zeros(1), NO_ANSWERS.size)
    if any(not len(each.volts) for each in lists):
        return NO_ANSWERS
    floor = max(need, *(float(each.volts[0]) for each in lists))
    steps = np.unique(np.concatenate([[floor], *(each.volts[each.volts > floor] for each in lists)]))
    cost = np.zeros(len(steps))
    for each in lists:
        cost += each.cost[np.searchsorted(each.volts, steps, side="right") - 1]
    return AnswerList(steps, cost, NO_ANSWERS.size)


def best_of(lists: Sequence[AnswerList]) -> AnswerList:
    """The answers of several lists that no other beats in both volts and cost."""
    if not lists:
        return NO_ANSWERS
    volts = np.concatenate([each.volts for each in lists])
    cost = np.concatenate([each.cost for each in lists])
    size = np.concatenate([each.size for each in lists])
    order = np.lexsort((cost, volts))
    volts, cost, size = volts[order], cost[order], size[order]
    better = cost < np.concatenate([[np.inf], np.minimum.accumulate(cost)[:-1]])
    return AnswerList(volts[better], cost[better], size[better])


def cut(answers: AnswerList, longest: int, least: bool) -> AnswerList:
    """A list of at most ``longest``: of answers that cost about the same one is kept, for a bound the best of both."""
    if len(answers.volts) <= longest:
        return answers
    step = (answers.cost[0] - answers.cost[-1]) / (longest // 2)
    part = ((answers.cost[0] - answers.cost) / step).astype(np.int64)
    ends = np.append(np.flatnonzero(np.diff(part)), len(part) - 1)
    starts = np.append(0, ends[:-1] + 1)
    if not least:
        starts = ends = np.unique(np.append(ends, 0))
    return AnswerList(answers.volts[starts], answers.cost[ends], answers.size[ends])


class _Search:
    """Counts the work of one search."""

    def __init__(self, holds: Holds, trial_work: int) -> None:
        self._holds, self._trial_work = holds, trial_work
        self.work = 0

    def holds(self, sizes: Ints) -> Flags:
        """The true worst case."""
        self.work += self._trial_work * len(sizes)
        return self._holds(sizes)


@dataclass(frozen=True)
class SizeProblem:
    """A tree of ``n`` nodes in path order and ``k`` sizes, thinnest first.

    ``ohms`` and ``cost`` of shape ``(n, k)`` are those of the run to a node; ``allowed`` says which sizes it may have.
    ``free`` is false for a run whose size is given: its ``ohms`` are the same in every size, and the rule that runs
    never grow thicker passes it by. ``needs`` of shape ``(n,)`` are volts. ``least_amps`` and ``most_amps`` bound the
    current of each run, ``least_start`` and ``most_start`` the volts that the wires start with, at most current and at
    least.
    """

    parent: tuple[int, ...]
    ohms: Floats
    cost: Floats
    allowed: Flags
    free: Flags
    needs: Floats
    least_amps: Floats
    most_amps: Floats
    least_start: float
    most_start: float

    def cost_of(self, sizes: Ints) -> float:
        """What some sizes cost together."""
        return float(self.cost[np.arange(len(sizes)), sizes][self.free].sum())


@dataclass(frozen=True)
class SizeAnswer:
    """The best sizes found and what they cost; no sizes can cost less than ``bound``."""

    sizes: Ints
    cost: float
    bound: float

    @property
    def is_proved(self) -> bool:
        """Whether nothing cheaper can be there."""
        return self.cost - self.bound <= SAME_COST * max(self.cost, 1.0)


def cheapest_sizes(
    problem: SizeProblem, true_holds: Holds, known: Sequence[Ints] = (), trials: int = 1
) -> SizeAnswer | None:
    """The cheapest sizes that hold, nothing where none do; ``known`` are sizes to start from.

    Thicker runs never take volts from a box, so where the thickest that are allowed do not hold, nothing does.
    ``trials`` is how much longer the true worst case takes than one with constant currents.
    """
    search = _Search(true_holds, TRIAL_WORK * trials)
    thickest = _thickest(problem)
    if thickest is None or not search.holds(thickest).all():
        return None
    safe = _solve(problem, search, least=False)
    holding = [thickest, *(sizes for sizes in (*known, *([safe[1]] if safe else [])) if search.holds(sizes).all())]
    best = _thinned(problem, search, min(holding, key=problem.cost_of))
    best_cost = problem.cost_of(best)
    first = _solve(problem, search, least=True)
    if first is None:
        return SizeAnswer(best, best_cost, best_cost)
    waiting, number, not_parted = [(first[0], 0, problem, first[1])], 0, np.inf
    while waiting:
        cost, _, part, sizes = heapq.heappop(waiting)
        if search.work >= MOST_WORK or best_cost - cost <= SAME_COST * max(best_cost, 1.0):
            return SizeAnswer(best, best_cost, min(cost, best_cost, not_parted))
        good = search.holds(sizes)
        if good.all() and problem.cost_of(sizes) < best_cost:
            best, best_cost = sizes, problem.cost_of(sizes)
        if good.all() and problem.cost_of(sizes) > cost + SAME_COST * max(cost, 1.0):
            not_parted = min(not_parted, cost)  # a list was cut: what is cheaper here is not known
        for child in _parted(part, sizes, good):
            widest = _thickest(child)
            if widest is None or not search.holds(widest).all():
                continue
            solved = _solve(child, search, least=True)
            if solved is not None and solved[0] < best_cost:
                number += 1
                heapq.heappush(waiting, (max(solved[0], cost), number, child, solved[1]))
    return SizeAnswer(best, best_cost, min(best_cost, not_parted))


def _thinned(problem: SizeProblem, search: _Search, sizes: Ints) -> Ints:
    """Sizes that hold with single runs made thinner, that which saves most first, while all still holds."""
    below: list[list[int]] = [[] for _ in problem.parent]
    for node in np.flatnonzero(problem.free).tolist():
        above = problem.parent[node]
        while above >= 0 and not problem.free[above]:
            above = problem.parent[above]
        if above >= 0:
            below[above].append(node)
    most = search.work + MOST_WORK // 4
    now = sizes.copy()
    moved = True
    while moved and search.work < most:
        moved = False
        saved = [(float(problem.cost[node, now[node]] - problem.cost[node, now[node] - 1]), -node)
                 for node in range(len(now)) if now[node] > 0]  # fmt: skip
        for saving, minus in sorted(saved, reverse=True):
            node = -minus
            thinner = int(now[node]) - 1
            if saving <= 0 or not problem.free[node] or not problem.allowed[node, thinner]:
                continue
            if any(now[each] > thinner for each in below[node]) or search.work >= most:
                continue
            now[node] = thinner
            if search.holds(now).all():
                moved = True
            else:
                now[node] = thinner + 1
    return now


def _parted(problem: SizeProblem, sizes: Ints, good: Flags) -> list[SizeProblem]:
    """The problem in two, one run thicker than in ``sizes`` or not: the run with the most drop on a way that fails.

    Nothing where all is good: sizes that hold at the cost of the bound are the best of their part.
    """
    row, later = np.arange(len(sizes)), np.arange(problem.ohms.shape[1])
    can_grow = (problem.allowed & (later[None] > sizes[:, None])).any(axis=1) & problem.free
    on_way = np.zeros(len(sizes), dtype=np.bool_)
    for node in np.flatnonzero(~good).tolist():
        while node >= 0 and not on_way[node]:
            on_way[node] = True
            node = problem.parent[node]
    able = can_grow & on_way
    if not able.any():
        return []
    doubt = np.where(able, problem.ohms[row, sizes] * problem.most_amps, -1.0)
    run = int(doubt.argmax())
    parts = []
    for keep in (later > sizes[run], later <= sizes[run]):
        allowed = problem.allowed.copy()
        allowed[run] &= keep
        parts.append(replace(problem, allowed=allowed))
    return parts


def _thickest(problem: SizeProblem) -> Ints | None:
    """The thickest size that each run may have, nothing where some run may have none."""
    count = problem.ohms.shape[1]
    sizes = np.zeros(len(problem.parent), dtype=np.int64)
    for node, above in enumerate(problem.parent):
        most = int(sizes[above]) if above >= 0 else count - 1
        if problem.free[node]:
            fits = np.flatnonzero(problem.allowed[node, : most + 1])
            if not len(fits):
                return None
            most = int(fits[-1])
        sizes[node] = most
    return sizes


def _solve(problem: SizeProblem, search: _Search, least: bool) -> tuple[float, Ints] | None:
    """The cheapest sizes for one current a run, and their cost: the least current for a bound, the most to hold."""
    amps = problem.least_amps if least else problem.most_amps
    start = problem.most_start if least else problem.least_start
    count, kinds = problem.ohms.shape
    longest = max(MOST_ANSWERS // max(count * kinds, 1), 16)
    spare = np.where(problem.needs > 0, -HAIR_VOLTS if least else HAIR_VOLTS, 0.0)
    needs, drops = problem.needs + spare, problem.ohms * amps[:, None]
    beyond: list[list[int]] = [[] for _ in range(count)]
    lists: list[list[AnswerList]] = [[] for _ in range(count)]
    for node in range(count - 1, -1, -1):
        found: list[AnswerList] = []
        for size in range(kinds):
            asked = joined([lists[below][size] for below in beyond[node]], float(needs[node]))
            cost = asked.cost + (problem.cost[node, size] if problem.free[node] else 0.0)
            made = AnswerList(asked.volts + drops[node, size], cost, np.full(len(cost), size))
            parts = [*found[-1:], *([made] if problem.allowed[node, size] else [])]
            found.append(cut(best_of(parts), longest, least) if problem.free[node] else made)
        lists[node] = found
        search.work += sum(LIST_WORK + len(each.volts) for each in found)
        if problem.parent[node] >= 0:
            beyond[problem.parent[node]].append(node)
    return _chosen(problem, lists, drops, start)


def _chosen(
    problem: SizeProblem, lists: list[list[AnswerList]], drops: Floats, start: float
) -> tuple[float, Ints] | None:
    """Sizes out of the lists from the controller on, each the cheapest that the volts left allow."""
    kinds = problem.ohms.shape[1]
    sizes, total = np.zeros(len(problem.parent), dtype=np.int64), 0.0
    left: list[float] = []
    for node, above in enumerate(problem.parent):
        volts, most = (left[above], int(sizes[above])) if above >= 0 else (start, kinds - 1)
        answers = lists[node][most]
        place = int(np.searchsorted(answers.volts, volts + HAIR_VOLTS / 10, side="right")) - 1
        if place < 0 and above < 0:
            return None
        place = max(place, 0)
        sizes[node] = answers.size[place]
        total += float(answers.cost[place]) if above < 0 else 0.0
        left.append(volts - float(drops[node, sizes[node]]))
    return total, sizes
