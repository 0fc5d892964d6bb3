"""Everything in one valve box: runs with their slack loops, jacket ends, splices, device and solenoid leads."""

from __future__ import annotations

from collections.abc import Sequence

from slackloop.handbook.figures.box_device import DEVICE_WIDTH, PATH_LEADS, draw_device
from slackloop.handbook.figures.core_colour import draw_wire
from slackloop.handbook.figures.lettering import fit, wrap
from slackloop.handbook.figures.measured import draw_earth_symbol
from slackloop.handbook.figures.splice import draw_capsule
from slackloop.handbook.figures.svg import INK, SMALL_SIZE, WIDTH_PX, Canvas, Figure, Point, number, rounded_route
from slackloop.handbook.figures.wired_box import WiredBox, WiredRun, describe

TAIL_HEIGHT = 88.0
TEXT_ROOM = 172.0
JACKET_END = 88.0
LOOP_X = 44.0
LOOP_RADIUS = 10.0
CORE_A_DOWN = 51.0
CORE_B_DOWN = 73.0
FIRST_LANE = 184.0
LANES_WIDTH = 86.0
CAPSULE = 56.0
PITCH = 9.0
JACKET_SHADE = "#bdbdbd"

Core = tuple[tuple[Point, ...], str]
"""The first points of a core on its way to a splice, and its colour word."""


def box_wiring_figure(id: str, box: WiredBox, *, width_px: float = WIDTH_PX) -> Figure:
    """Draw one box's wiring: cable ends one under the other to the left, splices a and b to the right, device below.

    ``box.runs`` must hold at least one cable end, else ``ValueError``.
    """
    if not box.runs:
        raise ValueError(f"box {box.id} has no run")
    canvas = Canvas(id, f"Wiring of {box.id}", describe(box), width_px)
    canvas.heading(fit(f"{box.id}, {box.name}" if box.name else box.id, 12, width_px - 4))
    canvas.line((2, 21), (width_px - 2, 21), width=0.6)
    cores: tuple[list[Core], list[Core]] = ([], [])
    y = 26.0
    for place, run in enumerate(box.runs, start=1):
        for core, splice in zip(_draw_tail(canvas, run, y, f"tail{place}"), cores, strict=True):
            splice.append(core)
        y += TAIL_HEIGHT
    path_bottom = y
    if box.device is not None:
        for down, splice in zip(PATH_LEADS, cores, strict=True):
            splice.append((((DEVICE_WIDTH, y + 8 + down),), ""))
        path_bottom = y + 70
        y = draw_device(canvas, box.device, y + 8)
    path_bottom = _draw_splices(canvas, cores, 24.0, path_bottom)
    return canvas.figure(_draw_notes(canvas, box, max(y, path_bottom) + 8))


def _draw_tail(canvas: Canvas, run: WiredRun, top: float, name: str) -> tuple[Core, Core]:
    """Draw a cable end with its text, slack loop and jacket end; return where its cores a and b come out."""
    canvas.text(2, top + 14, fit(f"{run.label}, {run.length}", 12, TEXT_ROOM), bold=True)
    second = f"{run.cable}, slack {run.slack}" if run.slack else run.cable
    canvas.text(2, top + 28, fit(second, SMALL_SIZE, TEXT_ROOM), size=SMALL_SIZE)
    a, b = top + CORE_A_DOWN, top + CORE_B_DOWN
    middle = (a + b) / 2
    if run.jacketed:
        jacket = _looped(middle, LOOP_RADIUS)
        canvas.path(jacket, width=7.6)
        canvas.path(jacket, stroke=JACKET_SHADE, width=5.6, name=name)
        canvas.line((JACKET_END, middle - 5), (JACKET_END, middle + 5), width=1.6)
    else:
        draw_wire(canvas, _looped(middle + 3, LOOP_RADIUS + 2), run.colour_b, name=name)
        draw_wire(canvas, _looped(middle - 3, LOOP_RADIUS - 2), run.colour_a)
    for y, colour in ((a, run.colour_a), (b, run.colour_b)):
        canvas.text(JACKET_END + 22, y - 7, fit(colour, SMALL_SIZE, FIRST_LANE - JACKET_END - 30), size=SMALL_SIZE)
    start = JACKET_END + 1
    return (
        (((start, middle - 3), (start + 16, a)), run.colour_a),
        (((start, middle + 3), (start + 16, b)), run.colour_b),
    )


