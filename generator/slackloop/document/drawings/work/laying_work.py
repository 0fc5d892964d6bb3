"""Pictures of what goes into the ground: the cable off the reel, over an edge, its ends, sleeves, and earth rods."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.svg import INK
from slackloop.document.drawings.work.hand_tools import cable, cable_face, cap, device, fist
from slackloop.document.drawings.work.sketch import DARK, LIGHT, MID, PAPER, WIDE, Row, Sketch, WorkValues, both, told


@both
def turn_the_reel(values: WorkValues, right: bool) -> Drawing:
    """The reel turns on its stand; coils lifted over the flange twist the cable."""
    words = (
        "turns on a stand and the cable comes off its top"
        if right
        else "lies on its side and coils are lifted over its flange"
    )
    sketch = Sketch(f"reel-{'turned' if right else 'lifted'}", "Off the reel", f"The reel {words}.")
    sketch.line((0, 106), (WIDE, 106), width=1.8)
    if right:
        cable(sketch, "M60 30C110 26 150 50 208 88", 7)
        sketch.circle((60, 62), 40, fill=PAPER, width=1.8)
        sketch.circle((60, 62), 32, fill=LIGHT)
        sketch.circle((60, 62), 6, fill=DARK)
        sketch.path("M36 106L60 62L84 106", width=4)
        sketch.arrow((124, 62), (164, 86))
        sketch.label("from the top", (144, 24), (112, 37), anchor="middle")
        return sketch.drawing("Turn the reel. Walk the cable out.", "right")
    for top in (62.0, 98.0):
        sketch.rect(24, top, 84, 8, radius=2, fill=PAPER, width=1.8)
    sketch.rect(34, 70, 64, 28, fill=LIGHT)
    cable(sketch, "M90 82C128 74 112 40 82 46S76 22 104 22S128 62 152 62S150 92 204 92", 6)
    sketch.trouble((92, 34), 22)
    sketch.label("kinks", (142, 34), (113, 34), bold=True)
    return sketch.drawing("Coils over the flange: kinks.", "wrong")


@both
def over_an_edge(values: WorkValues, right: bool) -> Drawing:
    """Rollers carry the cable over the edge of paving; the cable dragged over it."""
    words = "runs over a smooth guard and rollers" if right else "is dragged over the bare edge"
    sketch = Sketch(f"edge-{'roller' if right else 'bare'}", "Over an edge", f"The cable {words} into the trench.")
    sketch.soil(0, 60, 104, 56)
    sketch.soil(104, 106, 100, 10)
    sketch.polyline(((0, 60), (104, 60), (104, 106), (WIDE, 106)), width=1.8)
    sketch.rect(62, 54, 42, 12, fill=MID, width=1.6)
    if right:
        for x, y in ((26, 50), (72, 46)):
            sketch.circle((x, y), 7, fill=PAPER, width=1.6)
            sketch.circle((x, y), 2, fill=INK)
        sketch.path("M92 54Q108 54 108 74", width=5)
        cable(sketch, "M-4 38H80Q118 38 122 70Q126 98 208 98", 8)
        sketch.label("roller", (30, 84), (26, 54), anchor="middle")
        sketch.label("guard", (142, 60), (108, 68))
        return sketch.drawing("Rollers, and a guard at the edge.", "right")
    cable(sketch, "M-4 47H96Q108 47 108 62Q112 98 208 98", 8)
    sketch.trouble((104, 54), 14)
    sketch.label("scrapes", (134, 46), (110, 54), bold=True)
    return sketch.drawing("Dragged over an edge.", "wrong")


@both
def lay_with_waves(values: WorkValues, right: bool) -> Drawing:
    """Easy waves from side to side; a cable pulled straight."""
    words = "lies in easy waves from side to side" if right else "is pulled straight"
    sketch = Sketch(f"waves-{'easy' if right else 'none'}", "Waves in the trench", f"From above: the cable {words}.")
    sketch.soil(0, 0, WIDE, 30)
    sketch.soil(0, 80, WIDE, 36)
    for y in (30, 80):
        sketch.line((0, y), (WIDE, y), width=1.8)
    cable(sketch, "M-6 62Q17 30 40 55T86 55T132 55T178 55T224 55" if right else "M-6 55H210", 8)
    sketch.label("trench, from above", (112, 22), (170, 30), anchor="middle", lead=False)
    if not right:
        sketch.label("pulled tight", (102, 100), (102, 59), anchor="middle", bold=True)
        return sketch.drawing("Straight: no slack when soil moves.", "wrong")
    sketch.label("easy waves", (102, 100), (86, 62), anchor="middle", bold=True)
    return sketch.drawing("Easy waves, never pulled straight.", "right")


def beside_the_pipe(values: WorkValues) -> Row:
    """The cable beside the pipe; the cable over it, where a spade meets it first."""
    return (_pipe(over=False), _pipe(over=True)) if values.with_pipe else ()


def _pipe(*, over: bool) -> Drawing:
    words = "over the pipe" if over else "beside the pipe, on the bed"
    sketch = Sketch(
        f"pipe-{'over' if over else 'beside'}", "Cable and pipe", f"The trench cut across: the cable lies {words}."
    )
    sketch.soil(0, 20, WIDE, 96)
    sketch.rect(40, 19, 84, 87, fill=PAPER, stroke="none")
    sketch.rect(40, 92, 84, 14, fill=LIGHT, stroke="none")
    sketch.polyline(((0, 20), (40, 20), (40, 106), (124, 106), (124, 20), (WIDE, 20)), width=1.8)
    sketch.circle((94, 73), 19, fill=PAPER, width=3)
    at = (94.0, 46.0) if over else (58.0, 86.0)
    cable_face(sketch, at)
    sketch.label("pipe", (140, 84), (112, 80))
    sketch.label("bed", (140, 108), (112, 100))
    if over:
        sketch.trouble(at, 13)
        sketch.label("cable", (140, 46), (101, 46), bold=True)
        return sketch.drawing("Over the pipe: dug up first.", "wrong")
    sketch.label("cable", (66, 44), (58, 80), anchor="middle", bold=True)
    return sketch.drawing("Beside or under the pipe.", "right")


@both
def cap_the_end(values: WorkValues, right: bool) -> Drawing:
    """An end capped and tied high; an open end in a puddle."""
    words = "is capped and tied to a stake above the ground" if right else "lies open in a puddle"
    sketch = Sketch(f"end-{'tied' if right else 'wet'}", "The end of a run", f"The end of the cable {words}.")
    sketch.ground(84)
    sketch.shape("M-4-70H4V34L0 42L-4 34Z", PAPER, at=(124, 84), width=1.4)
    if not right:
        cable(sketch, "M-6 106H30Q48 106 52 86Q58 68 76 78L84 82", 9)
        sketch.shape("M-36 0Q0 12 40 0Z", MID, at=(86, 84))
        sketch.trouble((82, 81), 16)
        sketch.label("stake", (146, 22), (129, 22))
        sketch.label("takes in water", (58, 50), (82, 74), anchor="middle", bold=True)
        return sketch.drawing("An open end in the wet.", "wrong")
    cable(sketch, "M-6 106H92Q114 106 114 84V38", 9)
    cap(sketch, (114, 34), -90)
    sketch.line((107, 52), (130, 50), width=2.4)
    sketch.line((107, 57), (130, 55), width=2.4)
    sketch.label("cap", (84, 32), (106, 28), anchor="end", bold=True)
    sketch.label("tie", (146, 58), (130, 53))
    sketch.label("stake", (146, 22), (129, 22))
    return sketch.drawing("Capped at once and tied high.", "right")


@both
def sleeve_past_the_edge(values: WorkValues, right: bool) -> Drawing:
    """A sleeve that reaches past both edges of the surface; one that ends under it."""
    words = "reaches past both edges of the surface" if right else "ends under the surface"
    sketch = Sketch(f"sleeve-{'past' if right else 'short'}", "The sleeve", f"Along the crossing: the sleeve {words}.")
    sketch.ground(38)
    sketch.hatched(52, 30, 100, 16)
    ends = (24, 180) if right else (68, 136)
    cable(sketch, "M-6 76H210", 7)
    sketch.rect(ends[0], 68, ends[1] - ends[0], 16, fill=PAPER, width=1.8)
    sketch.path(f"M{ends[0]} 76H{ends[1]}", width=1.2, dash="5 4")
    for x in (52, 152):
        sketch.dashed((x, 46), (x, 86))
    sketch.label("surface", (102, 22), (102, 30), anchor="middle", lead=False)
    sketch.label("sleeve", (102, 104), (102, 84), anchor="middle")
    if not right:
        sketch.trouble((144, 76), 14)
        return sketch.drawing("It ends under the surface.", "wrong")
    sketch.label("past the\nedge", (198, 97), (166, 84), anchor="end", bold=True)
    return sketch.drawing("It reaches past both edges.", "right")


@both
def smooth_mouth(values: WorkValues, right: bool) -> Drawing:
    """A sleeve's mouth made smooth; a mouth with a burr."""
    words = "is smooth and rounded" if right else "has a burr that cuts the jacket"
    sketch = Sketch(
        f"mouth-{'smooth' if right else 'burr'}",
        "The mouth of a sleeve",
        f"The sleeve's mouth {words}. A fist pulls the cable.",
    )
    cable(sketch, "M-6 56H60Q98 56 128 68T208 74", 13)
    top, low = (
        "M-4 32H90Q98 32 98 37Q98 42 90 42H-4Z", "M-4 70H90Q98 70 98 75Q98 80 90 80H-4Z"
    ) if right else ("M-4 32H94V42L98 49L88 42H-4Z", "M-4 70H88L98 64L94 74V80H-4Z")  # fmt: skip
    sketch.shape(top, MID, width=1.6)
    sketch.shape(low, MID, width=1.6)
    fist(sketch, (162, 72), scale=0.8)
    sketch.label("sleeve", (44, 102), (44, 76), anchor="middle")
    if not right:
        sketch.trouble((95, 64), 14)
        sketch.label("burr", (124, 34), (97, 60), bold=True)
        return sketch.drawing("A burr cuts the jacket.", "wrong")
    sketch.label("no burr", (120, 34), (97, 42), bold=True)
    return sketch.drawing("Smooth mouths, felt with a glove.", "right")


