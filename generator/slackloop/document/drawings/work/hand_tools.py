"""A gloved fist, a pinch, and the tools that they hold: each drawn once and used in every picture of work.

Cable, cores and what they are joined to, as every picture of work shows them: core a banded, core b plain.

The colours of the cores are those of the job's cable: ``painted`` puts them in when a picture is done.
"""

from __future__ import annotations

from dataclasses import replace

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.svg import INK, Point
from slackloop.document.drawings.wire_routes import core_paint, hatch_colour
from slackloop.document.drawings.work.sketch import COPPER, DARK, LIGHT, MID, PAPER, Sketch

_PALM = "M-25-4C-31 16-22 27-18 38H18C20 28 28 18 25-4Z"
_FINGERS = "".join(f"M{x}-11a6.2 6.2 0 0 1 12.4 0v22a6.2 6.2 0 0 1-12.4 0z" for x in (-25, -12.6, -0.2, 12.2))
_THUMB = "M-24 9C-23 17-14 20-5 19C1 17 7 18 7 22C7 27-3 30-13 30C-19 29-25 22-27 14Z"
_CUFF = "M-20 38h40v9h-40z"
_PINCH = "M66-15C54-21 44-20 34-18L5-9C-3-6-3 0 4 1L27-3L25 2L6 2C-2 3-2 9 5 10C14 14 22 15 31 13C42 19 54 18 66 14Z"
_KNUCKLES = "M27-3C25 2 28 7 35 7M38-8C35-2 38 4 45 5M25 2L14 4"


def fist(sketch: Sketch, at: Point, turn: float = 0.0, *, flip: bool = False, scale: float = 0.9) -> None:
    """A gloved fist round a level thing at ``at``; the arm comes from below."""
    for data, tone in ((_PALM, PAPER), (_CUFF, LIGHT), (_FINGERS, PAPER), (_THUMB, PAPER)):
        sketch.shape(data, tone, at=at, turn=turn, flip=flip, scale=scale)


def pinch(sketch: Sketch, at: Point, turn: float = 0.0, *, flip: bool = False, scale: float = 0.9) -> None:
    """Finger and thumb that meet at ``at``; the arm comes from the right, or from the left with ``flip``."""
    sketch.shape(_PINCH, PAPER, at=at, turn=turn, flip=flip, scale=scale)
    sketch.shape(_KNUCKLES, at=at, turn=turn, flip=flip, scale=scale)
    sketch.shape("M66-18h9v36h-9z", LIGHT, at=at, turn=turn, flip=flip, scale=scale)


def knife(sketch: Sketch, at: Point, turn: float = 0.0) -> None:
    """A knife with its point at ``at``; blade and handle lie to the right."""
    sketch.shape("M0 0L12-7H34V3Z", LIGHT, at=at, turn=turn)
    sketch.shape("M34-8h40q5 0 5 6t-5 6h-40z", DARK, at=at, turn=turn)


def cutters(sketch: Sketch, at: Point, turn: float = 0.0) -> None:
    """Cable cutters whose jaws meet at ``at``; handles hang down."""
    sketch.shape("M-3-16C4-10 5 4 2 18L-2 18C-9 8-9-8-3-16Z", MID, at=at, turn=turn)
    sketch.shape("M3-16C-4-10-5 4-2 18L2 18C9 8 9-8 3-16Z", LIGHT, at=at, turn=turn)
    sketch.shape("M-1 17L-14 58l-8-3L-6 16ZM1 17L14 58l8-3L6 16Z", DARK, at=at, turn=turn)
    sketch.circle((at[0], at[1] + 15 if not turn else at[1]), 2.4, fill=PAPER)


def scorer(sketch: Sketch, at: Point) -> None:
    """A scorer from the side, the tip of its blade at ``at``, its body above."""
    sketch.shape("M-4-15H4L0 0Z", PAPER, at=at, width=1.4)
    sketch.shape("M-23-33h46v12l-8 7h-30l-8-7z", MID, at=at, width=1.6)


def stripper(sketch: Sketch, at: Point) -> None:
    """The jaws of a wire stripper closed round a level wire at ``at``, handles below."""
    sketch.shape("M-7-24h14v20l-7 4l-7-4z", MID, at=at)
    sketch.shape("M-7 4l7-4l7 4v22h-14z", LIGHT, at=at)
    sketch.shape("M-7 26h6v36h-6q-4-18 0-36zM1 26h6q4 18 0 36h-6z", DARK, at=at)


