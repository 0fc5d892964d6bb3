"""Which box feeds which: the tree with the least sum of runs, along lines where there are some, else straight.

A cable branches in a box and nowhere else. So a run goes from box to box, by the shortest way along the lines, and the
least sum of runs is that of a minimum spanning tree over those ways (the metric closure). It is found with one search
from all boxes at once: a run of some such tree always joins two boxes whose regions touch (K. Mehlhorn, A faster
approximation algorithm for the Steiner problem in graphs, Information Processing Letters 27, 1988).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from slackloop.survey.line_network import Spot, place_node

if TYPE_CHECKING:
    import networkx as nx

Floats = NDArray[np.float64]
Run = tuple[int, int, float]
"""Two places by their numbers, and the metres between them."""


@dataclass(frozen=True)
class Tree:
    """The path: for each place its feeding place, -1 for the controller at 0; metres of that run; places in order."""

    parent: list[int]
    run_m: Floats
    order: list[int]
    straight: set[int] = field(default_factory=set)
    """Places whose run goes straight because no line leads there."""


def straight_tree(xy: Floats) -> Tree:
    """The tree with the least sum of straight lines."""
    return _rooted(len(xy), straight_runs(xy), set())


def tree_along(graph: nx.Graph[Any], xy: Floats) -> Tree:
    """The tree with the least sum of runs along a network; parts that no line joins are joined straight."""
    import networkx as nx

    joined: nx.Graph[int] = nx.Graph()
    joined.add_nodes_from(range(len(xy)))
    for one, other, metres in _touching(graph, len(xy)):
        joined.add_edge(one, other, m=metres)
    runs = [(one, other, data["m"]) for one, other, data in nx.minimum_spanning_edges(joined, weight="m")]
    forest: nx.utils.UnionFind[int] = nx.utils.UnionFind(range(len(xy)))
    for one, other, _ in runs:
        forest.union(one, other)
    straight = set()
    if len(runs) < len(xy) - 1:
        for one, other, metres in sorted(straight_runs(xy), key=lambda run: run[2]):
            if forest[one] != forest[other]:
                forest.union(one, other)
                runs.append((one, other, metres))
                straight.add(frozenset((one, other)))
    return _rooted(len(xy), runs, straight)


def straight_runs(xy: Floats) -> list[Run]:
    """A minimum spanning tree over straight lines between all places (R. C. Prim, 1957); time grows as the square."""
    count = len(xy)
    away, nearest = np.full(count, np.inf), np.zeros(count, dtype=np.int64)
    waiting = np.ones(count, dtype=np.bool_)
    here, runs = 0, []
    for _ in range(count - 1):
        waiting[here] = False
        metres = np.hypot(xy[:, 0] - xy[here, 0], xy[:, 1] - xy[here, 1])
        closer = waiting & (metres < away)
        away[closer], nearest[closer] = metres[closer], here
        following = int(np.where(waiting, away, np.inf).argmin())
        runs.append((int(nearest[following]), following, float(away[following])))
        here = following
    return runs


def _touching(graph: nx.Graph[Any], count: int) -> list[Run]:
    """The shortest way between each two places whose regions of the network touch, as the theorem asks for."""
    import networkx as nx

    root: Spot = ("all", 0, 0)
    for index in range(count):
        graph.add_edge(root, place_node(index), m=0.0)
    before, away = nx.dijkstra_predecessor_and_distance(graph, root, weight="m")
    graph.remove_node(root)
    owner: dict[Spot, int] = {}
    for node in away:  # nearest first, so that what is before a node has its owner already
        if node != root:
            owner[node] = node[1] if node[0] == "place" else owner[before[node][0]]
    shortest: dict[tuple[int, int], float] = {}
    for one, other, metres in graph.edges(data="m"):
        if one in owner and other in owner and owner[one] != owner[other]:
            pair = min(owner[one], owner[other]), max(owner[one], owner[other])
            whole = away[one] + metres + away[other]
            shortest[pair] = min(whole, shortest.get(pair, whole))
    return sorted((one, other, metres) for (one, other), metres in shortest.items())


def _rooted(count: int, runs: list[Run], straight: set[frozenset[int]]) -> Tree:
    """The tree as it is fed from place 0: along each branch to its end; where it branches, in the order of places."""
    beside: list[list[tuple[float, int]]] = [[] for _ in range(count)]
    for one, other, metres in runs:
        beside[one].append((metres, other))
        beside[other].append((metres, one))
    parent, run_m, order = [-1] * count, np.zeros(count), []
    waiting, far = [0], set()
    seen = {0}
    while waiting:
        here = waiting.pop()
        order.append(here)
        for metres, there in sorted(beside[here], key=lambda run: run[1], reverse=True):
            if there in seen:
                continue
            seen.add(there)
            parent[there], run_m[there] = here, metres
            if frozenset((here, there)) in straight:
                far.add(there)
            waiting.append(there)
    return Tree(parent, run_m, order, far)
