"""Pictures of digging: services found by hand, depth, spoil, bed, and the layers of fill.

Pictures of finding what is buried before the dig: scanning, and reading a mark.
"""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.svg import INK
from slackloop.document.drawings.work.hand_tools import cable_face, fist, locator, spade
from slackloop.document.drawings.work.sketch import DARK, LIGHT, MID, PAPER, WIDE, Row, Sketch, WorkValues, both, told


def _trench(sketch: Sketch, left: float, right: float, top: float, bottom: float) -> None:
    """Soil with an open trench in it."""
    sketch.soil(0, top, WIDE, 116 - top)
    sketch.rect(left, top - 1, right - left, bottom - top + 1, fill=PAPER, stroke="none")
    sketch.polyline(((0, top), (left, top), (left, bottom), (right, bottom), (right, top), (WIDE, top)), width=1.8)


def _stones(sketch: Sketch, *places: tuple[float, float]) -> None:
    """Sharp stones, lying at these places."""
    for place in places:
        sketch.shape("M-8 5L-9-3L-2-8L7-6L9 3L3 6Z", MID, at=place)


@both
def dig_near_a_mark(values: WorkValues, right: bool) -> Drawing:
    """A service laid bare with a spade from the side; a machine's bucket over it."""
    words = (
        "A spade cuts thin slices from the side until the service is seen." if right
        else "A machine's bucket digs straight over the mark."
    )  # fmt: skip
    sketch = Sketch(f"mark-{'hand' if right else 'machine'}", "Digging near a mark", words)
    _trench(sketch, 34, 116, 44, 82)
    sketch.circle((98, 88), 9, fill=DARK, width=1.6)
    sketch.circle((98, 88), 4, fill=LIGHT)
    sketch.line((98, 44), (98, 24), width=2)
    sketch.shape("M0 0l18 5l-18 5z", DARK, at=(98, 14))
    sketch.label("mark", (122, 22), (116, 19), lead=False)
    sketch.label("service", (144, 96), (107, 88))
    if not right:
        sketch.shape("M-20-22L24-26L20 8L6 16L-10 10Z", MID, at=(72, 62), width=1.6)
        sketch.shape("M6 16l-2 9l-4-11M-4 12l-5 8l-2-10", INK, at=(72, 62))
        sketch.shape("M-14-22L-34-60L-24-62L2-24Z", MID, at=(72, 62), width=1.6)
        sketch.trouble((88, 82), 17)
        return sketch.drawing("A machine near a mark.", "wrong")
    spade(sketch, (76, 82), -24, scale=0.84)
    return sketch.drawing("By hand, from the side, thin slices.", "right")


@both
def spoil_back(values: WorkValues, right: bool) -> Drawing:
    """Spoil kept back from the edge; spoil at the edge."""
    words = "is kept back from the edge" if right else "lies at the edge and falls in"
    sketch = Sketch(f"spoil-{'back' if right else 'edge'}", "Spoil and the edge", f"The heap {words}.")
    _trench(sketch, 38, 82, 60, 108)
    shift = 44.0 if right else 0.0
    sketch.shape("M0 0Q14-30 34-34Q58-34 70 0Z", LIGHT, at=(86 + shift, 60), width=1.4)
    sketch.inscribe("spoil", (120 + shift, 48), (120 + shift, 44), bold=False)
    if right:
        sketch.line((82, 58), (82, 32), width=0.8)
        sketch.line((130, 58), (130, 32), width=0.8)
        room = told(values.spoil_back, 140, "kept back")
        sketch.dimension((82, 38), (130, 38), room, (102, 24))
        return sketch.drawing("Spoil kept back from the edge.", "right")
    sketch.shape("M0-5l5 4l-3 6l-6-2z", LIGHT, at=(72, 78))
    sketch.shape("M0-5l5 4l-3 6l-6-2z", LIGHT, at=(64, 98))
    sketch.trouble((84, 64), 16)
    sketch.label("edge breaks", (108, 92), (86, 70), bold=True)
    return sketch.drawing("Spoil at the edge: it falls in.", "wrong")


