"""Pictures of earth electrodes and of measuring in what has been buried."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.work.hand_tools import device, pencil, pinch
from slackloop.document.drawings.work.sketch import DARK, LIGHT, MID, PAPER, WIDE, Sketch, WorkValues, told


def _rod(sketch: Sketch, x: float, top: float, bottom: float) -> None:
    """An earth rod in the ground."""
    sketch.shape(
        f"M{x - 2.6:.1f} {top}H{x + 2.6:.1f}V{bottom - 6}L{x} {bottom}L{x - 2.6:.1f} {bottom - 6}Z", MID, width=1.4
    )


def _cable_face(sketch: Sketch, at: tuple[float, float]) -> None:
    sketch.circle(at, 6.5, fill=PAPER, width=1.6)
    sketch.circle(at, 2.5, fill=DARK)


def rod_clear_of_cable(values: WorkValues) -> tuple[Drawing, ...]:
    """The rod well clear of the cable; the rod beside it."""
    return (_clear(values, near=False), _clear(values, near=True))


def _clear(values: WorkValues, *, near: bool) -> Drawing:
    words = "close beside the cable" if near else f"{values.clear_of_cable or 'well'} clear of the cable"
    sketch = Sketch(f"rod-{'near' if near else 'clear'}", "Rod and cable", f"The earth rod is {words}.")
    sketch.soil(0, 30, WIDE, 86)
    sketch.line((0, 30), (WIDE, 30), width=1.8)
    rod = 60.0 if near else 158.0
    _cable_face(sketch, (38, 62))
    _rod(sketch, rod, 22, 108)
    sketch.label("cable", (28, 88), (38, 68), anchor="middle")
    if near:
        sketch.label("rod", (84, 106), (63, 102))
        sketch.trouble((50, 60), 20)
        sketch.label("too near", (96, 64), (66, 60), bold=True)
        return sketch.drawing("Too near: surges reach the cable.", "wrong")
    sketch.label("rod", (136, 94), (155, 88), anchor="end")
    clear = told(values.clear_of_cable, 110, "as on the card", most_rows=2)
    sketch.dimension((45, 62), (155, 62), clear, (100, 44))
    return sketch.drawing("Rod clear of the cable.", "right")


def earth_lead_straight(values: WorkValues) -> tuple[Drawing, ...]:
    """The earth lead short and straight; the lead in a coil."""
    return (_earth_lead(coiled=False), _earth_lead(coiled=True))


def _earth_lead(*, coiled: bool) -> Drawing:
    words = "is coiled" if coiled else "goes short and straight to the rod"
    sketch = Sketch(f"earth-{'coil' if coiled else 'straight'}", "The earth lead", f"The earth lead {words}.")
    sketch.soil(0, 62, WIDE, 54)
    sketch.line((0, 62), (WIDE, 62), width=1.8)
    _rod(sketch, 160, 44, 112)
    device(sketch, 22, 22, 48, 30)
    if coiled:
        sketch.path("M70 38H100C126 38 126 16 110 16S94 38 118 38S138 16 124 16S112 40 136 44L156 50", width=3)
    else:
        sketch.path("M70 38L156 50", width=3)
    sketch.rect(153, 46, 14, 9, radius=2, fill=DARK)
    sketch.label("surge part", (46, 78), (46, 52), anchor="middle", lead=False)
    sketch.label("rod", (182, 94), (163, 90))
    if coiled:
        sketch.trouble((116, 28), 20)
        sketch.label("coil", (156, 22), (136, 28), bold=True)
        return sketch.drawing("A coil stops the surge.", "wrong")
    sketch.label("clamp", (164, 30), (160, 46), anchor="middle")
    return sketch.drawing("Short and straight.", "right")


def rods_apart(values: WorkValues) -> tuple[Drawing, ...]:
    """Two rods at least one rod length apart; two rods side by side."""
    return (_rods(apart=True), _rods(apart=False))


def _rods(*, apart: bool) -> Drawing:
    words = "one rod length apart" if apart else "side by side, in the same ground"
    sketch = Sketch(f"rods-{'apart' if apart else 'close'}", "More than one rod", f"Two rods are {words}.")
    sketch.soil(0, 34, WIDE, 82)
    sketch.line((0, 34), (WIDE, 34), width=1.8)
    second = 132.0 if apart else 70.0
    _rod(sketch, 50, 28, 110)
    _rod(sketch, second, 28, 110)
    sketch.path(f"M50 31H{second}", width=2.4)
    if apart:
        sketch.dimension((53, 84), (129, 84), "rod length", (91, 76))
        return sketch.drawing("At least one rod length apart.", "right")
    sketch.trouble((60, 74), 20)
    sketch.label("same ground", (100, 78), (78, 74), bold=True)
    return sketch.drawing("Too close: the second does little.", "wrong")


def measure_from_two_points(values: WorkValues) -> tuple[Drawing, ...]:
    """A box measured in from two fixed points; from one point only."""
    return (_offsets(two=True), _offsets(two=False))


def _offsets(*, two: bool) -> Drawing:
    words = (
        "from two fixed points; the arcs cross at one place"
        if two
        else "from one point only; it may lie anywhere on the arc"
    )
    sketch = Sketch(f"offsets-{'two' if two else 'one'}", "Measuring in", f"From above: a box is measured {words}.")
    sketch.hatched(10, 92, 34, 20)
    sketch.hatched(160, 92, 34, 20)
    sketch.rect(92, 26, 20, 16, radius=2, fill=LIGHT, width=1.8)
    box = (102.0, 42.0)
    sketch.line((44, 92), box, width=1.4)
    sketch.label("box", (102, 18), (102, 26), anchor="middle", lead=False)
    sketch.label("corner", (50, 110), (44, 100), lead=False)
    if two:
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


def draw_what_lies(values: WorkValues) -> tuple[Drawing, ...]:
    """A drawing put right after the work; one left as it was planned."""
    return (_as_built(mended=True), _as_built(mended=False))


def _as_built(*, mended: bool) -> Drawing:
    words = (
        "The planned line is struck out and the line as laid is on the drawing." if mended
        else "The drawing still shows the planned line alone."
    )  # fmt: skip
    sketch = Sketch(f"as-built-{'drawn' if mended else 'planned'}", "The drawing after the work", words)
    sketch.rect(28, 6, 132, 104, radius=2, fill=PAPER, width=1.8)
    for x in (46, 142):
        sketch.rect(x - 6, 66, 12, 12, fill=LIGHT, width=1.4)
    if mended:
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