def meter(sketch: Sketch, x: float, y: float, reading: str = "") -> None:
    """A meter, its upper left corner at ``x``, ``y``: 54 wide, 58 tall; a reading of at most 5 characters."""
    sketch.rect(x, y, 54, 58, radius=6, fill=MID, width=1.6)
    sketch.rect(x + 3, y + 6, 48, 18, radius=2, fill=PAPER)
    if reading:
        sketch.inscribe(reading, (x + 27, y + 19.5), (x + 27, y + 15))
    sketch.circle((x + 27, y + 39), 9, fill=LIGHT)
    sketch.line((x + 27, y + 39), (x + 32, y + 33), width=2)


def probe(sketch: Sketch, at: Point, turn: float = 0.0) -> None:
    """A meter's probe with its bare tip at ``at``: needle, guard and insulated handle, which lie to the right."""
    sketch.shape("M0 0L16-1.6V1.6Z", DARK, at=at, turn=turn, width=0.8)
    sketch.shape("M16-3.5h5v-3.5h4v3.5h32q3 3.5 0 7h-32v3.5h-4v-3.5h-5z", LIGHT, at=at, turn=turn)


def clip(sketch: Sketch, at: Point, turn: float = 0.0) -> None:
    """A clip that bites at ``at``; its insulated grip lies to the right."""
    sketch.shape("M0-2L14-7V7L0 2Z", PAPER, at=at, turn=turn)
    sketch.shape("M14-7q14-1 18 3v8q-4 4-18 3z", MID, at=at, turn=turn)


def spade(sketch: Sketch, at: Point, turn: float = 0.0, *, scale: float = 1.0) -> None:
    """A spade with its edge at ``at``, shaft upward, insulated over its length."""
    sketch.shape("M-2.6-30V-84H2.6V-30Z", LIGHT, at=at, turn=turn, scale=scale)
    sketch.shape("M-11 0V-26Q-11-32 0-32Q11-32 11-26V0Q0 6-11 0Z", MID, at=at, turn=turn, scale=scale)
    sketch.shape("M-10-90h20v6h-20z", DARK, at=at, turn=turn, scale=scale)


def locator(sketch: Sketch, at: Point) -> None:
    """A hand-held locator that stands over ``at``: foot, shaft with a dial, and a grip across its top."""
    sketch.shape("M-10 0v-8h20v8z", MID, at=at, width=1.4)
    sketch.shape("M-4-8v-34h8v34z", LIGHT, at=at, width=1.4)
    sketch.shape("M-8-38v-13h16v13z", DARK, at=at)


def pencil(sketch: Sketch, at: Point, turn: float = 0.0) -> None:
    """A pencil with its point at ``at``; it lies to the right."""
    sketch.shape("M0 0L9-3.4V3.4Z", PAPER, at=at, turn=turn)
    sketch.shape("M9-3.4H58V3.4H9Z", MID, at=at, turn=turn)


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


def cable_face(sketch: Sketch, at: Point) -> None:
    """A cable seen from its end, where it lies in the ground."""
    sketch.circle(at, 6.5, fill=PAPER, width=1.6)
    sketch.circle(at, 2.5, fill=DARK)


def core_a(sketch: Sketch, data: str, width: float = CORE) -> None:
    """Core a along path data: banded."""
    sketch.path(data, width=width + 2)
    sketch.path(data, stroke=TONE_A, width=width)
    sketch.path(data, stroke=BANDS_A, width=width, dash="3 4")


def core_b(sketch: Sketch, data: str) -> None:
    """Core b along path data: plain."""
    sketch.path(data, width=CORE + 2)
    sketch.path(data, stroke=TONE_B, width=CORE)


def name_cores(sketch: Sketch, a: tuple[Point, Point], b: tuple[Point, Point], *, anchor: str = "") -> None:
    """The letters of the cores, each by its place and the place of its core."""
    for letter, (at, mark) in (("a", a), ("b", b)):
        sketch.label(letter, at, mark, anchor=anchor, bold=True, lead=False)


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


def connector(sketch: Sketch, at: Point, *, scale: float = 1.0) -> None:
    """A closed connector, mouth down: a plain rounded body."""
    sketch.shape("M-14 0v-26q0-8 8-8h12q8 0 8 8v26z", MID, at=at, scale=scale, width=1.6)


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
