"""Fewer reels by whole cutting patterns: column generation, then dives that make the relaxation whole.

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

FEW_PIECES, MOST_PIECES = 150, 320
"""Up to the first, one reel over the bound is worth a search; up to the second, two; above it none is made."""
ROUNDS = 40
"""Most rounds of new patterns: a count, not a clock, so that every machine stops at the same place."""
PATTERNS_A_ROUND = 15
DIVES, DIVE_ROUNDS = 2, 3
"""Dives for whole patterns, and rounds of new patterns at each of their steps."""
KEPT_A_LENGTH = 2
"""Patterns that a dive takes from step to step, for each different length."""
NEARLY_WHOLE = 0.95
"""A share of a pattern that a dive takes as a whole reel."""
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

    Patterns are generated until none lowers the relaxation, then whole patterns are chosen. All work is counted and
    none is timed, so the same lengths give the same answer at any load.
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
    step = -(-reel // min(STEPS_OF_REEL, STEPS_IN_ALL // len(lengths)))
    bound = _generate(patterns, kinds, wanted, reel, step)
    if bound >= len(plan):
        return Solved(bound, None)
    chosen = _choose(patterns, kinds, wanted, reel, step, len(plan) - 1)
    return Solved(bound, None if chosen is None else _handed_out(chosen, lengths, kinds))


def _pattern(numbers: Sequence[int], size: int) -> Pattern:
    counts = [0] * size
    for n in numbers:
        counts[n] += 1
    return tuple(counts)


def _generate(patterns: dict[Pattern, None], kinds: Sequence[int], wanted: Sequence[int], reel: int, step: int) -> int:
    """Add patterns until none lowers the relaxation, in at most ROUNDS rounds. Returns a proved lower bound.

    New patterns take lengths rounded up to whole steps, so that each fits its reel.

    The bound is the worth of all lengths over that of the worthiest pattern (Farley 1990); for it, lengths are
    rounded down to whole steps, so that no pattern is missed.
    """
    room = reel // step
    steps_up, steps_down = [-(-each // step) for each in kinds], [each // step for each in kinds]
    settled = _settled(patterns, steps_up, wanted, room, ROUNDS)
    if settled is None:
        return 0
    worth = settled.worth
    total = math.fsum(each * n for each, n in zip(worth, wanted, strict=True))
    most, _ = best_pattern(steps_down, wanted, worth, room)
    return math.ceil(total / max(most, 1.0) - _WITHIN)


@dataclass(frozen=True)
class _Relaxed:
    """Fractions of patterns that hold what is wanted with the fewest reels, and what each length is worth then."""

    shares: list[tuple[float, Pattern]]
    worth: list[float]


def _settled(
    patterns: dict[Pattern, None], steps_up: Sequence[int], wanted: Sequence[int], room: int, rounds: int
) -> _Relaxed | None:
    """The relaxation after patterns were added until none lowers it, in at most ``rounds`` rounds."""
    for _ in range(rounds - 1):
        relaxed = _relaxed(patterns, wanted)
        if relaxed is None or not _add_patterns(patterns, steps_up, wanted, relaxed.worth, room):
            return relaxed
    return _relaxed(patterns, wanted)


def _relaxed(patterns: dict[Pattern, None], wanted: Sequence[int]) -> _Relaxed | None:
    """The linear relaxation by the dual simplex method, which runs in one thread; None where it has no answer."""
    from scipy.optimize import linprog

    found = linprog([1.0] * len(patterns), A_ub=-_matrix(patterns), b_ub=[-n for n in wanted], method="highs-ds")
    if found.status != 0:
        return None
    shares = list(zip(map(float, found.x), patterns, strict=True))
    return _Relaxed(shares, [max(-float(each), 0.0) for each in found.ineqlin.marginals])


def _add_patterns(
    patterns: dict[Pattern, None], steps_up: Sequence[int], wanted: Sequence[int], worth: Sequence[float], room: int
) -> int:
    """Add patterns that lower the relaxation, at most PATTERNS_A_ROUND, none holding a length of another; how many."""
    left, added = list(wanted), 0
    while added < PATTERNS_A_ROUND:
        best, pattern = best_pattern(steps_up, left, worth, room)
        if best <= 1.0 + _WITHIN:
            break
        patterns[pattern] = None
        added += 1
        left = [n - taken for n, taken in zip(left, pattern, strict=True)]
    return added


def _worthiest(patterns: dict[Pattern, None], worth: Sequence[float]) -> dict[Pattern, None]:
    """The patterns of most worth, at most KEPT_A_LENGTH for each different length, in their order."""
    import numpy as np

    value = _matrix(patterns).T @ np.array(worth)
    kept = np.sort(np.argsort(-value, kind="stable")[: KEPT_A_LENGTH * len(worth)])
    every = list(patterns)
    return dict.fromkeys(every[n] for n in kept.tolist())


def _matrix(patterns: dict[Pattern, None]) -> Any:
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


def _choose(
    patterns: dict[Pattern, None], kinds: Sequence[int], wanted: Sequence[int], reel: int, step: int, most: int
) -> list[Pattern] | None:
    """At most ``most`` whole patterns that hold what is wanted, or None where none were found.

    A dive: the relaxation's whole parts are taken, or else its largest share is made whole, and the rest is solved
    again with new patterns of its own. A dive that cannot end within ``most`` is left, and the next begins with
    another pattern. Dives, steps and patterns are counted, so that the search ends at the same place at any load.
    """
    for first in range(DIVES):
        chosen = _dive(dict(patterns), kinds, wanted, reel, step, most, first)
        if chosen is not None:
            return chosen
    return None


def _dive(
    patterns: dict[Pattern, None],
    kinds: Sequence[int],
    wanted: Sequence[int],
    reel: int,
    step: int,
    most: int,
    first: int,
) -> list[Pattern] | None:
    """One dive of ``_choose`` that begins with the pattern of the ``first``-th largest share, from 0."""
    steps_up, room = [-(-each // step) for each in kinds], reel // step
    single = [_pattern([n], len(kinds)) for n in range(len(kinds))]
    left, chosen = list(wanted), list[Pattern]()
    while any(left):
        useful = {tuple(map(min, each, left)) for each in (*patterns, *single)}
        patterns = dict.fromkeys(sorted(each for each in useful if any(each)))
        relaxed = _settled(patterns, steps_up, left, room, DIVE_ROUNDS)
        if relaxed is None:
            return None
        ranked = sorted(relaxed.shares, reverse=True)
        if len(chosen) + math.ceil(math.fsum(share for share, _ in ranked) - _WITHIN) > most:
            return None
        patterns = _worthiest(patterns, relaxed.worth)
        whole = [(share, pattern) for share, pattern in ranked if share >= NEARLY_WHOLE]
        at = 0 if chosen else min(first, len(ranked) - 1)
        for share, pattern in whole if whole and not at else ranked[at : at + 1]:
            taken = tuple(map(min, pattern, left))
            for _ in range(max(math.floor(share + 1.0 - NEARLY_WHOLE), 1)):
                chosen.append(taken)
                left = [need - have for have, need in zip(taken, left, strict=True)]
                taken = tuple(map(min, pattern, left))
    return chosen if len(chosen) <= most else None


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