@both
def trench_depth(values: WorkValues, right: bool) -> Drawing:
    """Depth from the string line; depth from loose spoil."""
    words = "the string at finished ground" if right else "the top of loose spoil"
    sketch = Sketch(
        f"depth-{'string' if right else 'spoil'}",
        "Measuring the depth",
        f"A stick is set on the bottom; the depth is read at {words}.",
    )
    level = 46.0 if right else 28.0
    bottom = level + 60
    _trench(sketch, 64, 118, 46, bottom)
    sketch.shape("M0 0Q12-20 30-20Q44-18 52 0Z", LIGHT, at=(6, 46), width=1.4)
    sketch.rect(92, bottom - 90, 6, 90, fill=LIGHT)
    sketch.dashed((34, level), (164, level))
    sketch.dimension((125, level), (125, bottom), "", (130, 80))
    sketch.label(told(values.depth, 70, "dug\ndepth", most_rows=2), (130, 80), (125, 80), bold=True, lead=False)
    if right:
        sketch.label("stick", (78, 20), (92, 24), anchor="end")
        sketch.label("string", (164, 32), (150, 46), anchor="middle")
        return sketch.drawing("From the string, not from spoil.", "right")
    sketch.trouble((40, 28), 13)
    sketch.label("spoil", (30, 66), (32, 42), anchor="middle", bold=True)
    return sketch.drawing("From loose spoil: too shallow.", "wrong")


@both
def bed_the_cable(values: WorkValues, right: bool) -> Drawing:
    """Cable on a firm fine bed; cable that bridges over stones."""
    words = "lies on the bed all along" if right else "lies over stones with gaps under it"
    sketch = Sketch(
        f"bed-{'fine' if right else 'stones'}", "The bed under the cable", f"Along the trench: the cable {words}."
    )
    sketch.ground(90)
    if not right:
        _stones(sketch, (36, 84), (168, 84))
        sketch.shape("M-8 5L-9-3L-2-8L7-6L9 3L3 6Z", MID, at=(104, 81), scale=1.5)
        data = "M-4 83C12 83 18 70 36 70S58 81 72 81S88 63 104 63S124 81 138 81S152 70 168 70S192 83 208 83"
    else:
        sketch.rect(0, 70, WIDE, 20, fill=LIGHT, stroke="none")
        sketch.line((0, 70), (WIDE, 70), width=0.9)
        data = "M-4 63H208"
    sketch.path(data, width=12)
    sketch.path(data, stroke=MID, width=10)
    sketch.path(data, stroke=PAPER, width=1.6)
    sketch.label("cable", (48, 36), (48, 62 if right else 74), anchor="middle")
    if not right:
        sketch.trouble((104, 72), 15)
        sketch.label("hangs on a stone", (132, 44), (104, 66), anchor="middle", bold=True)
        return sketch.drawing("Stones: the jacket wears through.", "wrong")
    bed = told(f"bed {values.bedding}", 190, "bedding") if values.bedding else "bedding"
    sketch.inscribe(bed, (102, 84), (102, 80))
    return sketch.drawing("Fine bed, firm, all along.", "right")


def layers_and_tape(values: WorkValues) -> Row:
    """Bedding by hand, fill in layers and the tape well above the cable; the tape on the cable."""
    if not values.tape_depth:
        return (_layers(values, tape=0.0), _first_layer())
    return (_layers(values, tape=46.0), _layers(values, tape=77.0), _first_layer())


def _layers(values: WorkValues, *, tape: float) -> Drawing:
    low = tape > 60
    words = f" Warning tape lies {values.tape_depth} below finished ground." if tape and not low else ""
    if low:
        words = " The warning tape lies on the cable."
    sketch = Sketch(
        f"layers-{'low' if low else 'right'}",
        "Layers of fill",
        f"Bedding round the cable, then firm layers of fill.{words}",
    )
    _trench(sketch, 84, 148, 16, 106)
    sketch.rect(84, 76, 64, 30, fill=LIGHT, width=1)
    for y in (36, 56):
        sketch.line((84, y), (148, y), width=1.2)
    sketch.line((84, 16), (148, 16), width=1.8)
    cable_face(sketch, (116, 90))
    sketch.label("bedding", (72, 110), (90, 101), anchor="end")
    sketch.label("cable", (162, 98), (122, 90))
    sketch.label("firm\nlayers", (160, 28), (142, 27))
    if low:
        sketch.line((98, tape), (134, tape), width=4)
        sketch.trouble((116, 82), 15)
        sketch.label("tape", (68, 74), (99, tape), anchor="end", bold=True)
        return sketch.drawing("Tape on the cable: no warning.", "wrong")
    if tape:
        sketch.line((98, tape), (134, tape), width=4)
        sketch.label("tape", (162, 64), (132, tape), bold=True)
        sketch.dimension((75, 16), (75, tape), "", (75, 30))
        depth = told(values.tape_depth, 70, "as on\nthe card", most_rows=2)
        sketch.label(depth, (71, 31), (75, 31), anchor="end", lead=False)
        return sketch.drawing("Make each layer firm. Tape, print up.", "right")
    return sketch.drawing("Bedding, then firm layers.", "right")


