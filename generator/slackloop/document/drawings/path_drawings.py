"""Drawings of the whole path: the one-line diagram and volts along it."""

from __future__ import annotations

from slackloop.document.context import Context
from slackloop.document.drawings.path_diagram import SHEET_PX, DiagramBox, DiagramClosure, path_diagram
from slackloop.document.drawings.svg import WIDTH_PX, Figure
from slackloop.document.drawings.volts_plot import VoltsLine, VoltsPoint, volts_plot
from slackloop.sections import format as fmt
from slackloop.site import effective_values as resolve
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
        "path-diagram", boxes, closures, controller_electrode="controller" in places, width_px=width_px,
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
    unit = "m" if context.units == "metric" else "ft"
    known = [need for need in needs if not is_unknown(need)]
    return volts_plot("volts-along-path", lines, max(known, default=None), unit=unit)


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
