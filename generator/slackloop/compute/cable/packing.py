"""Packing lengths on reels: few reels, and few of them open at once for a crew that pulls in path order.

Lengths are whole nanometres here, so that sums are exact and a plan is the same on every machine.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import accumulate

Reels = tuple[tuple[int, ...], ...]

MATERIAL = "sum of the lengths over the length of a reel"
MARTELLO_TOTH = "Martello and Toth (1990), bound L2"
FEKETE_SCHEPERS = "Fekete and Schepers (2001), bound L*"
GILMORE_GOMORY = "Gilmore and Gomory (1961), linear relaxation of the cutting patterns"

IN_ORDER = "pulled in order"
FULLER = "filled from the lengths that come next"
SORTED = "longest lengths first"
SOLVED = "chosen among whole cutting patterns"

STEPS = range(2, 21)
"""Steps k of Fekete and Schepers' bound."""
OPEN_MOST = 6
"""Most reels that the plans in pulling order may hold open."""
LOOK_AHEAD = (8, 16, 32)
"""How many lengths ahead a reel may be filled from."""
SEARCHED_PIECES = 600
"""More lengths than this are packed by the simple rules alone."""
FILL_STEPS = 1500
"""Most steps spent on filling one reel."""


@dataclass(frozen=True)
class Bound:
    """No plan takes fewer than ``reels``; ``source`` says by which bound."""

    reels: int
    source: str


@dataclass(frozen=True)
class Packing:
    """Indices of the lengths on each reel, in pulling order, reels by their first length.

    ``open_at_once`` is the most reels that are begun and not yet finished at any time; ``way`` is how the plan
    was found.
    """

    reels: Reels
    bound: Bound
    open_at_once: int
    way: str


@lru_cache(maxsize=256)
def packing(lengths: tuple[int, ...], reel: int) -> Packing:
    """Pack ``lengths``, in pulling order, on reels of ``reel``, all in one whole unit; none longer than a reel.

    The first plan that meets the lower bound is taken, and plans are tried from the one that is simplest to pull:
    one reel at a time, two at a time, and so on. Where none meets it, the fewest reels win, then the fewest open.
    Only then a solver looks for fewer (``pattern_solver``). Its work is counted, never timed, so that the plan is the
    same on every run.
    """
    bound = lower_bound(lengths, reel)
    best: Packing | None = None
    for way, make in _ways(lengths, reel):
        reels = in_pulling_order(make())
        found = Packing(reels, bound, open_at_once(reels), way)
        if best is None or _rank(found) < _rank(best):
            best = found
        if len(best.reels) <= bound.reels and way != SORTED:
            break
    assert best is not None
    if len(best.reels) > bound.reels:
        from slackloop.compute.cable.pattern_solver import solve

        solved = solve(lengths, reel, best.reels, bound.reels)
        if solved.bound > bound.reels:
            best = replace(best, bound=Bound(solved.bound, GILMORE_GOMORY))
        if solved.reels is not None:
            reels = in_pulling_order(solved.reels)
            best = Packing(reels, best.bound, open_at_once(reels), SOLVED)
    return best


