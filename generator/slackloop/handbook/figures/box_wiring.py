"""Everything in one valve box: runs with their slack loops, jacket ends, splices, device and solenoid leads."""

from __future__ import annotations

from slackloop.handbook.figures.box_device import DEVICE_WIDTH, PATH_LEADS, draw_device
from slackloop.handbook.figures.core_colour import draw_wire
from slackloop.handbook.figures.lettering import fit, wrap
from slackloop.handbook.figures.measured import draw_earth_symbol
from slackloop.handbook.figures.splice import CONNECTOR_NOTE, draw_connector
from slackloop.handbook.figures.svg import INK, SMALL_SIZE, WIDTH_PX, Canvas, Figure, number, rounded_route
from slackloop.handbook.figures.wire_routes import PITCH, Core, place_splices, routes
from slackloop.handbook.figures.wired_box import WiredBox, WiredRun, describe

TAIL_HEIGHT = 112.0
TEXT_ROOM = 172.0
JACKET_END = 88.0
LOOP_X = 44.0
LOOP_RADIUS = 10.0
CORE_A_DOWN = 66.0
CORE_B_DOWN = 88.0
FIRST_LANE = 184.0
LANES_WIDTH = 86.0
CAPSULE = 56.0
MOUTH = 13.0
JACKET_SHADE = "#bdbdbd"
LEAN_TAIL_HEIGHT = 78.0
LENGTH_AND_CABLE = 28.0
"""Room that the lines of a run's length and cable take in a cable end (drawing units)."""


def box_wiring_figure(id: str, box: WiredBox, *, width_px: float = WIDTH_PX, lean: bool = False) -> Figure:
    """Draw one box's wiring: cable ends one under the other to the left, splices a and b to the right, device below.

    ``lean`` leaves out the heading, lengths, cables and notes, where they stand beside the drawing.
    ``box.runs`` must hold at least one cable end, else ``ValueError``.
    """
    if not box.runs:
        raise ValueError(f"box {box.id} has no run")
    canvas = Canvas(id, f"Wiring of {box.id}", describe(box), width_px)
    if not lean:
        canvas.heading(fit(f"{box.id}, {box.name}" if box.name else box.id, 12, width_px - 4))
        canvas.line((2, 21), (width_px - 2, 21), width=0.6)
    cores: tuple[list[Core], list[Core]] = ([], [])
    top = y = 0.0 if lean else 26.0
    for place, run in enumerate(box.runs, start=1):
        for core, splice in zip(_draw_tail(canvas, run, y, f"tail{place}", lean), cores, strict=True):
            splice.append(core)
        y += LEAN_TAIL_HEIGHT if lean else TAIL_HEIGHT
    path_bottom = y
    if box.device is not None:
        for down, splice in zip(PATH_LEADS, cores, strict=True):
            splice.append((((DEVICE_WIDTH, y + 8 + down),), ""))
        path_bottom = y + 70
        y = draw_device(canvas, box.device, y + 8)
    path_bottom = _draw_splices(canvas, cores, top - 2 + (14 if lean else 0), path_bottom)
    if lean:
        return canvas.figure(max(y, path_bottom))
    return canvas.figure(_draw_notes(canvas, box, max(y, path_bottom) + 8))


def _draw_tail(canvas: Canvas, run: WiredRun, top: float, name: str, lean: bool) -> tuple[Core, Core]:
    """Draw a cable end with its text, slack loop and jacket end; return where its cores a and b come out."""
    canvas.text(2, top + 14, fit(run.label, 12, TEXT_ROOM), bold=True)
    if lean:
        top -= LENGTH_AND_CABLE
    else:
        for down, line in ((28, run.length), (42, run.cable)):
            canvas.text(2, top + down, fit(line, SMALL_SIZE, TEXT_ROOM), size=SMALL_SIZE)
    if run.slack:
        slack = fit(f"slack {run.slack}", SMALL_SIZE, TEXT_ROOM)
        canvas.text(2, top + CORE_B_DOWN + 15, slack, size=SMALL_SIZE)
    a, b = top + CORE_A_DOWN, top + CORE_B_DOWN
    middle = (a + b) / 2
    if not run.slack and not run.jacketed:
        for offset, colour in ((3.0, run.colour_b), (-3.0, run.colour_a)):
            draw_wire(canvas, _straight(middle + offset), colour, name=name if offset > 0 else "")
    elif run.jacketed:
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


def _straight(y: float) -> str:
    """Return path data of leads without slack that come in from the left at height ``y``."""
    return f"M2 {number(y)}L{number(JACKET_END)} {number(y)}"


def _looped(y: float, radius: float) -> str:
    """Return path data of a cable end that makes one turn on its way in from the left at height ``y``."""
    top, r = number(y - 2 * radius), number(radius)
    return (
        f"M2 {number(y)}L{number(LOOP_X)} {number(y)}A{r} {r} 0 0 0 {number(LOOP_X)} {top}"
        f"A{r} {r} 0 0 0 {number(LOOP_X)} {number(y)}L{number(JACKET_END)} {number(y)}"
    )


def _draw_splices(canvas: Canvas, cores: tuple[list[Core], list[Core]], top: float, bottom: float) -> float:
    """Draw both splices to the right and lead every core to its own; return the lowest y used."""
    count = len(cores[0])
    height = max(28.0, count * PITCH + 12)
    right = canvas.width - 2
    x = right - CAPSULE
    pitch = min(9.0, LANES_WIDTH / (2 * count))
    lanes = (FIRST_LANE + pitch * count, FIRST_LANE)
    centres = place_splices(cores, lanes, pitch, x, height, top, bottom)
    for letter, splice, centre, lane in zip("ab", cores, centres, lanes, strict=True):
        for place, route in enumerate(routes(splice, centre, lane, pitch, x + MOUTH), start=1):
            draw_wire(canvas, rounded_route(route, 5), splice[place - 1][1], name=f"core-{letter}{place}")
            start = f"M{number(x + MOUTH)} {number(route[-1][1])}"
            canvas.path(f"{start}L{number(x + CAPSULE * 0.62)} {number(centre)}", width=1.6)
        draw_connector(canvas, x, centre - height / 2, CAPSULE, height, f"splice-{letter}")
        canvas.circle((x + CAPSULE * 0.62, centre), 4, fill=INK)
        canvas.text(right, centre - height / 2 - 7, f"core {letter}", size=SMALL_SIZE, anchor="end", bold=True)
        words = "1 wire" if count == 1 else f"{count} wires"
        canvas.text(right, centre + height / 2 + 13, words, size=SMALL_SIZE, anchor="end")
    return max(bottom, centres[1] + height / 2 + 18)


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
    y = canvas.lines(2, y, wrap(f"Not to scale. {CONNECTOR_NOTE}", SMALL_SIZE, room, 2), size=SMALL_SIZE)
    return y - SMALL_SIZE * 1.25 + 6
