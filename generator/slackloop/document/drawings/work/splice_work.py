"""Pictures of the waterproof splice: which wires meet, how they lie, the tug, the copper, the seal."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.work.hand_tools import (
    connector,
    copper,
    core_a,
    core_b,
    face_of_core,
    fist,
    lead,
    pinch,
)
from slackloop.document.drawings.work.sketch import DARK, LIGHT, MID, PAPER, Row, Sketch, WorkValues, both, told


def wires_that_meet(values: WorkValues) -> Row:
    """The wires of core a that meet in an end box, a through box and a branch box."""
    return (_wires("end", 2), _wires("through", 3), _wires("branch", 4))


def _wires(box: str, count: int) -> Drawing:
    more = {"end": "", "through": ", the core out", "branch": ", the core out, the core of a branch"}[box]
    sketch = Sketch(
        f"wires-{box}", f"Splice in {'an' if box == 'end' else 'a'} {box} box",
        f"{count} wires meet in one connector: the core in{more} and one device lead.",
    )  # fmt: skip
    core_a(sketch, "M44 66H66Q90 66 92 44")
    if count > 2:
        core_a(sketch, "M160 66H138Q114 66 112 44")
    if count > 3:
        core_a(sketch, "M105 44V70Q106 94 132 94H144")
    lead(sketch, "M98 44V70Q97 94 72 94H60")
    connector(sketch, (102, 48), scale=1.3)
    sketch.inscribe(str(count), (102, 32), (102, 28))
    sketch.label("in", (37, 70), (44, 66), anchor="end", bold=True, lead=False)
    sketch.label("lead", (53, 98), (60, 94), anchor="end", lead=False)
    if count > 2:
        sketch.label("out", (166, 70), (160, 66), bold=True, lead=False)
    if count > 3:
        sketch.label("branch", (150, 98), (144, 94), bold=True, lead=False)
    return sketch.drawing(f"{box.capitalize()} box: {count} wires of core a.")


@both
def wires_of_one_core(values: WorkValues, right: bool) -> Drawing:
    """All wires of core a in one connector; core b among them."""
    words = "Core a in, core a out and one lead" if right else "Core a in, core b out and one lead"
    colour = f" ({values.core_a})" if values.core_a else ""
    words = words.replace("ore a", f"ore a{colour}", 1)
    sketch = Sketch(f"meet-{'alike' if right else 'mixed'}", "Which wires meet", f"{words} go into one connector.")
    core_a(sketch, "M46 84H70Q92 84 94 44")
    out = core_a if right else core_b
    out(sketch, "M152 84H134Q112 84 110 44")
    lead(sketch, "M102 44V106")
    connector(sketch, (102, 50), scale=1.3)
    sketch.label("connector", (70, 30), (84, 26), anchor="end")
    sketch.label("a in", (40, 88), (46, 84), anchor="end", bold=True, lead=False)
    sketch.label("a out" if right else "b out", (157, 88), (152, 84), bold=True, lead=False)
    sketch.label("device lead", (110, 110), (104, 106), lead=False)
    if not right:
        sketch.trouble((120, 64), 15)
        return sketch.drawing("Core b among core a: a short.", "wrong")
    return sketch.drawing("All wires of core a in one connector.", "right")


def bared_in_the_connector(values: WorkValues) -> Row:
    """Bared length in the connector: right, too long, too short."""
    strip = told(values.strip, 124, "as on the pack")
    return (_gripped("right", strip, 96), _gripped("long", "too long", 66), _gripped("short", "too short", 122))


def _gripped(name: str, told: str, start: float) -> Drawing:
    words = {
        "right": f"The copper, bared {told}, lies wholly inside the body and the grip.",
        "long": "Bare copper is left outside the body.",
        "short": "The grip closes on insulation.",
    }[name]
    sketch = Sketch(f"grip-{name}", "Bared length in the connector", words)
    sketch.shape("M88 22h52q12 0 12 12v30q0 12-12 12h-52z", LIGHT, width=1.6)
    copper(sketch, f"M{start - 4} 49H138", 5)
    core_a(sketch, f"M-4 49H{start}", 11)
    for top in (32, 58):
        sketch.rect(108, top, 32, 8, radius=3, fill=DARK)
    sketch.label("body", (166, 22), (147, 25))
    sketch.label("grip", (166, 58), (140, 62))
    sketch.line((start, 60), (start, 96), width=0.8)
    sketch.line((139, 56), (139, 96), width=0.8)
    sketch.dimension((start, 90), (139, 90), told, ((start + 139) / 2, 110))
    if name == "long":
        sketch.trouble((76, 49), 13)
        return sketch.drawing("Too long: bare copper outside.", "wrong")
    if name == "short":
        sketch.trouble((117, 49), 14)
        return sketch.drawing("Too short: it grips insulation.", "wrong")
    return sketch.drawing("All copper inside the grip.", "right")


@both
def line_up_the_ends(values: WorkValues, right: bool) -> Drawing:
    """Ends of insulation in one line; one wire too far back."""
    words = "The insulation of all wires ends in one line." if right else "One wire is too far back."
    sketch = Sketch(f"line-{'up' if right else 'back'}", "Lining up the ends", words)
    shift = 0.0 if right else 26.0
    for y, move, draw in ((40.0, 0.0, core_a), (53.0, 0.0, lead), (66.0, shift, core_a)):
        copper(sketch, f"M{116 - move} {y}H{172 - move}", 4.4)
        draw(sketch, f"M56 {y}H{120 - move}", 9)
    pinch(sketch, (84, 52), flip=True)
    sketch.dashed((120, 16), (120, 88))
    if not right:
        sketch.trouble((104, 67), 13)
        sketch.label("short in the grip", (140, 108), (110, 76), anchor="middle", bold=True)
        return sketch.drawing("One wire is too far back.", "wrong")
    sketch.label("insulation ends here", (134, 104), (120, 88), anchor="middle")
    return sketch.drawing("Insulation ends in one line.", "right")


def tug_each_wire(values: WorkValues) -> Row:
    """Pull each wire by itself; then no copper outside, or copper outside."""
    return (_tug(), _mouth(outside=False), _mouth(outside=True))


def _tug() -> Drawing:
    sketch = Sketch("tug", "Pull each wire", "A fist holds the connector still. A pinch pulls one wire by itself.")
    core_a(sketch, "M4 28C40 28 70 40 108 46")
    lead(sketch, "M-4 52H108")
    core_a(sketch, "M36 82C60 74 76 62 108 56")
    sketch.shape("M0-20h44q12 0 12 12v16q0 12-12 12h-44z", MID, at=(104, 51), width=1.6)
    fist(sketch, (140, 50))
    pinch(sketch, (62, 73), -16, flip=True, scale=0.8)
    sketch.arrow((118, 104), (74, 104))
    sketch.label("hold still", (140, 20), (140, 38), anchor="middle", bold=True)
    return sketch.drawing("Hold it still. Pull each wire alone.")


def _mouth(*, outside: bool) -> Drawing:
    words = (
        "Bare copper of one wire is seen below the body."
        if outside
        else "All copper is inside; only insulation leaves the body."
    )
    sketch = Sketch(f"copper-{'outside' if outside else 'inside'}", "Where the wires leave the connector", words)
    sketch.shape("M64 66V24q0-14 14-14h32q14 0 14 14v42z", LIGHT, width=2)
    for x, low in ((78, 54), (94, 54), (110, 84 if outside else 54)):
        copper(sketch, f"M{x} {low + 4}V22", 4)
    core_a(sketch, "M78 50V78Q78 92 60 114", 9)
    lead(sketch, "M94 50V118", 7)
    core_a(sketch, f"M110 {80 if outside else 50}V{86 if outside else 78}Q110 94 128 114", 9)
    sketch.dashed((44, 66), (150, 66))
    sketch.label("edge", (40, 70), (45, 66), anchor="end", lead=False)
    if outside:
        sketch.trouble((110, 73), 13)
        sketch.label("bare\ncopper", (148, 88), (113, 74), bold=True)
        return sketch.drawing("Copper outside the body.", "wrong")
    sketch.label("insulation", (140, 92), (114, 86))
    return sketch.drawing("Only insulation leaves the body.", "right")


@both
def seal_round_each_wire(values: WorkValues, right: bool) -> Drawing:
    """The seal closed round every wire, whatever it is made of; a gap and a wire at the wall."""
    words = "The seal lies round every wire." if right else "One wire lies at the wall, with a gap beside it."
    sketch = Sketch(
        f"seal-{'round' if right else 'gap'}", "The seal round the wires", f"A closed connector, cut across. {words}"
    )
    sketch.circle((78, 58), 46, fill=MID, width=1.6)
    sketch.circle((78, 58), 39, fill=LIGHT)
    last = (78, 76) if right else (104, 72)
    face_of_core(sketch, (60, 46), 11, banded=True)
    face_of_core(sketch, (96, 46), 11, banded=True)
    if not right:
        sketch.shape("M82 80q6-14 11-6t2 14q-8 6-13-8z", PAPER)
    face_of_core(sketch, last, 11, banded=True)
    sketch.label("body", (144, 22), (108, 28))
    sketch.label("seal", (14, 110), (52, 78))
    if not right:
        sketch.trouble((98, 78), 19)
        sketch.label("gap", (144, 96), (90, 82), bold=True)
        return sketch.drawing("A gap, and a wire at the wall.", "wrong")
    sketch.label("wire", (144, 92), (86, 80))
    return sketch.drawing("Closed round every wire.", "right")
