"""The site plan, where boxes have coordinates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from slackloop.document.context import Context
from slackloop.document.drawings.site_plan import PlanBox, PlanRun, site_plan
from slackloop.document.drawings.svg import WIDTH_PX, Figure

CONTROLLER = "controller"
Place = tuple[float, float]
"""Easting and northing, metres."""


def site_drawing(context: Context, width_px: float = WIDTH_PX) -> Figure | None:
    """Boxes and runs to scale; nothing where fewer than two boxes have coordinates."""
    boxes, runs = plan_of(context)
    return site_plan("site-plan", boxes, runs, width_px=width_px) if sum(not box.between for box in boxes) > 2 else None


def plan_of(context: Context) -> tuple[list[PlanBox], list[PlanRun]]:
    """The boxes that have coordinates or stand between some that have, then the controller; every run."""
    job, network = context.job, context.network
    places = {place.where for place in context.analysis.electrodes.places}
    known = {i: box.at for i, box in enumerate(map(context.box, range(len(network.boxes)))) if box.at is not None}
    controller = job.path.controller_at or (0.0, 0.0)
    between = places_between(network.parent, [run.length_m for run in network.runs], known, controller)
    at = {context.network.boxes[i]: place for i, place in (known | between).items()}
    guessed = {network.boxes[i] for i in between}
    boxes = [
        PlanBox(
            id=box.id,
            x_m=at[box.id][0],
            y_m=at[box.id][1],
            has_device=bool(box.fitted),
            electrode=box.id in places,
            worst=box.id == context.values.worst_box,
            between=box.id in guessed,
        )
        for box in job.path.boxes
        if box.id in at
    ]
    boxes.append(PlanBox(CONTROLLER, *controller, has_device=False, electrode=CONTROLLER in places))
    runs = [
        PlanRun(run.from_id, run.to_id, run.surface, run.closure, context.surface(run.surface))
        for run in network.all_runs
    ]
    return boxes, runs


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
