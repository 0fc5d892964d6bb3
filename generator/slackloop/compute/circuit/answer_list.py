"""Answers of one run of a path: the volts that it asks for at its start, what that costs, and its size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class AnswerList:
    """Answers of one run: volts asked for, rising, with the cost, falling, and the size of the run in each."""

    volts: Floats
    cost: Floats
    size: Ints


def joined(lists: Sequence[AnswerList], need: float) -> AnswerList:
    """What a box asks for with all that is fed from it: its own need, and an answer of each run for the same volts."""
    none = np.zeros(0, dtype=np.int64)
    if not lists:
        return AnswerList(np.array([need]), np.zeros(1), none)
    if any(not len(each.volts) for each in lists):
        return AnswerList(np.zeros(0), np.zeros(0), none)
    floor = max(need, *(float(each.volts[0]) for each in lists))
    steps = np.unique(np.concatenate([[floor], *(each.volts[each.volts > floor] for each in lists)]))
    cost = np.zeros(len(steps))
    for each in lists:
        cost += each.cost[np.searchsorted(each.volts, steps, side="right") - 1]
    return AnswerList(steps, cost, none)


def best_of(lists: Sequence[AnswerList]) -> AnswerList:
    """The answers of several lists that no other beats in both volts and cost."""
    if not lists:
        return AnswerList(np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.int64))
    volts = np.concatenate([each.volts for each in lists])
    cost = np.concatenate([each.cost for each in lists])
    size = np.concatenate([each.size for each in lists])
    order = np.lexsort((cost, volts))
    volts, cost, size = volts[order], cost[order], size[order]
    before = np.concatenate([[np.inf], np.minimum.accumulate(cost)[:-1]])
    better = cost < before
    return AnswerList(volts[better], cost[better], size[better])


def cut(answers: AnswerList, longest: int, least: bool) -> AnswerList:
    """A list of at most ``longest``: of answers that cost about the same one is kept, for a bound the best of both."""
    if len(answers.volts) <= longest:
        return answers
    step = (answers.cost[0] - answers.cost[-1]) / (longest // 2)
    part = ((answers.cost[0] - answers.cost) / step).astype(np.int64)
    ends = np.append(np.flatnonzero(np.diff(part)), len(part) - 1)
    if not least:
        ends = np.unique(np.append(ends, 0))
        return AnswerList(answers.volts[ends], answers.cost[ends], answers.size[ends])
    starts = np.append(0, ends[:-1] + 1)
    return AnswerList(answers.volts[starts], answers.cost[ends], answers.size[ends])
