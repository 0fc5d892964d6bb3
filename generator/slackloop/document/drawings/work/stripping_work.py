"""Pictures of stripping: the jacket opened or the pair parted, the copper bared, a wet end or a nick cut back."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.svg import INK
from slackloop.document.drawings.work.hand_tools import (
    cable,
    copper,
    core_a,
    core_b,
    cut_end,
    cutters,
    face_of_core,
    fist,
    knife,
    name_cores,
    pinch,
    scorer,
    stripper,
)
from slackloop.document.drawings.work.sketch import LIGHT, MID, PAPER, Row, Sketch, WorkValues, both, told


def set_the_scorer(values: WorkValues) -> Row:
    """The depth of the scorer's tip: in the jacket, in a core, on the skin only."""
    return (_tip("", 5.5), _tip("deep", 20.0), _tip("shallow", 0.5))


def _tip(fault: str, depth: float) -> Drawing:
    words = {
        "": "The tip ends inside the jacket.",
        "deep": "The tip goes through the jacket into core a.",
        "shallow": "The tip only scratches the jacket.",
    }[fault]
    sketch = Sketch(f"scorer-{fault or 'set'}", "Depth of the scorer", f"A cable cut across, under a scorer. {words}")
    middle, radius = (76.0, 76.0), 36.0
    sketch.circle(middle, radius, fill=LIGHT, width=1.6)
    sketch.circle(middle, radius - 11, fill=PAPER)
    for side in (-1, 1):
        face_of_core(sketch, (middle[0], middle[1] + side * 12), 11, banded=side < 0)
    tip = middle[0], middle[1] - radius + depth
    scorer(sketch, tip)
    sketch.label("core a", (134, 72), (middle[0] + 6, middle[1] - 5))
    sketch.label("core b", (134, 88), (middle[0] + 7, middle[1] + 14))
    sketch.label("jacket", (3, 110), (middle[0] - 24, middle[1] + 19))
    if fault == "deep":
        sketch.trouble(tip, 12)
        sketch.label("tip in\ncore a", (106, 22), tip, bold=True)
        return sketch.drawing("Too deep: it cuts a core.", "wrong")
    if fault:
        sketch.trouble(tip, 12)
        sketch.label("only\na scratch", (106, 22), tip, bold=True)
        return sketch.drawing("Too shallow: it does not break.", "wrong")
    sketch.label("tip in\nthe jacket", (106, 22), tip, bold=True)
    return sketch.drawing("The tip stays inside the jacket.", "right")


def score_and_snap(values: WorkValues) -> Row:
    """Score a ring, bend it until it snaps, pull the jacket off."""
    return (_score(), _snap(), _pull())


def _score() -> Drawing:
    sketch = Sketch(
        "score-ring", "Score the ring", "One fist holds the cable still. The other turns the scorer once round it."
    )
    cable(sketch, "M0 66H204")
    sketch.line((126, 57), (126, 75), width=2)
    scorer(sketch, (126, 59))
    fist(sketch, (126, 32), 180, scale=0.6)
    sketch.curved_arrow((156, 40), (186, 62), (158, 90))
    fist(sketch, (44, 66))
    sketch.label("shallow ring", (112, 106), (126, 76), anchor="middle")
    return sketch.drawing("Once round. Do not press.")


def _snap() -> Drawing:
    sketch = Sketch("snap-ring", "Break the jacket", "Two fists bend the cable at the ring until the jacket breaks.")
    cable(sketch, "M-4 48Q60 58 102 78")
    cable(sketch, "M208 48Q144 58 102 78")
    sketch.shape("M98 70l8 0l-4 17z", PAPER)
    fist(sketch, (42, 54), 8, scale=0.8)
    fist(sketch, (162, 54), -8, flip=True, scale=0.8)
    sketch.curved_arrow((74, 24), (60, 18), (48, 30))
    sketch.curved_arrow((130, 24), (144, 18), (156, 30))
    sketch.label("breaks here", (102, 108), (102, 88), anchor="middle", bold=True)
    return sketch.drawing("Bend it from side to side.")


