"""The valve box in section: cable ends up above ground while you work, then coiled with the splices off the floor."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.handbook.figures.core_colour import draw_wire
from slackloop.handbook.figures.lettering import fit, value_lines
from slackloop.handbook.figures.measured import draw_dimension, draw_ground
from slackloop.handbook.figures.splice import draw_connector
from slackloop.handbook.figures.svg import INK, SMALL_SIZE, WIDTH_PX, Canvas, Figure, number

BOX_LEFT = 112.0
BOX_RIGHT = 232.0
GROUND = 172.0
BOX_DEPTH = 96.0
GRAVEL = 24.0
JACKET_SHADE = "#bdbdbd"
IN_X = 146.0
OUT_X = 198.0
TIP = 40.0
JACKET_TIP = 92.0


@dataclass(frozen=True)
class SlackLabels:
    """Finished words: ``slack`` in both units is what one cable end has, ``per`` says so ("on each cable end").

    ``colour_a`` and ``colour_b`` are the colour words of the cores.
    """

    slack: str
    per: str
    colour_a: str
    colour_b: str
    jacketed: bool = True


def slack_loop(id: str, labels: SlackLabels, *, width_px: float = WIDTH_PX) -> Figure:
    """Draw both states of the box, not to scale."""
    jacket = " The jacket ends inside the box." if labels.jacketed else ""
    description = (
        f"First picture: the cable comes up through the gravel into the box. Slack of {labels.slack} {labels.per} lets "
        f"both ends reach above ground to work on.{jacket} Second picture: the slack lies coiled in the box, the "
        "splices hang off the floor, and the lid is on. The floor is gravel."
    )
    canvas = Canvas(id, "Slack loop in the valve box", description, width_px)
    canvas.heading("1  While you work: ends above ground")
    _draw_box(canvas, GROUND, lid=False)
    _draw_rising_end(canvas, labels, IN_X, -1)
    _draw_rising_end(canvas, labels, OUT_X, 1)
    _draw_working_labels(canvas, labels)
    second = GROUND + BOX_DEPTH + GRAVEL + 86
    canvas.heading("2  Before you leave: coiled, lid on", second - 36)
    _draw_box(canvas, second, lid=True)
    _draw_coil(canvas, labels, second)
    _draw_closed_labels(canvas, labels, second)
    end = second + BOX_DEPTH + GRAVEL + 36
    canvas.text(2, end, "Not to scale", size=SMALL_SIZE)
    return canvas.figure(end + 6)


def _draw_box(canvas: Canvas, ground: float, *, lid: bool) -> None:
    """Draw ground, walls, gravel base and, if wanted, the lid."""
    draw_ground(canvas, 2, BOX_LEFT - 6, ground, name=f"ground-left-{'closed' if lid else 'open'}")
    draw_ground(canvas, BOX_RIGHT + 6, canvas.width - 2, ground, name=f"ground-right-{'closed' if lid else 'open'}")
    floor = ground + BOX_DEPTH
    for x in (BOX_LEFT, BOX_RIGHT - 5):
        canvas.rect(x, ground, 5, BOX_DEPTH - 14, fill=INK, opacity=0.25, width=1.2)
    if lid:
        canvas.rect(BOX_LEFT - 5, ground - 1, BOX_RIGHT - BOX_LEFT + 10, 7, radius=2, fill=INK, opacity=0.25, width=1.2)
    canvas.line((BOX_LEFT - 14, floor), (BOX_RIGHT + 14, floor), width=0.8)
    under = floor + GRAVEL
    pit = [(BOX_LEFT - 14, floor), (BOX_LEFT - 8, under), (BOX_RIGHT + 8, under), (BOX_RIGHT + 14, floor)]
    canvas.polyline(pit, width=0.8)
    for row in range(2):
        for column in range(13):
            x = BOX_LEFT - 3 + column * 10 + (5 if row else 0)
            if x < BOX_RIGHT + 5:
                canvas.circle((x, floor + 7 + row * 10), 3.2 if (row + column) % 2 else 2.4, width=0.8)


def _draw_jacket(canvas: Canvas, labels: SlackLabels, data: str) -> None:
    """Draw cable along path data: a jacket, or the bare pair of cores side by side."""
    if labels.jacketed:
        canvas.path(data, width=7.6)
        canvas.path(data, stroke=JACKET_SHADE, width=5.6)
    else:
        draw_wire(canvas, data, labels.colour_b, width=5.6)
        draw_wire(canvas, data, labels.colour_a, width=2.4)


def _draw_rising_end(canvas: Canvas, labels: SlackLabels, x: float, way: int) -> None:
    """Draw a cable end that comes in under the wall and stands up above ground, its cores free at the top."""
    entry = GROUND + BOX_DEPTH + 12
    side = 2.0 if way < 0 else canvas.width - 2
    bulge = x + 13 * way
    data = (
        f"M{number(side)} {number(entry)}L{number(x + 22 * way)} {number(entry)}"
        f"Q{number(x)} {number(entry)} {number(x)} {number(entry - 24)}"
        f"C{number(bulge)} {number(GROUND + 30)} {number(x - 13 * way)} {number(GROUND)} "
        f"{number(x)} {number(JACKET_TIP)}"
    )
    _draw_jacket(canvas, labels, data)
    for apart, colour in ((-1, labels.colour_a), (1, labels.colour_b)):
        tip = x + 8 * apart
        core = (
            f"M{number(x + 2 * apart)} {number(JACKET_TIP - 1)}"
            f"Q{number(tip)} {number(JACKET_TIP - 12)} {number(tip)} {number(TIP + 10)}"
        )
        draw_wire(canvas, core, colour, width=3)
        canvas.line((tip, TIP + 9), (tip, TIP), width=1.6)


def _draw_working_labels(canvas: Canvas, labels: SlackLabels) -> None:
    """Name the parts of the first picture."""
    entry = GROUND + BOX_DEPTH + 12
    x = BOX_RIGHT + 24
    draw_dimension(canvas, (x, TIP), (x, entry - 5), name="dim-slack", reach=(OUT_X + 14, x - 4))
    room = canvas.width - x - 12
    lines = ["Slack", *value_lines(labels.slack, SMALL_SIZE, room), *value_lines(labels.per, SMALL_SIZE, room)]
    canvas.lines(x + 8, 76, lines, size=SMALL_SIZE)
    _callout(canvas, 66, "both ends", "above ground", (IN_X - 9, TIP + 18))
    if labels.jacketed:
        _callout(canvas, 112, "the jacket", "ends here", (IN_X - 3, JACKET_TIP + 2))
    _callout(canvas, GROUND + 34, "valve box,", "lid off", (BOX_LEFT + 2, GROUND + 34))
    canvas.text(2, entry + 22, "run in", size=SMALL_SIZE)
    canvas.text(canvas.width - 2, entry + 22, "run out", size=SMALL_SIZE, anchor="end")
    canvas.text((BOX_LEFT + BOX_RIGHT) / 2, entry + 26, "gravel base", size=SMALL_SIZE, anchor="middle")


def _callout(canvas: Canvas, y: float, first: str, second: str, point: tuple[float, float]) -> None:
    """Write two short lines to the left and lead to a point."""
    canvas.lines(2, y, [fit(first, SMALL_SIZE, 94), fit(second, SMALL_SIZE, 94)], size=SMALL_SIZE)
    canvas.polyline([(98, y + 3), point], width=0.6)
    canvas.circle(point, 1.8, fill=INK, stroke="none")


def _draw_coil(canvas: Canvas, labels: SlackLabels, ground: float) -> None:
    """Draw the coiled slack on the floor and both splices hung above it."""
    floor = ground + BOX_DEPTH
    entry = floor + 12
    middle = (BOX_LEFT + BOX_RIGHT) / 2
    for way in (-1, 1):
        side = 2.0 if way < 0 else canvas.width - 2
        x = middle + 34 * way
        _draw_jacket(
            canvas,
            labels,
            f"M{number(side)} {number(entry)}L{number(x + 12 * way)} {number(entry)}"
            f"Q{number(x)} {number(entry)} {number(x)} {number(floor - 16)}",
        )
    for lift in (10.0, 18.0):
        start, far = (f"{number(middle + reach)} {number(floor - lift)}" for reach in (-40, 40))
        _draw_jacket(canvas, labels, f"M{start}A40 7 0 1 0 {far}A40 7 0 1 0 {start}")
    for way, colour in ((-1, labels.colour_a), (1, labels.colour_b)):
        x = middle + 18 * way
        for apart in (-4, 4):
            data = (
                f"M{number(middle + 30 * way)} {number(floor - 24)}Q{number(x + apart)} {number(floor - 34)} "
                f"{number(x + apart)} {number(floor - 46)}"
            )
            draw_wire(canvas, data, colour, width=2.6)
        top, mouth = floor - 78, floor - 46
        draw_connector(canvas, x - 9, top, 18, mouth - top, "")


def _draw_closed_labels(canvas: Canvas, labels: SlackLabels, ground: float) -> None:
    """Name the parts of the second picture."""
    floor = ground + BOX_DEPTH
    middle = (BOX_LEFT + BOX_RIGHT) / 2
    _callout(canvas, ground + 24, "splices hang", "off the floor", (middle - 24, ground + 34))
    _callout(canvas, ground + 64, "slack coiled", "in the box", (middle - 39, floor - 15))
    x = BOX_RIGHT + 16
    canvas.lines(x, ground + 24, ["lid on, flush", "with the ground"], size=SMALL_SIZE)
    canvas.polyline([(x - 3, ground + 20), (BOX_RIGHT + 3, ground + 4)], width=0.6)
    canvas.text(middle, floor + GRAVEL + 14, "gravel base", size=SMALL_SIZE, anchor="middle")
