"""Where boxes without coordinates stand on the site plan: on the line between the boxes before and after them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

Place = tuple[float, float]


def places_between(
    parent: Sequence[int], run_m: Sequence[float], known: Mapping[int, Place], controller: Place
) -> dict[int, Place]:
    """Places, in metres, of the boxes that have none of their own and lie on a way to one that has.

    ``parent`` (-1 is the controller, parents first) and ``run_m`` give the tree; ``known`` are the places that the job
    states. Each box stands on the straight line from the one before it to the next known one, shared out by the length
    of the runs. Boxes beyond the last known one of their way stay without a place.
    """
    onward: dict[int, tuple[Place, float]] = {}
    for i in range(len(parent) - 1, -1, -1):
        if i in known:
            onward[i] = (known[i], 0.0)
        if i in onward and parent[i] >= 0:
            target, metres = onward[i]
            onward[parent[i]] = (target, metres + run_m[i])
    found: dict[int, Place] = {}
    for i, above in enumerate(parent):
        start = controller if above < 0 else known.get(above, found.get(above))
        if i in known or i not in onward or start is None:
            continue
        (east, north), left_m = onward[i]
        share = run_m[i] / (run_m[i] + left_m) if run_m[i] + left_m > 0 else 0.0
        found[i] = (start[0] + (east - start[0]) * share, start[1] + (north - start[1]) * share)
    return found
