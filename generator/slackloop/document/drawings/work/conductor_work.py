"""Pictures of baring the copper and cutting back an end that was wet."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.svg import INK
from slackloop.document.drawings.work.hand_tools import cable, copper, core_a, core_b, cut_end, cutters, fist, stripper
from slackloop.document.drawings.work.sketch import MID, Sketch, WorkValues, told


def bare_the_core(values: WorkValues) -> tuple[Drawing, ...]:
    """Bared length right, nicked, too long."""
    strip = told(values.strip, 124, "as on the pack")
    return (_bared("right", strip), _bared("nicked", strip), _bared("long", "too long"))


def _bared(name: str, told: str) -> Drawing:
    words = {
        "right": f"Core a is bared {told}; the copper is whole.",
        "nicked": "The copper has a nick where the insulation ends.",
        "long": "Too much copper is bare.",
    }[name]
    sketch = Sketch(f"bared-{name}", "Bare copper of one core", words)
    start = 62.0 if name == "long" else 98.0
    copper(sketch, f"M{start - 6} 52H162", 9)
    core_a(sketch, f"M-4 52H{start}", 19)
    sketch.line((start, 66), (start, 92), width=0.8)
    sketch.line((162, 60), (162, 92), width=0.8)
    sketch.dimension((start, 84), (162, 84), told, (min((start + 162) / 2, 140), 106))
    if name == "right":
        sketch.label("insulation", (50, 30), (50, 42), anchor="middle")
        sketch.label("copper", (134, 30), (134, 47), anchor="middle")
        return sketch.drawing("Right length, copper whole.", "right")
    if name == "nicked":
        sketch.shape("M-3.5-1H3.5L0 6Z", INK, at=(105, 46))
        sketch.trouble((105, 50), 12)
        sketch.label("nick", (134, 26), (110, 44), bold=True)
        return sketch.drawing("Nicked: it breaks there.", "wrong")
    sketch.trouble((80, 52), 14)
    sketch.label("bare outside", (112, 26), (86, 46), bold=True)
    return sketch.drawing("Too long: copper stays outside.", "wrong")


def strip_straight(values: WorkValues) -> tuple[Drawing, ...]:
    """Close the stripper once and pull straight; never twist or rock it."""
    return (_stripping(twist=False), _stripping(twist=True))


def _stripping(*, twist: bool) -> Drawing:
    words = (
        "The stripper is twisted round the core."
        if twist
        else "A fist holds the core; the closed stripper is pulled straight off."
    )
    sketch = Sketch(f"strip-{'twist' if twist else 'straight'}", "Stripping a core", words)
    core_a(sketch, "M-4 48H168", 9)
    stripper(sketch, (122, 48))
    fist(sketch, (42, 48), scale=0.85)
    sketch.label("hold still", (42, 28), (42, 38), anchor="middle")
    if twist:
        sketch.curved_arrow((138, 74), (172, 82), (162, 58))
        sketch.trouble((122, 48), 15)
        sketch.label("nick all\nround", (142, 20), (124, 44), bold=True)
        return sketch.drawing("Twisted: it nicks the copper.", "wrong")
    sketch.arrow((142, 76), (192, 76))
    sketch.label("straight", (170, 98), (167, 78), anchor="middle", bold=True)
    return sketch.drawing("Close it once. Pull straight.", "right")


def cut_back_wet_end(values: WorkValues) -> tuple[Drawing, ...]:
    """A cut face that is bright and dry, and one that is dark and wet."""
    return (_face(wet=False), _face(wet=True))


def _face(*, wet: bool) -> Drawing:
    words = (
        "The copper is dark and the jacket is wet inside." if wet else "The copper is bright and the inside is dry."
    )
    sketch = Sketch(f"face-{'wet' if wet else 'dry'}", "Face of a cut cable", words)
    cable(sketch, "M-6 58H66", 62)
    cut_end(sketch, (70, 58), 33, wet=wet)
    if wet:
        sketch.shape("M0-9C6-1 7 3 7 5a7 7 0 0 1-14 0c0-2 1-6 7-14z", at=(70, 104), width=1.4)
        sketch.shape("M0-7C4-1 5 2 5 4a5 5 0 0 1-10 0c0-2 1-5 5-11z", at=(54, 100), width=1.4)
        sketch.trouble((70, 58), 27)
        sketch.label("dark copper", (116, 40), (74, 45), bold=True)
        sketch.label("water", (116, 106), (77, 106), bold=True)
        return sketch.drawing("Dark or wet: cut off more.", "wrong")
    sketch.label("bright copper", (116, 36), (74, 45))
    sketch.label("dry inside", (116, 88), (84, 78))
    return sketch.drawing("Bright and dry: cut once more.", "right")


def cut_past_the_nick(values: WorkValues) -> tuple[Drawing, ...]:
    """Cut back past a nick; a nick with tape over it."""
    return (_nicked(taped=False), _nicked(taped=True))


def _nicked(*, taped: bool) -> Drawing:
    words = "Tape is wound over the nick." if taped else "The core is cut between the jacket and the nick."
    sketch = Sketch(f"nick-{'taped' if taped else 'cut'}", "A nicked core", words)
    core_a(sketch, "M40 44H192")
    core_b(sketch, "M40 53H192")
    cable(sketch, "M-4 48H44", 22)
    if taped:
        sketch.rect(112, 36, 36, 16, radius=3, fill=MID, width=1.4)
        sketch.path("M118 52l6-16M128 52l6-16M138 52l6-16", width=1)
        sketch.trouble((130, 44), 21)
        sketch.label("tape", (168, 84), (140, 52), bold=True)
        sketch.label("nick under it", (76, 94), (126, 50), anchor="middle")
        return sketch.drawing("Taped: water gets in all the same.", "wrong")
    sketch.shape("M-4-1H4L0 7Z", INK, at=(142, 39))
    cutters(sketch, (92, 48))
    sketch.label("nick", (164, 26), (145, 40), anchor="middle")
    sketch.label("cut here", (66, 22), (90, 36), anchor="middle", bold=True)
    return sketch.drawing("Cut it off, past the nick.", "right")
