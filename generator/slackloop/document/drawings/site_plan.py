"""The site plan to scale, where the job gives coordinates."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from slackloop.document.drawings.label_placement import leader, place_labels
from slackloop.document.drawings.lettering import text_width
from slackloop.document.drawings.svg import INK, SMALL_SIZE, WIDTH_PX, Canvas, Figure, Point
from slackloop.document.drawings.symbols import FULL, draw_legend, draw_scale_bar, draw_symbol
from slackloop.site.network import CONTROLLER

Line = tuple[Point, Point]

MARGIN = 28.0
TOP = 40.0
TALLEST = 460.0
LEAST_HALF = 2.0
"""Half the side of a box where boxes stand closest."""
CLOSE_PX = 11.0
"""Where runs are mostly shorter than this, ends, branches and every fifth box alone are named."""

DASH_BY_SURFACE: dict[str, tuple[float, str]] = {
    "lawn": (1.4, ""),
    "planting": (1.4, "9 3"),
    "gravel": (1.4, "1 3"),
    "path": (1.6, "2 2.5"),
    "paved": (1.6, "5 2.5"),
    "driveway": (1.6, "9 3 2 3"),
    "drive": (2.4, "9 3 2 3"),
    "road": (3.2, "6 2"),
    "building": (3.2, "1.5 3"),
}
"""Surface to line width and dash (drawing units): told apart without colour."""
CLOSURE_DASH = "4 4"


@dataclass(frozen=True)
class PlanBox:
    """A box, or the controller (id ``controller``), at its place in metres."""

    id: str
    x_m: float
    y_m: float
    has_device: bool = True
    electrode: bool = False
    worst: bool = False
    between: bool = False
    """Whether it has no coordinates of its own and stands between the boxes before and after it."""


@dataclass(frozen=True)
class PlanRun:
    """A run between two places and the surface over it."""

    from_id: str
    to_id: str
    surface: str
    closure: bool = False
    word: str = ""
    """The surface as it is written in the key; the surface itself where this is empty."""


def site_plan(id: str, boxes: Sequence[PlanBox], runs: Sequence[PlanRun], *, width_px: float = WIDTH_PX) -> Figure:
    """Draw boxes and runs to scale, the plan's y axis up the page; runs are drawn straight.

    Raises ``ValueError`` without boxes, for two boxes with one id, and for an unknown surface; a run whose
    end has no place is left out and counted in the description.
    """
    places = {box.id: box for box in boxes}
    if not boxes or len(places) != len(boxes):
        raise ValueError("a plan needs boxes, each with an id of its own")
    drawn = [run for run in runs if run.from_id in places and run.to_id in places]
    canvas = Canvas(id, "Site plan, to scale", _description(boxes, runs, len(drawn)), width_px)
    left, low = min(box.x_m for box in boxes), min(box.y_m for box in boxes)
    wide = max(max(box.x_m for box in boxes) - left, 1e-3)
    tall = max(max(box.y_m for box in boxes) - low, 1e-3)
    px_per_m = min((width_px - 2 * MARGIN) / wide, max(TALLEST, 0.95 * width_px) / tall)
    bottom = TOP + MARGIN + tall * px_per_m
    inset = (width_px - wide * px_per_m) / 2
    points = {box.id: (inset + (box.x_m - left) * px_per_m, bottom - (box.y_m - low) * px_per_m) for box in boxes}
    lines = [_draw_run(canvas, run, places, points) for run in drawn]
    ways = _ways_out(lines)
    lengths = sorted(math.dist(*line) for line in lines)
    usual = lengths[len(lengths) // 2] if lengths else width_px
    half = min(FULL, max(LEAST_HALF, usual * 0.25))
    symbols = [
        _draw_box(canvas, box, points[box.id], place, ways.get(points[box.id], ()), half)
        for place, box in enumerate(boxes, start=1)
    ]
    words = [box.id for box in boxes]
    for run, (start, end) in zip(drawn, lines, strict=True):
        if run.closure:
            symbols.append(_round(((start[0] + end[0]) / 2, (start[1] + end[1]) / 2), 2.0))
            words.append("ring")
    sizes = [text_width(word, SMALL_SIZE) for word in words]
    frame = 0.0, TOP - 8, width_px, bottom + MARGIN
    cores = [_round(points[box.id], half) for box in boxes] + symbols[len(boxes) :]
    labels = place_labels(
        symbols, sizes, SMALL_SIZE, lines, frame, _named_first(boxes, points, ways), cores, others=usual > CLOSE_PX
    )
    for word, label, symbol, size in zip(words, labels, symbols, sizes, strict=True):
        if label is None:
            continue
        canvas.text(label[0], label[1], word, size=SMALL_SIZE)
        link = leader(symbol, label, size, SMALL_SIZE)
        if link is not None:
            canvas.line(*link, width=0.5)
    unnamed = labels[: len(boxes)].count(None)
    _draw_up_arrow(canvas)
    y = _draw_key(canvas, boxes, drawn, bottom + MARGIN + 12, px_per_m)
    for remark in _remarks(boxes, unnamed):
        canvas.text(2, y + 8, remark, size=SMALL_SIZE)
        y += 18
    figure = canvas.figure(y)
    places_of_boxes = tuple(
        (box.id, points[box.id][0] / figure.width_px, points[box.id][1] / figure.height_px)
        for box in boxes
        if box.id != CONTROLLER
    )
    return replace(figure, spots=places_of_boxes)


def _remarks(boxes: Sequence[PlanBox], unnamed: int) -> Iterator[str]:
    """What the plan does not show, or shows by guess."""
    if unnamed:
        yield f"{'1 box number is' if unnamed == 1 else f'{unnamed} box numbers are'} left out: no space."
    if any(box.between for box in boxes):
        yield _between(boxes)


def _round(point: Point, reach: float) -> tuple[float, float, float, float]:
    return point[0] - reach, point[1] - reach, point[0] + reach, point[1] + reach


def _named_first(
    boxes: Sequence[PlanBox], points: Mapping[str, Point], ways: Mapping[Point, Sequence[float]]
) -> set[int]:
    """The controller, ends, branches and every fifth box: with their ids the others can be counted out."""
    told = (place for place, box in enumerate(boxes) if len(ways.get(points[box.id], ())) != 2)
    return {*told, *range(4, len(boxes), 5)}


def _between(boxes: Sequence[PlanBox]) -> str:
    """Say how many boxes have no coordinates and where they are drawn."""
    count = sum(box.between for box in boxes)
    who = "1 box has" if count == 1 else f"{count} boxes have"
    return f"{who} no coordinates: placed in line between the boxes before and after."


def _description(boxes: Sequence[PlanBox], runs: Sequence[PlanRun], drawn: int) -> str:
    """Return the plan in words."""
    count = sum(box.id != CONTROLLER for box in boxes)
    said = [f"Boxes drawn: {count}. Runs drawn, each straight: {drawn}. Up the page is the plan's y axis."]
    if drawn < len(runs):
        count = len(runs) - drawn
        said.append(f"{'1 run is' if count == 1 else f'{count} runs are'} left out: an end has no coordinates.")
    if any(box.between for box in boxes):
        said.append(_between(boxes))
    for words, ids in (
        ("Earth electrodes at", [box.id for box in boxes if box.electrode]),
        ("Lowest volts at", [box.id for box in boxes if box.worst]),
    ):
        if ids:
            said.append(f"{words} {', '.join(ids)}.")
    return " ".join(said)


def _kind(box: PlanBox) -> str:
    """Return which symbol a box has."""
    if box.id == CONTROLLER:
        return "controller"
    return "device" if box.has_device else "bare"


def _draw_run(canvas: Canvas, run: PlanRun, places: Mapping[str, PlanBox], points: Mapping[str, Point]) -> Line:
    """Draw a run, stopped short of open symbols; return it whole."""
    start, end = points[run.from_id], points[run.to_id]
    length = math.dist(start, end)
    shown = []
    for near, far, id in ((start, end, run.from_id), (end, start, run.to_id)):
        short = {"controller": 9.0, "bare": 6.0, "device": 0.0}[_kind(places[id])]
        share = short / length if length > 18 else 0.0
        shown.append((near[0] + (far[0] - near[0]) * share, near[1] + (far[1] - near[1]) * share))
    width, dash = (1.0, CLOSURE_DASH) if run.closure else DASH_BY_SURFACE[run.surface]
    canvas.line(shown[0], shown[1], width=width, dash=dash)
    return start, end


def _ways_out(lines: Sequence[Line]) -> dict[Point, list[float]]:
    """Return for each end the directions in which lines leave it, degrees, 0 to the right and 90 down the page."""
    ways: dict[Point, list[float]] = {}
    for start, end in lines:
        for near, far in ((start, end), (end, start)):
            if near != far:
                ways.setdefault(near, []).append(math.degrees(math.atan2(far[1] - near[1], far[0] - near[0])))
    return ways


def _draw_box(
    canvas: Canvas, box: PlanBox, point: Point, place: int, ways: Sequence[float], half: float
) -> tuple[float, float, float, float]:
    """Draw a box's symbols, the electrode on a side where no run leaves; return the room they take up."""
    x, y = point
    draw_symbol(canvas, x, y, _kind(box), name=f"box{place}", half=half)
    reach = 10.0 if box.worst else 7.0 if _kind(box) == "controller" else half + 1
    if box.worst:
        draw_symbol(canvas, x, y, "worst")
    if not box.electrode:
        return _round(point, reach)
    free = [side for side in (90.0, 0.0, 180.0) if all(abs((way - side + 180) % 360 - 180) > 50 for way in ways)]
    side = free[0] if free else 90.0
    if side == 90.0:
        draw_symbol(canvas, x, y + 13, "electrode")
        return x - reach, y - reach, x + reach, y + 18
    across = 1 if side == 0.0 else -1
    canvas.line((x + 5 * across, y), (x + 16 * across, y), width=1.3)
    draw_symbol(canvas, x + 16 * across, y + 6, "electrode")
    edges = sorted((x - reach * across, x + 23 * across))
    return edges[0], y - reach, edges[1], y + 11


