"""Cable, cores and what they are joined to, as every picture of work shows them: core a banded, core b plain.

The colours of the cores are those of the job's cable: ``painted`` puts them in when a picture is done.
"""

from __future__ import annotations

from dataclasses import replace

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.core_colour import core_paint, hatch_colour
from slackloop.document.drawings.svg import INK, Point
from slackloop.document.drawings.work.sketch import COPPER, DARK, LIGHT, MID, PAPER, Sketch

CORE = 7.0
CABLE = 15.0
TONE_A, BANDS_A, TONE_B = "core-a", "bands-a", "core-b"
"""What stands for the colours of the cores, and of the bands across core a, until they are known."""


def painted(drawing: Drawing, core_a: str, core_b: str) -> Drawing:
    """The picture with its cores in the colours of these words; white, with bands in ink, where one is not known.

    Colours are written in capitals: a screen turns the small ones, which are tones of ours, for a dark page.
    """
    tones = {TONE_A: PAPER, BANDS_A: INK, TONE_B: PAPER}
    if core_paint(core_a).known and core_paint(core_b).known:
        tones = {TONE_A: core_paint(core_a).base, BANDS_A: hatch_colour(core_a), TONE_B: core_paint(core_b).base}
        tones = {name: tone.upper() for name, tone in tones.items()}
    svg = drawing.svg
    for name, tone in tones.items():
        svg = svg.replace(f'="{name}"', f'="{tone}"')
    return replace(drawing, svg=svg)


def cable(sketch: Sketch, data: str, width: float = CABLE) -> None:
    """A jacketed cable along path data."""
    sketch.path(data, width=width + 2.2)
    sketch.path(data, stroke=LIGHT, width=width)
    sketch.path(data, stroke=PAPER, width=2)


def core_a(sketch: Sketch, data: str, width: float = CORE) -> None:
    """Core a along path data: banded."""
    sketch.path(data, width=width + 2)
    sketch.path(data, stroke=TONE_A, width=width)
    sketch.path(data, stroke=BANDS_A, width=width, dash="3 4")


def core_b(sketch: Sketch, data: str, width: float = CORE) -> None:
    """Core b along path data: plain."""
    sketch.path(data, width=width + 2)
    sketch.path(data, stroke=TONE_B, width=width)


def lead(sketch: Sketch, data: str, width: float = 5.0) -> None:
    """A lead of a device, a solenoid or a meter: grey, with a light line along it."""
    sketch.path(data, width=width + 2)
    sketch.path(data, stroke=MID, width=width)
    sketch.path(data, stroke=PAPER, width=1)


def copper(sketch: Sketch, data: str, width: float = 3.4) -> None:
    """Bare copper along path data."""
    sketch.path(data, width=width + 1.8)
    sketch.path(data, stroke=COPPER, width=width)


def cap(sketch: Sketch, at: Point, turn: float = 0.0) -> None:
    """The cap over a cable's end; it closes an end that comes from the left."""
    sketch.shape("M-6-10h14q6 0 6 6v8q0 6-6 6h-14z", DARK, at=at, turn=turn)


def connector(sketch: Sketch, at: Point, turn: float = 0.0, *, scale: float = 1.0) -> None:
    """A closed connector, mouth down: a plain rounded body."""
    sketch.shape("M-14 0v-26q0-8 8-8h12q8 0 8 8v26z", MID, at=at, turn=turn, scale=scale, width=1.6)


def device(sketch: Sketch, x: float, y: float, wide: float = 46.0, tall: float = 28.0) -> None:
    """A device: a plain box."""
    sketch.rect(x, y, wide, tall, radius=3, fill=LIGHT, width=1.6)


def cut_end(sketch: Sketch, at: Point, radius: float, *, wet: bool = False) -> None:
    """The face of a cut cable: jacket, core a over core b, copper in each."""
    sketch.circle(at, radius, fill=LIGHT, width=1.6)
    sketch.circle(at, radius * 0.8, fill=PAPER)
    reach = radius * 0.38
    for side in (-1, 1):
        centre = at[0], at[1] + side * reach
        face_of_core(sketch, centre, radius * 0.34, banded=side < 0, copper_tone=DARK if wet else COPPER)


def face_of_core(sketch: Sketch, at: Point, radius: float, *, banded: bool, copper_tone: str = COPPER) -> None:
    """The face of one core: insulation, hatched for core a, round its copper."""
    sketch.circle(at, radius, fill=TONE_A if banded else TONE_B, width=1.4)
    if banded:
        step = radius / 2
        data = "".join(
            f"M{at[0] + i * step - h:.1f} {at[1] + h + i * step:.1f}l{2 * h:.1f} {-2 * h:.1f}"
            for i, h in ((-1, radius * 0.48), (0, radius * 0.68), (1, radius * 0.48))
        )
        sketch.element("path", d=data, stroke=BANDS_A, stroke_width=1.5)
    sketch.circle(at, radius * 0.5, fill=copper_tone)
