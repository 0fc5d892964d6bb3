"""Drawings of the whole path: the one-line diagram and volts along it.

Finished figures as blocks: a tall one as its sheets, each a drawing of its own.

The site plan, where boxes have coordinates.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from slackloop.document.blocks import Drawing
from slackloop.document.context import Context
from slackloop.document.drawings.path_diagram import SHEET_PX, DiagramBox, DiagramClosure, path_diagram
from slackloop.document.drawings.site_plan import PlanBox, PlanRun, site_plan
from slackloop.document.drawings.svg import WIDTH_PX, Figure
from slackloop.document.drawings.volts_plot import VoltsLine, VoltsPoint, volts_plot
from slackloop.document.inline import line
from slackloop.sections import format as fmt
from slackloop.site import effective_values as resolve
from slackloop.site.network import CONTROLLER
from slackloop.units.figure import is_unknown

MOST_LINES = 6
"""Lines in the plot of volts: the branches whose ends are lowest; more could not be told apart."""


def path_drawing(context: Context, width_px: float = WIDTH_PX, sheet_px: float = SHEET_PX) -> Figure:
    """The whole path as a one-line diagram."""
    network, units = context.network, context.units
    places = {place.where for place in context.analysis.electrodes.places}
    boxes = [
        DiagramBox(
            id=box_id,
            from_id=network.runs[index].from_id,
            run=fmt.told(network.runs[index].length, units),
            has_device=bool(context.box(index).fitted),
            electrode=box_id in places,
            worst=box_id == context.values.worst_box,
        )
        for index, box_id in enumerate(network.boxes)
    ]
    closures = [DiagramClosure(r.from_id, r.to_id, fmt.told(r.length, units)) for r in network.closures]
    return path_diagram(
        "path-diagram", boxes, closures, controller_electrode=CONTROLLER in places, width_px=width_px,
        sheet_px=sheet_px,
    )  # fmt: skip


def volts_drawing(context: Context) -> Figure | None:
    """Volts along the path, a line from the controller to each branch end; nothing where volts collapse.

    A branch end whose volts are not known has no line.
    """
    volts = context.analysis.volts
    standby, worst = volts.standby_volts, volts.worst_volts
    if None in standby or None in worst:
        return None
    ends = [
        index for index, below in enumerate(context.network.children)
        if not below and not is_unknown(worst[index]) and not is_unknown(standby[index])
    ]  # fmt: skip
    if not ends:
        return None
    ends.sort(key=lambda index: worst[index] or 0.0)
    needs = [context.job.devices[each.device].least_volts.si for box in context.job.path.boxes for each in box.fitted]
    lines = [VoltsLine(f"To {context.network.boxes[end]}", _points(context, end)) for end in ends[:MOST_LINES]]
    known = [need for need in needs if not is_unknown(need)]
    return volts_plot("volts-along-path", lines, max(known, default=None), context.units)


def _points(context: Context, end: int) -> tuple[VoltsPoint, ...]:
    """The controller and every box on the way to ``end``."""
    volts, supply = context.analysis.volts, resolve.lowest_volts(context.job)
    way: list[int] = []
    while end >= 0:
        way.append(end)
        end = context.network.parent[end]
    points = [VoltsPoint(0.0, supply, supply)]
    for index in reversed(way):
        path_m = context.network.path_m[index]
        points.append(VoltsPoint(path_m, volts.standby_volts[index] or 0.0, volts.worst_volts[index] or 0.0))
    return tuple(points)


def drawings_of(
    figure: Figure | None, caption: str = "", *, on: Literal["", "screen", "paper"] = "", paper_wide_mm: float = 0.0
) -> tuple[Drawing, ...]:
    """The drawings of a figure, with ``caption`` under each or its title; none for nothing to draw."""
    if figure is None:
        return ()
    return tuple(
        Drawing(
            each.id, each.svg, each.width_px, each.height_px, each.title, each.description, line(caption or each.title),
            on=on, spots=each.spots,
            paper_mm=(paper_wide_mm, paper_wide_mm * each.height_px / each.width_px) if paper_wide_mm else None,
        )
        for each in figure.sheets or (figure,)
    )


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
