"""The least and the most current that running outputs send through each run, whatever the sizes of the runs."""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from slackloop.compute.circuit.tree_drops import beyond_each
from slackloop.compute.circuit.volts import Loads

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

MOST_STEPS = 200_000
"""Boxes times outputs at once up to which each box is looked at for the least current."""


def times(loads: Loads, rise: Floats) -> Loads:
    """The loads with the draws of each node multiplied."""
    return replace(loads, standby=loads.standby * rise, per_output=loads.per_output * rise)


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
