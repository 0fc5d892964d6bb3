"""The site plan, where boxes have coordinates."""

from __future__ import annotations

from slackloop.document.context import Context
from slackloop.document.drawings.plan_places import places_between
from slackloop.document.drawings.site_plan import PlanBox, PlanRun, site_plan
from slackloop.document.drawings.svg import Figure

CONTROLLER = "controller"


def site_drawing(context: Context) -> Figure | None:
    """Boxes and runs to scale; nothing where fewer than two boxes have coordinates."""
    job, network = context.job, context.network
    places = {place.where for place in context.analysis.electrodes.places}
    known = {i: box.at for i, box in enumerate(map(context.box, range(len(network.boxes)))) if box.at is not None}
    if len(known) < 2:
        return None
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
    return site_plan("site-plan", boxes, runs)