def _draw_up_arrow(canvas: Canvas) -> None:
    """Say which way is up: the plan's own y axis, which need not be north."""
    x = canvas.width - 16
    canvas.line((x, 30), (x, 6), width=1.2)
    canvas.polygon([(x, 2), (x - 3, 10), (x + 3, 10)], fill=INK, stroke="none")
    canvas.text(x - 10, 14, "up: the plan's y axis", size=SMALL_SIZE, anchor="end")
    canvas.text(x - 10, 28, "(it may not be north)", size=SMALL_SIZE, anchor="end")


def _draw_key(canvas: Canvas, boxes: Sequence[PlanBox], runs: Sequence[PlanRun], y: float, px_per_m: float) -> float:
    """Draw scale bar, surfaces and symbols; return where the key ends."""
    draw_scale_bar(canvas, 2, y, px_per_m, 130)
    y += 34
    surfaces = [surface for surface in DASH_BY_SURFACE if any(r.surface == surface and not r.closure for r in runs)]
    written = {run.surface: run.word or run.surface for run in runs}
    keys = [(f"run, surface: {written[surface]}", *DASH_BY_SURFACE[surface]) for surface in surfaces]
    if any(run.closure for run in runs):
        keys.append(("ring closure", 1.6, CLOSURE_DASH))
    wide = max([172.0, *(56 + text_width(words, SMALL_SIZE) for words, _, _ in keys)])
    columns = max(1, int(canvas.width // wide))
    for place, (words, width, dash) in enumerate(keys):
        x, row = 2 + (place % columns) * wide, y + (place // columns) * 20
        canvas.line((x, row), (x + 40, row), width=width, dash=dash)
        canvas.text(x + 48, row + 4, words, size=SMALL_SIZE)
    y += -(-len(keys) // columns) * 20
    kinds = {_kind(box) for box in boxes}
    kinds |= {kind for box in boxes for kind, has in (("electrode", box.electrode), ("worst", box.worst)) if has}
    return draw_legend(canvas, y - 8, kinds) + 4
