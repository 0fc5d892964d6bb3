"""Pictures of earth electrodes and of measuring in what has been buried."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.work.hand_tools import cable_face, device, pencil, pinch
from slackloop.document.drawings.work.sketch import DARK, LIGHT, MID, PAPER, Sketch, WorkValues, both, told


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


@both
def measure_from_two_points(values: WorkValues, right: bool) -> Drawing:
    """A box measured in from two fixed points; from one point only."""
    words = (
        "from two fixed points; the arcs cross at one place"
        if right
        else "from one point only; it may lie anywhere on the arc"
    )
    sketch = Sketch(f"offsets-{'two' if right else 'one'}", "Measuring in", f"From above: a box is measured {words}.")
    sketch.hatched(10, 92, 34, 20)
    sketch.hatched(160, 92, 34, 20)
    sketch.rect(92, 26, 20, 16, radius=2, fill=LIGHT, width=1.8)
    box = (102.0, 42.0)
    sketch.line((44, 92), box, width=1.4)
    sketch.label("box", (102, 18), (102, 26), anchor="middle", lead=False)
    sketch.label("corner", (50, 110), (44, 100), lead=False)
    if right:
        sketch.line((160, 92), box, width=1.4)
        sketch.label("corner", (154, 110), (160, 100), anchor="end", lead=False)
        sketch.label("tape", (50, 58), (74, 66), anchor="middle")
        sketch.label("tape", (156, 58), (130, 66), anchor="middle")
        return sketch.drawing("From two fixed points.", "right")
    sketch.path("M54 16Q120 20 124 92", width=1.2, dash="4 3")
    sketch.trouble((160, 96), 13)
    sketch.label("tape", (50, 58), (74, 66), anchor="middle")
    sketch.label("anywhere\non the arc", (130, 50), (118, 52), bold=True)
    return sketch.drawing("From one point: it is not found.", "wrong")


@both
def draw_what_lies(values: WorkValues, right: bool) -> Drawing:
    """A drawing put right after the work; one left as it was planned."""
    words = (
        "The planned line is struck out and the line as laid is on the drawing." if right
        else "The drawing still shows the planned line alone."
    )  # fmt: skip
    sketch = Sketch(f"as-built-{'drawn' if right else 'planned'}", "The drawing after the work", words)
    sketch.rect(28, 6, 132, 104, radius=2, fill=PAPER, width=1.8)
    for x in (46, 142):
        sketch.rect(x - 6, 66, 12, 12, fill=LIGHT, width=1.4)
    if right:
        sketch.path("M52 72H136", width=1.2, dash="5 3")
        sketch.path("M72 78l8-12M108 78l8-12", width=1.6)
        sketch.path("M46 66C46 40 70 40 94 40S142 44 142 66", width=2.4)
        sketch.label("as laid", (82, 28), (84, 40), anchor="middle", bold=True)
        sketch.label("struck out", (92, 100), (92, 73), anchor="middle")
        pencil(sketch, (134, 50), -14)
        pinch(sketch, (150, 46), 10, scale=0.7)
        return sketch.drawing("Mark what was laid. Strike out the rest.", "right")
    sketch.path("M52 72H136", width=2.4)
    sketch.trouble((94, 72), 16)
    sketch.label("as planned", (92, 38), (94, 68), anchor="middle", bold=True)
    return sketch.drawing("Left as planned: it misleads.", "wrong")
