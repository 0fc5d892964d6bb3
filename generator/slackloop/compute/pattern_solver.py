"""Fewer reels by whole cutting patterns: column generation, then a mixed-integer programme (scipy's HiGHS).

P. Gilmore and R. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9 (1961)
849-859 (from memory). Used only where the simple plans of ``packing`` do not meet their lower bound.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

Pattern = tuple[int, ...]
"""How many of each different length a reel takes."""

TIME_LIMIT_S = 2.0
"""Time limit of the mixed-integer programme; a run that meets it gives no plan."""
NODE_LIMIT = 400
FEW_PIECES, MOST_PIECES = 150, 320
"""Up to the first, one reel over the bound is worth a search; up to the second, two; above it none is made."""
ROUNDS = 40
"""Most rounds of new patterns: a count, not a clock, so that every machine stops at the same place."""
PATTERNS_A_ROUND = 15
STEPS_OF_REEL, STEPS_IN_ALL = 20_000, 1_500_000
"""While patterns are sought a reel is measured in whole steps, at most the first; the second over the pieces."""
_WITHIN = 1e-6


@dataclass(frozen=True)
class Solved:
    """``bound``: no plan has fewer reels (0 where nothing was proved). ``reels``: a plan with fewer, or None."""

    bound: int
    reels: tuple[tuple[int, ...], ...] | None


def solve(lengths: Sequence[int], reel: int, plan: Sequence[Sequence[int]], least: int) -> Solved:
    """Look for a plan with fewer reels than ``plan`` (indices of ``lengths`` by reel) and at least ``least``.

    Patterns are generated until none lowers the relaxation, then the fewest whole patterns are chosen. Rounds are
    counted and the solver runs in one thread, so the same lengths give the same answer; only its time limit depends
    on the machine, and then no plan is given.
    """
    over = len(plan) - least
    if over < 1 or len(lengths) > (FEW_PIECES if over == 1 else MOST_PIECES):
        return Solved(0, None)
    kinds = sorted(set(lengths), reverse=True)
    at = {length: n for n, length in enumerate(kinds)}
    wanted = [0] * len(kinds)
    for length in lengths:
        wanted[at[length]] += 1
    patterns = dict.fromkeys(_pattern([at[lengths[i]] for i in each], len(kinds)) for each in plan)
    patterns |= dict.fromkeys(_pattern([n], len(kinds)) for n in range(len(kinds)))
    bound = _generate(patterns, kinds, wanted, reel, -(-reel // min(STEPS_OF_REEL, STEPS_IN_ALL // len(lengths))))
    if bound >= len(plan):
        return Solved(bound, None)
    chosen = _choose(list(patterns), wanted, max(bound, least), len(plan) - 1)
    return Solved(bound, None if chosen is None else _handed_out(chosen, lengths, kinds))


def _pattern(numbers: Sequence[int], size: int) -> Pattern:
    counts = [0] * size
    for n in numbers:
        counts[n] += 1
    return tuple(counts)


def _generate(
    patterns: dict[Pattern, None], kinds: Sequence[int], wanted: Sequence[int], reel: int, step: int
) -> int:
    """Add patterns until none lowers the relaxation, at most ROUNDS times. Returns a proved lower bound.

    New patterns take lengths rounded up to whole steps, so that each fits its reel.

    The bound is the worth of all lengths over that of the worthiest pattern (Farley 1990); for it, lengths are
    rounded down to whole steps, so that no pattern is missed.
    """
    from scipy.optimize import linprog

    room = reel // step
    steps_up, steps_down = [-(-each // step) for each in kinds], [each // step for each in kinds]
    worth: list[float] = []
    for _ in range(ROUNDS):
        relaxed = linprog([1.0] * len(patterns), A_ub=-_matrix(patterns), b_ub=[-n for n in wanted], method="highs")
        if relaxed.status != 0:
            return 0
        worth = [max(-float(each), 0.0) for each in relaxed.ineqlin.marginals]
        left, added = list(wanted), 0
        while added < PATTERNS_A_ROUND:
            best, pattern = best_pattern(steps_up, left, worth, room)
            if best <= 1.0 + _WITHIN:
                break
            patterns[pattern] = None
            added += 1
            left = [n - taken for n, taken in zip(left, pattern, strict=True)]
        if not added:
            break
    total = math.fsum(each * n for each, n in zip(worth, wanted, strict=True))
    most, _ = best_pattern(steps_down, wanted, worth, room)
    return math.ceil(total / max(most, 1.0) - _WITHIN)


def _matrix(patterns: dict[Pattern, None] | Sequence[Pattern]) -> Any:
    """Patterns as columns of a sparse matrix of shape (different lengths, patterns)."""
    from scipy.sparse import csc_matrix

    return csc_matrix(list(patterns), dtype=float).T.tocsc()


def best_pattern(steps: Sequence[int], most: Sequence[int], worth: Sequence[float], room: int) -> tuple[float, Pattern]:
    """The pattern of most worth that fits ``room`` steps, with at most ``most[n]`` of each length, and its worth.

    Exact, by dynamic programming over the steps of the reel.
    """
    import numpy as np

    most_of = [min(count, room // max(steps[n], 1)) for n, count in enumerate(most)]
    items = [n for n, count in enumerate(most_of) if worth[n] > _WITHIN for _ in range(count)]
    best = np.zeros(room + 1)
    taken = np.zeros((len(items), room + 1), dtype=bool)
    for row, n in enumerate(items):
        with_it = best[: room + 1 - steps[n]] + worth[n]
        better = with_it > best[steps[n] :]
        taken[row, steps[n] :] = better
        best[steps[n] :] = np.where(better, with_it, best[steps[n] :])
    counts, left = [0] * len(steps), room
    for row in range(len(items) - 1, -1, -1):
        if taken[row, left]:
            counts[items[row]] += 1
            left -= steps[items[row]]
    return float(best[room]), tuple(counts)


def _choose(patterns: Sequence[Pattern], wanted: Sequence[int], least: int, most: int) -> list[Pattern] | None:
    """The fewest whole patterns, between ``least`` and ``most``, that hold what is wanted; None unless proved."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    result = milp(
        np.ones(len(patterns)),
        integrality=np.ones(len(patterns)),
        bounds=Bounds(0, np.inf),
        constraints=[
            LinearConstraint(_matrix(patterns), np.array(wanted, dtype=float), np.inf),
            LinearConstraint(np.ones((1, len(patterns))), least, most),
        ],
        options={"time_limit": TIME_LIMIT_S, "node_limit": NODE_LIMIT},
    )
    if result.status != 0 or result.x is None:
        return None
    return [pattern for pattern, times in zip(patterns, result.x, strict=True) for _ in range(round(times))]


def _handed_out(
    chosen: Sequence[Pattern], lengths: Sequence[int], kinds: Sequence[int]
) -> tuple[tuple[int, ...], ...] | None:
    """The pieces handed out to the patterns in pulling order; None where they do not hold every piece."""
    left = {length: [i for i, each in enumerate(lengths) if each == length][::-1] for length in kinds}
    reels = []
    for pattern in chosen:
        mine = [left[kinds[n]].pop() for n, count in enumerate(pattern) for _ in range(count) if left[kinds[n]]]
        if mine:
            reels.append(tuple(mine))
    return None if any(left.values()) else tuple(reels)