def _rod(sketch: Sketch, x: float, top: float, bottom: float) -> None:
    """An earth rod in the ground."""
    sketch.shape(
        f"M{x - 2.6:.1f} {top}H{x + 2.6:.1f}V{bottom - 6}L{x} {bottom}L{x - 2.6:.1f} {bottom - 6}Z", MID, width=1.4
    )


@both
def rod_clear_of_cable(values: WorkValues, right: bool) -> Drawing:
    """The rod well clear of the cable; the rod beside it."""
    words = f"{values.clear_of_cable or 'well'} clear of the cable" if right else "close beside the cable"
    sketch = Sketch(f"rod-{'clear' if right else 'near'}", "Rod and cable", f"The earth rod is {words}.")
    sketch.ground(30)
    rod = 158.0 if right else 60.0
    cable_face(sketch, (38, 62))
    _rod(sketch, rod, 22, 108)
    sketch.label("cable", (28, 88), (38, 68), anchor="middle")
    if not right:
        sketch.label("rod", (84, 106), (63, 102))
        sketch.trouble((50, 60), 20)
        sketch.label("too near", (96, 64), (66, 60), bold=True)
        return sketch.drawing("Too near: surges reach the cable.", "wrong")
    sketch.label("rod", (136, 94), (155, 88), anchor="end")
    clear = told(values.clear_of_cable, 110, "as on the card", most_rows=2)
    sketch.dimension((45, 62), (155, 62), clear, (100, 44))
    return sketch.drawing("Rod clear of the cable.", "right")