def _looped(y: float, radius: float) -> str:
    """Return path data of a cable end that makes one turn on its way in from the left at height ``y``."""
    top, r = number(y - 2 * radius), number(radius)
    return (
        f"M2 {number(y)}L{number(LOOP_X)} {number(y)}A{r} {r} 0 0 0 {number(LOOP_X)} {top}"
        f"A{r} {r} 0 0 0 {number(LOOP_X)} {number(y)}L{number(JACKET_END)} {number(y)}"
    )


def _draw_splices(canvas: Canvas, cores: tuple[list[Core], list[Core]], top: float, bottom: float) -> float:
    """Draw both splices to the right, half way down, and lead every core to its own; return the lowest y used."""
    count = len(cores[0])
    height = max(28.0, count * PITCH + 12)
    step = height + 44
    first = max((top + bottom) / 2 - step / 2, top + height / 2 + 18)
    x = canvas.width - 2 - CAPSULE
    pitch = min(9.0, LANES_WIDTH / (2 * count))
    for place, splice in enumerate(cores):
        centre = first + place * step
        lane = FIRST_LANE + (1 - place) * pitch * count
        _lead_cores(canvas, splice, (x, centre), (lane, pitch), "ab"[place])
        draw_capsule(canvas, x, centre - height / 2, CAPSULE, height, f"splice-{'ab'[place]}")
        canvas.circle((x + CAPSULE * 0.62, centre), 4, fill=INK)
        right = canvas.width - 2
        canvas.text(right, centre - height / 2 - 7, f"core {'ab'[place]}", size=SMALL_SIZE, anchor="end", bold=True)
        words = "1 wire" if count == 1 else f"{count} wires"
        canvas.text(right, centre + height / 2 + 13, words, size=SMALL_SIZE, anchor="end")
    return max(bottom, first + step + height / 2 + 18)


def _lead_cores(
    canvas: Canvas, splice: Sequence[Core], capsule: Point, lanes: tuple[float, float], letter: str
) -> None:
    """Lead the cores of one splice to its mouth, each in its own lane, so that none of them cross each other."""
    (x, centre), (lane, pitch) = capsule, lanes
    count = len(splice)
    mouths = [centre + (place - (count - 1) / 2) * PITCH for place in range(count)]
    down = [place for place in range(count) if splice[place][0][-1][1] <= mouths[place]]
    for place, (points, colour) in enumerate(splice):
        mouth = mouths[place]
        own = lane + pitch * (len(down) - 1 - place if place in down else place)
        route = [*points, (own, points[-1][1]), (own, mouth), (x + 13, mouth)]
        draw_wire(canvas, rounded_route(route, 5), colour, name=f"core-{letter}{place + 1}")
        start = f"M{number(x + 13)} {number(mouth)}"
        canvas.path(f"{start}L{number(x + CAPSULE * 0.62)} {number(centre)}", width=1.6)


def _draw_notes(canvas: Canvas, box: WiredBox, y: float) -> float:
    """Write the connectors used and whether an electrode stands here; return where the drawing ends."""
    room = canvas.width - 4
    canvas.line((2, y), (canvas.width - 2, y), width=0.6)
    y += 16
    notes = [f"Path splices: {box.connector}"]
    if box.solenoid_connector and box.device is not None and box.device.stations:
        notes.append(f"Solenoid splices: {box.solenoid_connector}")
    for note in notes:
        y = canvas.lines(2, y, wrap(note, SMALL_SIZE, room, 2), size=SMALL_SIZE)
    if box.electrode:
        draw_earth_symbol(canvas, 10, y - 10, width=1.4)
        canvas.text(24, y, "Earth electrode at this box", size=SMALL_SIZE)
        y += SMALL_SIZE * 1.25
    canvas.text(2, y, "Not to scale", size=SMALL_SIZE)
    return y + 6
