"""The most volts that any choice of running outputs takes from each box of a tree, for paths that are long or mixed.

Three ways are exact for constant currents. ``same_draw``: one draw throughout; each run then carries as many running
outputs as lie beyond it and may run, whatever box is looked at. ``few_draws``: a threshold of draw x shared ohms for
each box, found by halving; memory does not grow with the outputs at once. ``many_draws``: the outputs that take most
from a box are among those that take most from the box before it and those beyond it. ``no_less`` is a bound.

The least and the most current that running outputs send through each run, whatever the sizes of the runs.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeVar

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from slackloop.compute.circuit.volts import Loads

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]
Values = TypeVar("Values", NDArray[np.int64], NDArray[np.float64])

HALVINGS = 60
"""Halvings of a threshold: more than the 53 bits of a float."""


def beyond_each(parent: Sequence[int], here: Values) -> tuple[Values, float]:
    """The sum of what is at or beyond each box, ``(n,)``, and of the whole path."""
    beyond, total = here.tolist(), 0
    for i in range(len(beyond) - 1, -1, -1):
        if parent[i] >= 0:
            beyond[parent[i]] += beyond[i]
        else:
            total += beyond[i]
    return np.array(beyond, dtype=here.dtype), total


def along_path(parent: Sequence[int], on_run: Floats, at_source: float = 0.0) -> Floats:
    """The sum of ``on_run`` over the runs from the controller to each box, ``(n,)``, ``at_source`` included."""
    total: list[float] = []
    for value, above in zip(on_run.tolist(), parent, strict=True):
        total.append(value + (total[above] if above >= 0 else at_source))
    return np.array(total)


def same_draw(
    parent: Sequence[int], run_ohms: Floats, source_ohms: float, outputs: Ints, draw: float, at_once: int
) -> Floats:
    """Volts lost at each box where all outputs draw ``draw`` amperes; ``(n,)``.

    The outputs nearest to a box are those beyond each of its runs in turn, so a run carries the least of
    ``at_once`` and the outputs beyond it.
    """
    beyond, total = beyond_each(parent, outputs)
    carried = run_ohms * np.minimum(beyond, at_once)
    return draw * along_path(parent, carried, source_ohms * min(total, at_once))


def few_draws(
    parent: Sequence[int], run_ohms: Floats, source_ohms: float, by_draw: dict[float, Ints], at_once: int
) -> Floats:
    """Volts lost at each box for outputs of a few draws: ``by_draw`` gives the outputs at each box by draw; ``(n,)``.

    The sum of the k largest values x is the least of k t + sum(max(x - t, 0)) over thresholds t, and no t gives less
    (linear programming duality, any text). Sums of the outputs above a threshold come from sums along the runs.
    """
    count = len(parent)
    up = _ancestors(parent)
    ohms = np.append(along_path(parent, run_ohms, source_ohms), source_ohms)
    kinds = []
    for draw, outputs in by_draw.items():
        beyond, total = beyond_each(parent, outputs)
        lost = np.append(along_path(parent, run_ohms * beyond), 0.0)
        kinds.append((draw, np.append(beyond, total), lost))
    box = np.arange(count)

    def above(threshold: Floats) -> tuple[Ints, Floats]:
        """How many outputs take ``threshold`` or more from each box, and what they take together."""
        number, taken = np.zeros(count, dtype=np.int64), np.zeros(count)
        for draw, beyond, lost in kinds:
            at = box.copy()
            for step in up:
                there = step[at]
                at = np.where(draw * ohms[there] >= threshold, there, at)
            some = draw * ohms[at] >= threshold
            number += np.where(some, beyond[at], 0)
            taken += np.where(some, draw * (ohms[at] * beyond[at] + lost[box] - lost[at]), 0.0)
        return number, taken

    low, high = np.zeros(count), max(by_draw) * ohms[:count]
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        many = above(middle)[0] >= at_once
        low, high = np.where(many, middle, low), np.where(many, high, middle)
    best = np.full(count, np.inf)
    for threshold in (low, high):
        number, taken = above(threshold)
        best = np.minimum(best, taken + threshold * (at_once - number))
    return best


def _ancestors(parent: Sequence[int]) -> list[Ints]:
    """Ancestors 2^j steps up, the longest step first; place ``n`` is the controller, which is its own ancestor."""
    count = len(parent)
    step = np.array([above if above >= 0 else count for above in parent] + [count], dtype=np.int64)
    steps = [step]
    while (step != count).any():
        step = step[step]
        steps.append(step)
    return steps[::-1]


def many_draws(
    parent: Sequence[int], run_ohms: Floats, source_ohms: float, per_output: Floats, outputs: Ints, at_once: int
) -> Floats:
    """Volts lost at each box where draws differ from box to box; ``(n,)``. Time and memory grow as n x at_once.

    On the way from a box to the next, outputs beyond the next share more ohms with it and the others as many as
    before: what was not among the ``at_once`` largest before and lies not beyond is not among them now.
    """
    count = len(parent)
    ohms = along_path(parent, run_ohms, source_ohms)
    first, last = _spans(parent)
    largest: list[Ints] = [np.empty(0, dtype=np.int64)] * count
    below: list[list[Ints]] = [[] for _ in range(count + 1)]
    for i in range(count - 1, -1, -1):
        mine = np.full(min(int(outputs[i]), at_once), i, dtype=np.int64)
        largest[i] = _largest(np.concatenate([mine, *below[i]]), per_output, at_once)
        below[i] = []
        below[parent[i]].append(largest[i])
    whole = _largest(np.concatenate([np.empty(0, dtype=np.int64), *below[-1]]), per_output, at_once)
    owners: list[Ints] = [whole] * (count + 1)
    values: list[Floats] = [per_output[whole] * source_ohms] * (count + 1)
    lost = np.empty(count)
    for i, above in enumerate(parent):
        outside = (first[owners[above]] < first[i]) | (first[owners[above]] > last[i])
        owner = np.concatenate([largest[i], owners[above][outside]])
        value = np.concatenate([per_output[largest[i]] * ohms[i], values[above][outside]])
        if len(value) > at_once:
            kept = np.argpartition(value, len(value) - at_once)[-at_once:]
            owner, value = owner[kept], value[kept]
        owners[i], values[i] = owner, value
        lost[i] = value.sum()
    return lost


def no_less(
    parent: Sequence[int], run_ohms: Floats, source_ohms: float, per_output: Floats, outputs: Ints, at_once: int
) -> Floats:
    """At least the volts that any choice takes from each box, whatever the draws; ``(n,)``.

    A run carries at most all the draws beyond it, and at most ``at_once`` times the largest of them.
    """
    amps, most = beyond_each(parent, per_output * outputs)[0], np.where(outputs > 0, per_output, 0.0).tolist()
    for i in range(len(most) - 1, -1, -1):
        if parent[i] >= 0:
            most[parent[i]] = max(most[parent[i]], most[i])
    carried = np.minimum(amps, at_once * np.array(most))
    at_source = min(float((per_output * outputs).sum()), at_once * float(np.max(most)))
    return along_path(parent, run_ohms * carried, source_ohms * at_source)


def _largest(owner: Ints, per_output: Floats, at_once: int) -> Ints:
    """Those of some outputs, named by their box, that draw most."""
    if len(owner) <= at_once:
        return owner
    return owner[np.argpartition(per_output[owner], len(owner) - at_once)[-at_once:]]


def _spans(parent: Sequence[int]) -> tuple[Ints, Ints]:
    """Numbers from a walk to each branch's end in turn: a box's own, and the last of all that lie beyond it."""
    count = len(parent)
    sizes = beyond_each(parent, np.ones(count, dtype=np.int64))[0]
    first, free, start = [0] * count, [0] * count, 0
    for i, above in enumerate(parent):
        if above < 0:
            first[i], start = start, start + int(sizes[i])
        else:
            first[i] = free[above]
            free[above] += int(sizes[i])
        free[i] = first[i] + 1
    numbers = np.array(first, dtype=np.int64)
    return numbers, numbers + sizes - 1


MOST_STEPS = 200_000
"""Boxes times outputs at once up to which each box is looked at for the least current."""


def most_beyond(parent: Sequence[int], loads: Loads, at_once: int) -> tuple[Floats, float]:
    """The most current of each run, ``(n,)``, and of the source, amperes: the largest draws beyond it run."""
    picked, whole = _picked(parent, loads, at_once, largest=True)
    amps, standby = _standby(parent, loads)
    return amps + np.array([sum(each) for each in picked]), standby + sum(whole)


def least_beyond(parent: Sequence[int], loads: Loads, at_once: int, needs: Flags) -> tuple[Floats, float]:
    """A current of each run, ``(n,)``, and of the source, that for every box with needs some choice reaches on its way.

    For a box the outputs beyond its own run are taken first, the largest draws of them, then those beyond the run
    before, and so on: such a choice takes no more from the box than the worst one. A run has the least of this over
    all boxes beyond it; on a large path the smallest draws beyond it.
    """
    amps, standby = _standby(parent, loads)
    smallest, whole = _picked(parent, loads, at_once, largest=False)
    least_all = standby + sum(whole)
    if len(parent) * max(at_once, 1) > MOST_STEPS:
        return amps + np.array([sum(each) for each in smallest]), least_all
    picked, _ = _picked(parent, loads, at_once, largest=True)
    own = [[draw] * min(int(n), at_once) for draw, n in zip(loads.per_output.tolist(), loads.outputs, strict=True)]
    below: list[list[int]] = [[] for _ in parent]
    for node, above in enumerate(parent):
        if above >= 0:
            below[above].append(node)
    least, carried = np.full(len(parent), np.inf), np.full(len(parent), np.inf)
    for box in np.flatnonzero(needs).tolist():
        node, taken = box, list(picked[box])
        while True:
            least[node] = min(least[node], sum(taken))
            above = parent[node]
            if len(taken) >= at_once:
                carried[node] = min(carried[node], sum(taken))
                break
            if above < 0:
                break
            others = (draw for each in below[above] if each != node for draw in picked[each])
            taken += heapq.nlargest(at_once - len(taken), [*own[above], *others])
            node = above
    for node in range(len(parent) - 1, -1, -1):
        least[node] = min(least[node], carried[node])
        if parent[node] >= 0:
            carried[parent[node]] = min(carried[parent[node]], carried[node])
    return amps + np.where(np.isfinite(least), least, 0.0), least_all


def _standby(parent: Sequence[int], loads: Loads) -> tuple[Floats, float]:
    """What is drawn with all outputs off beyond each run, and on the whole path."""
    return beyond_each(parent, loads.standby)[0], float(loads.standby.sum())


def _picked(
    parent: Sequence[int], loads: Loads, at_once: int, largest: bool
) -> tuple[list[list[float]], list[float]]:
    """As many draws as may run beyond each run, the largest or the smallest, and those of the whole path."""
    picked: list[list[float]] = [
        [draw] * min(int(n), at_once) for draw, n in zip(loads.per_output.tolist(), loads.outputs, strict=True)
    ]
    whole: list[float] = []
    for node in range(len(parent) - 1, -1, -1):
        picked[node] = sorted(picked[node], reverse=largest)[:at_once]
        (picked[parent[node]] if parent[node] >= 0 else whole).extend(picked[node])
    return picked, sorted(whole, reverse=largest)[:at_once]