def _pull() -> Drawing:
    sketch = Sketch(
        "pull-jacket", "Pull the jacket off", "A fist holds the cable behind the ring. The loose jacket slides off."
    )
    core_a(sketch, "M84 62H150")
    core_b(sketch, "M84 71H150")
    cable(sketch, "M-4 66H88")
    cable(sketch, "M122 66H208")
    fist(sketch, (46, 66), scale=0.85)
    fist(sketch, (160, 66), flip=True, scale=0.85)
    sketch.arrow((126, 32), (188, 32))
    sketch.label("cores", (104, 98), (104, 72), anchor="middle")
    sketch.label("hold still", (46, 40), (46, 54), anchor="middle", bold=True)
    return sketch.drawing("Hold behind the ring. Pull the end off.")


@both
def score_or_cut(values: WorkValues, right: bool) -> Drawing:
    """A ring broken clean, and a knife run along the jacket."""
    words = (
        "The jacket ends at a clean ring; both cores are whole." if right else "A knife along the jacket cuts core a."
    )
    sketch = Sketch(f"jacket-{'scored' if right else 'cut'}", "How the jacket is opened", words)
    core_a(sketch, "M96 60C126 58 138 44 184 40")
    core_b(sketch, "M96 69C126 71 138 86 184 88")
    cable(sketch, "M-4 64H100")
    name_cores(sketch, ((192, 44), (186, 40)), ((192, 92), (186, 88)))
    if right:
        sketch.label("clean ring", (98, 34), (100, 56), anchor="middle")
        sketch.label("both cores whole", (88, 106), (132, 78), anchor="middle")
        return sketch.drawing("Scored and broken: cores whole.", "right")
    sketch.path("M30 59L98 59", width=2)
    knife(sketch, (118, 56), -32)
    sketch.path("M112 55l5 6", width=2)
    sketch.trouble((115, 58), 13)
    sketch.label("cut core", (88, 106), (112, 69), anchor="middle", bold=True)
    return sketch.drawing("A knife cuts a core.", "wrong")


@both
def jacket_past_the_wall(values: WorkValues, right: bool) -> Drawing:
    """Where the jacket ends: past the box wall, or in it."""
    ends = 112.0 if right else 46.0
    where = "past the wall, inside the box" if right else "before the wall, so that bare cores pass through it"
    sketch = Sketch(f"wall-{'right' if right else 'wrong'}", "Where the jacket ends", f"The jacket ends {where}.")
    sketch.soil(0, 0, 56, 116)
    sketch.rect(-2, 50, 60, 24, fill=PAPER, stroke="none")
    core_a(sketch, f"M{ends - 4} 58H120C140 58 146 40 184 38")
    core_b(sketch, f"M{ends - 4} 67H120C140 67 146 86 184 88")
    sketch.hatched(58, 1, 16, 50)
    sketch.hatched(58, 74, 16, 41)
    cable(sketch, f"M-4 62H{ends}")
    name_cores(sketch, ((192, 42), (186, 38)), ((192, 92), (186, 88)))
    sketch.label("inside the box", (80, 14), (78, 20), lead=False)
    if right:
        sketch.line((74, 76), (74, 100), width=0.8)
        sketch.line((112, 72), (112, 100), width=0.8)
        sketch.dimension((74, 92), (112, 92), "past the wall", (84, 110), anchor="")
        return sketch.drawing("The jacket passes the wall whole.", "right")
    sketch.trouble((66, 62), 16)
    sketch.label("rubs here", (82, 108), (70, 78), bold=True)
    return sketch.drawing("Bare cores rub in the wall.", "wrong")


@both
def part_the_pair(values: WorkValues, right: bool) -> Drawing:
    """Part the two cores of a pair without a jacket: by hand, never with a blade."""
    words = (
        "Two pinches pull the cores apart evenly, up to a mark." if right else "A knife is pushed between the cores."
    )
    sketch = Sketch(f"part-{'hand' if right else 'blade'}", "Separating the pair", words)
    core_a(sketch, "M-4 54H78C100 54 108 40 134 30")
    core_b(sketch, "M-4 63H78C100 63 108 78 134 88")
    sketch.rect(58, 48, 7, 21, fill=INK)
    sketch.label("stop mark", (58, 34), (61, 47), anchor="middle")
    if not right:
        knife(sketch, (92, 58), 0)
        sketch.trouble((96, 58), 14)
        sketch.label("cuts insulation", (60, 98), (88, 71), anchor="middle", bold=True)
        return sketch.drawing("A blade between the cores.", "wrong")
    pinch(sketch, (130, 32), -12, scale=0.8)
    pinch(sketch, (130, 86), 12, scale=0.8)
    name_cores(sketch, ((100, 26), (112, 36)), ((100, 100), (112, 82)))
    return sketch.drawing("Pull apart evenly, by hand.", "right")