def lower_bound(lengths: Sequence[int], reel: int) -> Bound:
    """The largest of three bounds, none of them above the fewest reels there can be.

    Material; Martello and Toth's L2 (Lower bounds and reduction procedures for the bin packing problem, Discrete
    Applied Mathematics 28 (1990) 59-70); Fekete and Schepers' L* (New classes of fast lower bounds for bin packing
    problems, Mathematical Programming 91 (2001) 11-31). Citations from memory; the tests hold all three against
    brute force.
    """
    ordered = sorted(lengths)
    limits = _limits(ordered, reel)
    rounded = (_weighed(limits, _rounded(ordered, reel, k), k * reel) for k in STEPS)
    bounds = [
        Bound(-(-sum(ordered) // reel), MATERIAL),
        Bound(max(len(ordered) - bisect_right(ordered, reel // 2), _weighed(limits, ordered, reel)), MARTELLO_TOTH),
        Bound(max(rounded), FEKETE_SCHEPERS),
    ]
    return max(bounds, key=lambda each: each.reels)


def _limits(ordered: Sequence[int], reel: int) -> list[tuple[int, int]]:
    """For every limit k up to half a reel, the first length that is not under k and the first that is over reel − k.

    The limit of nothing comes first; lengths that are alike are one limit.
    """
    half = bisect_right(ordered, reel // 2)
    own = [n for n in range(half) if n == 0 or ordered[n] > ordered[n - 1]]
    return [(0, len(ordered)), *((n, bisect_right(ordered, reel - ordered[n])) for n in own)]


def _weighed(limits: Sequence[tuple[int, int]], weights: Sequence[int], whole: int) -> int:
    """Most reels, over every limit, that the lengths weigh when a reel carries ``whole``.

    For a limit k, lengths over reel − k weigh a whole reel, those under k nothing and the rest their weight: no
    reel can carry more than one whole (Fekete and Schepers). With the lengths themselves as weights this is L2,
    beside the lengths over half a reel, which never share one.
    """
    sums, count = [0, *accumulate(weights)], len(weights)
    weight = max((count - alone) * whole + sums[alone] - sums[first] for first, alone in limits)
    return -(-weight // whole)


def _rounded(ordered: Sequence[int], reel: int, k: int) -> list[int]:
    """Fekete and Schepers' u(k) of each length, in parts of k · reel: lengths rounded down to steps of 1/(k + 1)."""
    return [k * each if (k + 1) * each % reel == 0 else (k + 1) * each // reel * reel for each in ordered]


def open_at_once(reels: Reels) -> int:
    """The most reels that are begun and not yet finished when the lengths are pulled in order."""
    starts = sorted(min(each) for each in reels)
    ends = sorted(max(each) for each in reels)
    return max((n + 1 - bisect_left(ends, start) for n, start in enumerate(starts)), default=0)


def in_pulling_order(reels: Iterable[Iterable[int]]) -> Reels:
    """Each reel's lengths in pulling order, and the reels by their first length."""
    return tuple(sorted(tuple(sorted(each)) for each in reels))


def _rank(found: Packing) -> tuple[int, int]:
    return len(found.reels), found.open_at_once


def _ways(lengths: Sequence[int], reel: int) -> Iterator[tuple[str, Callable[[], list[list[int]]]]]:
    """The simple plans, from the one that is easiest to pull."""
    for most in range(1, OPEN_MOST + 1):
        yield IN_ORDER, lambda most=most: few_open(lengths, reel, most)  # type: ignore[misc]
    if len(lengths) <= SEARCHED_PIECES:
        for window in LOOK_AHEAD:
            yield FULLER, lambda window=window: filled_ahead(lengths, reel, window)  # type: ignore[misc]
    order = sorted(range(len(lengths)), key=lambda i: (-lengths[i], i))
    yield SORTED, lambda: first_fit(order, lengths, reel)
    yield SORTED, lambda: best_fit(order, lengths, reel)


def few_open(lengths: Sequence[int], reel: int, most: int) -> list[list[int]]:
    """Each length in turn on the fullest open reel with room; at most ``most`` are open, the fullest is closed."""
    reels: list[list[int]] = []
    room: list[tuple[int, int]] = []
    for i, length in enumerate(lengths):
        at = bisect_left(room, (length, -1))
        if at < len(room):
            left, n = room.pop(at)
        else:
            if len(room) == most:
                del room[0]
            left, n = reel, len(reels)
            reels.append([])
        reels[n].append(i)
        insort(room, (left - length, n))
    return reels


def filled_ahead(lengths: Sequence[int], reel: int, window: int) -> list[list[int]]:
    """One reel after another: the first length still to be laid, and those of the next ``window`` that fill it best.

    After J. Gupta and J. Ho's minimum bin slack (1999), the search bounded to FILL_STEPS steps a reel.
    """
    left = list(range(len(lengths)))
    reels: list[list[int]] = []
    while left:
        ahead = sorted(left[1 : window + 1], key=lambda i: (-lengths[i], i))
        chosen = [left[0], *_fullest(ahead, lengths, reel - lengths[left[0]])]
        reels.append(chosen)
        gone = set(chosen)
        left = [i for i in left if i not in gone]
    return reels


def _fullest(order: Sequence[int], lengths: Sequence[int], room: int) -> list[int]:
    """Those of ``order`` (longest first) that leave the least room; the best found within FILL_STEPS steps."""
    best: list[int] = []
    least, steps = room, 0
    stack: list[tuple[int, int, tuple[int, ...]]] = [(0, room, ())]
    while stack and least and steps < FILL_STEPS:
        at, left, chosen = stack.pop()
        steps += 1
        if left < least:
            best, least = list(chosen), left
        for n in range(len(order) - 1, at - 1, -1):
            if lengths[order[n]] <= left:
                stack.append((n + 1, left - lengths[order[n]], (*chosen, order[n])))
    return best


def first_fit(order: Sequence[int], lengths: Sequence[int], reel: int) -> list[list[int]]:
    """Each length of ``order`` on the first reel with room.

    ``most`` is a tree whose leaves are the room on each reel and whose nodes hold the larger of the two below,
    so that the first reel with room is found in a few steps however many reels there are.
    """
    size = 1 << max(len(order) - 1, 0).bit_length()
    most = [reel] * (2 * size)
    reels: list[list[int]] = []
    for i in order:
        node = 1
        while node < size:
            node *= 2
            if most[node] < lengths[i]:
                node += 1
        if node - size == len(reels):
            reels.append([])
        reels[node - size].append(i)
        most[node] -= lengths[i]
        while node > 1:
            node //= 2
            most[node] = max(most[2 * node], most[2 * node + 1])
    return reels


def best_fit(order: Sequence[int], lengths: Sequence[int], reel: int) -> list[list[int]]:
    """Each length of ``order`` on the fullest reel with room."""
    reels: list[list[int]] = []
    room: list[tuple[int, int]] = []
    for i in order:
        at = bisect_left(room, (lengths[i], -1))
        left, n = room.pop(at) if at < len(room) else (reel, len(reels))
        if n == len(reels):
            reels.append([])
        reels[n].append(i)
        insort(room, (left - lengths[i], n))
    return reels
