"""The site plan, where boxes have coordinates."""

from __future__ import annotations

from slackloop.document.context import Context
from slackloop.document.drawings.site_plan import PlanBox, PlanRun, site_plan
from slackloop.document.drawings.svg import Figure

CONTROLLER = "controller"


def site_drawing(context: Context) -> Figure | None:
    """Boxes and runs to scale; nothing where fewer than two boxes have coordinates."""
    job, network = context.job, context.network
    places = {place.where for place in context.analysis.electrodes.places}
    boxes = [
        PlanBox(
            id=box.id,
            x_m=box.at[0],
            y_m=box.at[1],
            has_device=bool(box.fitted),
            electrode=box.id in places,
            worst=box.id == context.values.worst_box,
        )
        for box in job.path.boxes
        if box.at is not None
    ]
    if len(boxes) < 2:
        return None
    east, north = job.path.controller_at or (0.0, 0.0)
    boxes.append(PlanBox(CONTROLLER, east, north, has_device=False, electrode=CONTROLLER in places))
    runs = [
        PlanRun(run.from_id, run.to_id, run.surface, run.closure, context.surface(run.surface))
        for run in network.all_runs
    ]
    return site_plan("site-plan", boxes, runs)