def _first_layer() -> Drawing:
    sketch = Sketch("first-layer-stones", "The first layer", "Broken rock lies on the cable in place of bedding.")
    _trench(sketch, 76, 140, 16, 106)
    _stones(sketch, (90, 96), (108, 74), (128, 96), (128, 74), (88, 74), (108, 54), (128, 50), (88, 51))
    cable_face(sketch, (108, 92))
    sketch.trouble((108, 84), 16)
    sketch.label("rock", (154, 60), (128, 54), bold=True)
    sketch.label("cable", (154, 106), (114, 92))
    return sketch.drawing("Rock next to the cable.", "wrong")


@both
def scan_the_line(values: WorkValues, right: bool) -> Drawing:
    """The locator goes well past both sides of the line; it stays over the line and misses a service."""
    words = (
        "goes well past both sides of the line and finds a service beside it"
        if right
        else "stays over the line and misses a service beside it"
    )
    sketch = Sketch(f"scan-{'sides' if right else 'line'}", "Scan before the dig", f"A hand-held locator {words}.")
    sketch.ground(78)
    sketch.circle((146, 99), 8, fill=DARK, width=1.6)
    sketch.circle((146, 99), 3.5, fill=LIGHT)
    sketch.shape("M-3-20H3V8L0 14L-3 8Z", PAPER, at=(76, 78), width=1.4)
    sketch.label("line of run", (76, 108), (76, 94), anchor="middle")
    at = (146.0, 74.0) if right else (104.0, 74.0)
    locator(sketch, at)
    fist(sketch, (at[0], at[1] - 45), 180, scale=0.55)
    if right:
        sketch.arrow((128, 64), (20, 64))
        sketch.arrow((162, 64), (196, 64))
        sketch.label("both sides", (64, 40), (64, 60), anchor="middle", bold=True)
        sketch.label("found", (164, 108), (154, 102), bold=True, lead=False)
        return sketch.drawing("Scan well past both sides of the line.", "right")
    sketch.arrow((92, 64), (58, 64))
    sketch.trouble((146, 99), 14)
    sketch.label("missed", (164, 60), (154, 86), bold=True, anchor="middle")
    return sketch.drawing("Over the line only: it misses the rest.", "wrong")


def read_a_mark(values: WorkValues) -> Row:
    """What a painted mark says: its word, and the arrow that shows how the service goes on under the run."""
    sketch = Sketch(
        "read-mark",
        "Reading a mark",
        "From above: a painted line, the word WATER and an arrow. The service goes on past the paint, under the run.",
    )
    sketch.soil(0, 0, WIDE, 116)
    sketch.line((6, 62), (34, 62), width=6)
    sketch.line((102, 62), (124, 62), width=6)
    sketch.shape("M0-11L18 0L0 11Z", INK, at=(122, 62))
    sketch.label("WATER", (68, 66.5), (68, 62), anchor="middle", bold=True, lead=False)
    sketch.path("M144 62H204", width=2.4, dash="7 4")
    sketch.line((176, 0), (176, 116), width=1.2)
    for y in (20, 98):
        sketch.rect(173, y - 3, 6, 6, fill=INK)
    sketch.label("read the word", (62, 32), (68, 55), anchor="middle")
    sketch.label("run", (168, 24), (173, 20), anchor="end", lead=False)
    sketch.label("goes on here", (112, 100), (160, 64), anchor="middle", bold=True)
    return (sketch.drawing("Read the word; follow the arrow past the paint."),)