@both
def earth_lead_straight(values: WorkValues, right: bool) -> Drawing:
    """The earth lead short and straight; the lead in a coil."""
    words = "goes short and straight to the rod" if right else "is coiled"
    sketch = Sketch(f"earth-{'straight' if right else 'coil'}", "The earth lead", f"The earth lead {words}.")
    sketch.ground(62)
    _rod(sketch, 160, 44, 112)
    device(sketch, 22, 22, 48, 30)
    if not right:
        sketch.path("M70 38H100C126 38 126 16 110 16S94 38 118 38S138 16 124 16S112 40 136 44L156 50", width=3)
    else:
        sketch.path("M70 38L156 50", width=3)
    sketch.rect(153, 46, 14, 9, radius=2, fill=DARK)
    sketch.label("surge part", (46, 78), (46, 52), anchor="middle", lead=False)
    sketch.label("rod", (182, 94), (163, 90))
    if not right:
        sketch.trouble((116, 28), 20)
        sketch.label("coil", (156, 22), (136, 28), bold=True)
        return sketch.drawing("A coil stops the surge.", "wrong")
    sketch.label("clamp", (164, 30), (160, 46), anchor="middle")
    return sketch.drawing("Short and straight.", "right")


@both
def rods_apart(values: WorkValues, right: bool) -> Drawing:
    """Two rods at least one rod length apart; two rods side by side."""
    words = "one rod length apart" if right else "side by side, in the same ground"
    sketch = Sketch(f"rods-{'apart' if right else 'close'}", "More than one rod", f"Two rods are {words}.")
    sketch.ground(34)
    second = 132.0 if right else 70.0
    _rod(sketch, 50, 28, 110)
    _rod(sketch, second, 28, 110)
    sketch.path(f"M50 31H{second}", width=2.4)
    if right:
        sketch.dimension((53, 84), (129, 84), "rod length", (91, 76))
        return sketch.drawing("At least one rod length apart.", "right")
    sketch.trouble((60, 74), 20)
    sketch.label("same ground", (100, 78), (78, 74), bold=True)
    return sketch.drawing("Too close: the second does little.", "wrong")
