"""Loop resistances of a network seen from the controller: on a tree the sum of the runs, with rings less."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class LoopNetwork:
    """Loop resistances of a path, closures included, seen from the controller's terminals.

    ``ohms`` is the resistance at each box. ``shared`` gives the resistance that two boxes share.
    Arrays follow the boxes in path order; ``parent`` is -1 at the controller.
    """

    parent: tuple[int, ...]
    tree_ohms: tuple[float, ...]
    ohms: tuple[float, ...]
    corrections: tuple[tuple[tuple[float, ...], float], ...]

    def shared(self, i: int, j: int) -> float:
        """Loop resistance that the ways to boxes i and j share, ohm; -1 is the controller."""
        if i < 0 or j < 0:
            return 0.0
        tree = _shared_tree(self.parent, self.tree_ohms, i, j)
        return tree - sum(column[i] * column[j] / ohms for column, ohms in self.corrections)


def loop_network(
    parent: Sequence[int], run_ohms: Sequence[float], closures: Sequence[tuple[int, int, float]] = ()
) -> LoopNetwork:
    """Loop resistances from the run resistances, ohm.

    ``parent[i]`` (shape n, parents before children, -1 the controller) feeds box i over ``run_ohms[i]``;
    each closure is (box, box, ohm), -1 the controller. Without closures a reading is the sum of the runs.
    Each closure adds a rank-one correction (Sherman and Morrison): with d(x) the difference of what x shares
    with the closure's two ends, Z(i,j) falls by d(i)·d(j) ÷ (r + d(end 1) − d(end 2)). Exact for any number
    of closures.
    """
    tree: list[float] = []
    for above, ohms in zip(parent, run_ohms, strict=True):
        tree.append((tree[above] if above >= 0 else 0.0) + ohms)
    columns = np.array(
        [np.subtract(_column(parent, tree, one), _column(parent, tree, two)) for one, two, _ in closures]
    ).reshape(len(closures), len(tree))
    reading = np.array(tree)
    corrections: list[tuple[tuple[float, ...], float]] = []
    for n, (one, two, ohms) in enumerate(closures):
        column = columns[n].tolist()
        total = ohms + _at(column, one) - _at(column, two)
        corrections.append((tuple(column), total))
        reading -= columns[n] ** 2 / total
        shares = [(_at(column, first) - _at(column, second)) / total for first, second, _ in closures[n + 1 :]]
        columns[n + 1 :] -= np.outer(shares, columns[n])
    return LoopNetwork(tuple(parent), tuple(tree), tuple(reading.tolist()), tuple(corrections))


def _at(column: Sequence[float], i: int) -> float:
    return column[i] if i >= 0 else 0.0


def _column(parent: Sequence[int], tree: Sequence[float], end: int) -> list[float]:
    """What every box shares with ``end`` along the tree, ohm."""
    on_way: set[int] = set()
    while end >= 0:
        on_way.add(end)
        end = parent[end]
    shared: list[float] = []
    for i, above in enumerate(parent):
        shared.append(tree[i] if i in on_way else (shared[above] if above >= 0 else 0.0))
    return shared


def _shared_tree(parent: Sequence[int], tree: Sequence[float], i: int, j: int) -> float:
    """Loop resistance from the controller to the last box that the ways to i and j both pass."""
    while i != j:
        if i > j:
            i = parent[i]
        else:
            j = parent[j]
    return tree[i] if i >= 0 else 0.0