@both
def blade_away(values: WorkValues, right: bool) -> Drawing:
    """The blade works away from the other hand; towards it."""
    words = "away from" if right else "towards"
    name = "away" if right else "towards"
    sketch = Sketch(f"blade-{name}", "Working a blade", f"A knife moves {words} the other hand.")
    sketch.rect(6, 78, 192, 12, fill=LIGHT, width=1.4)
    cable(sketch, "M-4 69H208", 13)
    fist(sketch, (40, 66), scale=0.8)
    knife(sketch, (98, 62), -10)
    fist(sketch, (150, 54), 172, scale=0.7)
    if right:
        sketch.arrow((146, 104), (194, 104))
        sketch.label("other hand", (44, 34), (40, 54), anchor="middle")
        sketch.label("board", (110, 108), (110, 90), anchor="middle")
        return sketch.drawing("Away from you and your other hand.", "right")
    sketch.arrow((146, 104), (98, 104))
    sketch.trouble((58, 64), 17)
    sketch.label("slips here", (66, 32), (62, 54), anchor="middle", bold=True)
    return sketch.drawing("Towards the other hand.", "wrong")


def bare_the_core(values: WorkValues) -> Row:
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


@both
def strip_straight(values: WorkValues, right: bool) -> Drawing:
    """Close the stripper once and pull straight; never twist or rock it."""
    words = (
        "A fist holds the core; the closed stripper is pulled straight off."
        if right
        else "The stripper is twisted round the core."
    )
    sketch = Sketch(f"strip-{'straight' if right else 'twist'}", "Stripping a core", words)
    core_a(sketch, "M-4 48H168", 9)
    stripper(sketch, (122, 48))
    fist(sketch, (42, 48), scale=0.85)
    sketch.label("hold still", (42, 28), (42, 38), anchor="middle")
    if not right:
        sketch.curved_arrow((138, 74), (172, 82), (162, 58))
        sketch.trouble((122, 48), 15)
        sketch.label("nick all\nround", (142, 20), (124, 44), bold=True)
        return sketch.drawing("Twisted: it nicks the copper.", "wrong")
    sketch.arrow((142, 76), (192, 76))
    sketch.label("straight", (170, 98), (167, 78), anchor="middle", bold=True)
    return sketch.drawing("Close it once. Pull straight.", "right")


@both
def cut_back_wet_end(values: WorkValues, right: bool) -> Drawing:
    """A cut face that is bright and dry, and one that is dark and wet."""
    words = (
        "The copper is bright and the inside is dry." if right else "The copper is dark and the jacket is wet inside."
    )
    sketch = Sketch(f"face-{'dry' if right else 'wet'}", "Face of a cut cable", words)
    cable(sketch, "M-6 58H66", 62)
    cut_end(sketch, (70, 58), 33, wet=not right)
    if not right:
        sketch.shape("M0-9C6-1 7 3 7 5a7 7 0 0 1-14 0c0-2 1-6 7-14z", at=(70, 104), width=1.4)
        sketch.shape("M0-7C4-1 5 2 5 4a5 5 0 0 1-10 0c0-2 1-5 5-11z", at=(54, 100), width=1.4)
        sketch.trouble((70, 58), 27)
        sketch.label("dark copper", (116, 40), (74, 45), bold=True)
        sketch.label("water", (116, 106), (77, 106), bold=True)
        return sketch.drawing("Dark or wet: cut off more.", "wrong")
    sketch.label("bright copper", (116, 36), (74, 45))
    sketch.label("dry inside", (116, 88), (84, 78))
    return sketch.drawing("Bright and dry: cut once more.", "right")


@both
def cut_past_the_nick(values: WorkValues, right: bool) -> Drawing:
    """Cut back past a nick; a nick with tape over it."""
    words = "The core is cut between the jacket and the nick." if right else "Tape is wound over the nick."
    sketch = Sketch(f"nick-{'cut' if right else 'taped'}", "A nicked core", words)
    core_a(sketch, "M40 44H192")
    core_b(sketch, "M40 53H192")
    cable(sketch, "M-4 48H44", 22)
    if not right:
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
