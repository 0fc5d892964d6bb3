"""Pictures of the valve box: slack, coil, cut, and what lies where when the lid goes on."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.svg import INK
from slackloop.document.drawings.work.hand_tools import (
    cable,
    connector,
    core_a,
    cutters,
    device,
    fist,
    lead,
    pencil,
    pinch,
)
from slackloop.document.drawings.work.sketch import DARK, LIGHT, MID, PAPER, WIDE, Row, Sketch, WorkValues, both, told


def _box(sketch: Sketch, left: float, right: float, top: float, bottom: float) -> None:
    """A valve box in section: soil, walls, gravel below."""
    sketch.soil(0, top, left, 116 - top)
    sketch.soil(right, top, WIDE - right, 116 - top)
    sketch.line((0, top), (left, top), width=1.8)
    sketch.line((right, top), (WIDE, top), width=1.8)
    for x in (left, right - 8):
        sketch.rect(x, top - 2, 8, bottom - top + 2, fill=MID, width=1.4)
    data = "".join(f"M{x} {bottom + 3}a3.4 3.4 0 1 0 .1 0z" for x in range(int(left) + 5, int(right), 8))
    sketch.shape(data, PAPER, width=0.9)


def _water(sketch: Sketch) -> None:
    """Water on the floor of a box whose walls stand at 46 and 142."""
    sketch.rect(54, 84, 80, 18, fill=LIGHT, stroke="none")
    sketch.line((54, 84), (134, 84), width=1.2)


@both
def loop_of_slack(values: WorkValues, right: bool) -> Drawing:
    """A loop of slack that comes up over the rim; a cable with none."""
    words = "comes up over the rim in a loop" if right else "goes straight through the box"
    sketch = Sketch(f"slack-{'loop' if right else 'none'}", "Slack in the box", f"The cable {words}.")
    _box(sketch, 42, 128, 58, 104)
    way = "M-6 92H52C78 92 58 20 84 20S92 92 118 92H210" if right else "M-6 92H210"
    cable(sketch, way, 9)
    if right:
        sketch.path("M120 78C106 70 112 12 86 11", width=0.9)
        sketch.shape("M0 0L-6-2.4V2.4Z", INK, at=(85, 11), turn=182, width=0)
        sketch.shape("M0 0L-6-2.4V2.4Z", INK, at=(122, 79), turn=28, width=0)
        slack = told(values.slack, 74, "slack", most_rows=2)
        sketch.label(slack, (124, 24), (108, 30), bold=True)
        sketch.label("rim", (24, 46), (44, 56), anchor="end")
        return sketch.drawing("Slack above the rim, each end.", "right")
    sketch.trouble((85, 92), 15)
    sketch.label("no slack", (85, 70), (85, 86), anchor="middle", bold=True)
    sketch.label("rim", (24, 46), (44, 56), anchor="end")
    return sketch.drawing("No slack: no space for a splice.", "wrong")


@both
def cut_the_loop(values: WorkValues, right: bool) -> Drawing:
    """Label both legs, then cut at the top; a cut before the labels."""
    words = (
        "Both sides of the loop are labelled before the cut."
        if right
        else "The loop is cut with no label: nobody can tell in from out."
    )
    sketch = Sketch(f"cut-{'labelled' if right else 'blind'}", "Cutting the loop", words)
    cable(sketch, "M70 124V94C70 48 134 48 134 94V124", 11)
    cutters(sketch, (102, 59), 180)
    if not right:
        sketch.trouble((70, 98), 12)
        sketch.label("no\nlabel", (102, 94), (77, 98), anchor="middle", bold=True)
        return sketch.drawing("Cut first: in or out?", "wrong")
    for x, word in ((70, "in"), (134, "out")):
        sketch.rect(x - 19, 90, 38, 20, radius=2, fill=PAPER, width=1.6)
        sketch.inscribe(word, (x, 104), (x, 100))
    return sketch.drawing("Label both sides. Then cut.", "right")


@both
def coil_the_slack(values: WorkValues, right: bool) -> Drawing:
    """Wide turns along the wall; a tight bundle round the valve."""
    words = "lies in wide turns along the wall" if right else "is wound tight round the valve"
    sketch = Sketch(f"coil-{'wide' if right else 'tight'}", "Coiling the slack", f"From above: the slack {words}.")
    sketch.rect(38, 6, 104, 104, radius=12, fill=PAPER, width=4)
    sketch.rect(52, 50, 76, 16, fill=PAPER, width=1.2)
    sketch.circle((90, 58), 14, fill=LIGHT, width=1.6)
    sketch.circle((90, 58), 5, fill=DARK)
    if right:
        cable(sketch, "M-6 58H38C52 58 46 98 90 99S131 70 131 58S120 17 90 17S49 40 49 58S58 90 90 90S122 74 122 58", 6)
        sketch.label("wall", (158, 22), (143, 22))
        sketch.label("wide\nturns", (156, 78), (130, 70), bold=True)
        return sketch.drawing("Wide turns along the wall.", "right")
    cable(sketch, "M-6 58H38C58 58 66 82 90 80S113 70 112 58S104 37 90 37S69 46 70 58S78 73 90 73S105 66 104 58", 6)
    sketch.trouble((90, 58), 30)
    sketch.label("wall", (158, 22), (143, 22))
    sketch.label("too\ntight", (156, 78), (112, 64), bold=True)
    return sketch.drawing("Tight turns round the valve.", "wrong")


@both
def splices_up(values: WorkValues, right: bool) -> Drawing:
    """Splices on top of the coil, above the floor; splices in the water on the floor."""
    words = "lie on top of the coil, above the water" if right else "lie in water on the floor"
    sketch = Sketch(f"splices-{'up' if right else 'low'}", "Where the splices lie", f"The splices {words}.")
    _box(sketch, 46, 142, 22, 102)
    _water(sketch)
    if not right:
        cable(sketch, "M60 66C44 58 74 50 100 54S126 70 98 70S70 66 60 66", 6)
        sketch.path("M72 100C64 90 62 82 62 66M106 100C116 86 116 80 112 66", width=3)
        connector(sketch, (72, 101), scale=0.8)
        connector(sketch, (106, 101), scale=0.8)
        sketch.trouble((106, 90), 15)
        sketch.label("splice", (156, 74), (115, 88), bold=True)
        sketch.label("water", (42, 106), (58, 94), anchor="end")
        return sketch.drawing("In the water, on the floor.", "wrong")
    sketch.path("M72 60C64 70 62 74 66 80M106 60C116 70 116 74 112 80", width=3)
    cable(sketch, "M50 78C42 68 74 64 100 66S132 80 98 80S58 80 50 78", 6)
    connector(sketch, (72, 62), scale=0.8)
    connector(sketch, (106, 62), scale=0.8)
    sketch.label("splice", (156, 46), (116, 46), bold=True)
    sketch.label("water", (42, 106), (58, 94), anchor="end")
    return sketch.drawing("On top of the coil, above the water.", "right")


@both
def lid_flat(values: WorkValues, right: bool) -> Drawing:
    """A lid that lies flat on a clean rim; a lid that pinches a cable."""
    words = "lies flat on a clean rim" if right else "pinches a lead on the rim"
    sketch = Sketch(f"lid-{'flat' if right else 'pinch'}", "The lid", f"The lid {words}.")
    _box(sketch, 36, 136, 46, 104)
    cable(sketch, "M60 92C46 84 70 78 92 80S118 96 94 96S70 96 60 92", 6)
    if right:
        sketch.rect(32, 36, 108, 9, radius=2, fill=LIGHT, width=1.6)
        sketch.label("lid", (152, 36), (140, 40))
        return sketch.drawing("Clean rim, lid flat.", "right")
    cable(sketch, "M88 82C110 80 124 60 130 43S148 44 156 58", 5)
    sketch.shape("M-54-4.5H54V4.5H-54Z", LIGHT, at=(86, 35), turn=-5, width=1.6)
    sketch.trouble((132, 40), 14)
    sketch.label("pinched", (148, 22), (137, 40), bold=True)
    return sketch.drawing("A cable under the lid.", "wrong")


@both
def device_off_the_floor(values: WorkValues, right: bool) -> Drawing:
    """The device hung off the floor, label in view; the device in the water."""
    words = "hangs off the floor, leads at its top, label in view" if right else "lies on the floor, in the water"
    sketch = Sketch(f"device-{'up' if right else 'low'}", "Where the device goes", f"The device {words}.")
    _box(sketch, 46, 142, 16, 102)
    _water(sketch)
    top = 38.0 if right else 70.0
    for x in (70, 78, 86):
        sketch.path(f"M{x} {top}C{x} {top - 12} {x - 6} {top - 18} {x - 12} {top - 22}", width=2.2)
    if right:
        sketch.path("M134 26H106M108 26V38", width=1.6)
        sketch.circle((106, 26), 2, fill=INK)
    device(sketch, 62, top, 52, 30)
    sketch.rect(68, top + 6, 40, 18, fill=PAPER)
    sketch.inscribe("label", (88, top + 19), (88, top + 15), bold=False)
    sketch.label("device", (154, top + 10), (114, top + 6), bold=True)
    sketch.label("water", (42, 108), (54, 96), anchor="end")
    if not right:
        sketch.trouble((66, 98), 13)
        return sketch.drawing("On the floor, in the water.", "wrong")
    return sketch.drawing("Off the floor, label in view.", "right")


def write_the_address(values: WorkValues) -> Row:
    """Read the address off the device and write it down before the splice."""
    sketch = Sketch(
        "address", "Write the address", "The address on the device is written on the record and on the label."
    )
    for y in (46, 66):
        lead(sketch, f"M-4 {y}H12")
    device(sketch, 10, 34, 66, 44)
    sketch.rect(14, 46, 58, 19, fill=PAPER)
    sketch.inscribe("address", (43, 60), (43, 56))
    sketch.arrow((82, 56), (104, 56))
    sketch.rect(108, 10, 66, 88, radius=2, fill=PAPER, width=1.6)
    for y in (24, 36, 74, 86):
        sketch.line((116, y), (166, y), width=1)
    sketch.rect(114, 47, 54, 17, width=1.6)
    sketch.path("M119 60q3-9 6-1t6-2t6 1", width=1.6)
    pencil(sketch, (139, 60), -22)
    pinch(sketch, (154, 54), 14, scale=0.75)
    sketch.label("record", (141, 111), (141, 98), anchor="middle", lead=False)
    sketch.label("device", (43, 94), (43, 78), anchor="middle", lead=False)
    return (sketch.drawing("Write it down before the splice."),)


@both
def two_leads_a_station(values: WorkValues, right: bool) -> Drawing:
    """Each station has two leads of its own; two stations on one return."""
    words = "Each station has two leads of its own." if right else "Two stations share one return."
    sketch = Sketch(f"leads-{'own' if right else 'shared'}", "Leads of a station", words)
    device(sketch, 10, 30, 40, 58)
    for y, station in ((34.0, 1), (84.0, 2)):
        sketch.circle((176, y), 15, fill=LIGHT, width=1.6)
        sketch.inscribe(str(station), (176, y + 4.5), (176, y))
    for y, x in ((40, 29), (78, 79)):
        sketch.path(f"M50 {y}C80 {y} 110 {x} 161 {x}", width=2.4)
    if not right:
        sketch.path("M50 59H94C114 59 136 39 161 39M94 59C114 59 136 89 161 89", width=2.4)
        sketch.trouble((95, 59), 13)
        sketch.label("shared", (116, 63), (98, 59), bold=True)
        return sketch.drawing("Two stations on one return.", "wrong")
    sketch.path("M50 48C80 48 110 39 161 39M50 70C80 70 110 89 161 89", width=2.4)
    sketch.label("device", (30, 104), (30, 88), anchor="middle", lead=False)
    sketch.label("solenoids", (164, 63), (172, 50), anchor="middle", lead=False)
    return sketch.drawing("Two leads for each station.", "right")


@both
def cut_out_the_splice(values: WorkValues, right: bool) -> Drawing:
    """A bad splice cut out whole; a sealed splice pulled open."""
    words = "is cut out whole" if right else "is pulled open to be used again"
    sketch = Sketch(f"splice-{'out' if right else 'opened'}", "A bad splice", f"The sealed connector {words}.")
    core_a(sketch, "M-4 46C40 46 70 52 106 52")
    core_a(sketch, "M-4 76C40 76 70 64 106 64")
    sketch.shape("M0-22h44q14 0 14 14v16q0 14-14 14h-44z", MID, at=(104, 58), width=1.6)
    if right:
        cutters(sketch, (70, 56))
        sketch.label("close to it", (56, 32), (68, 44), anchor="middle", bold=True)
        sketch.label("splice", (134, 98), (134, 80), anchor="middle")
        return sketch.drawing("Cut it out whole.", "right")
    fist(sketch, (62, 60), scale=0.8)
    sketch.arrow((120, 24), (158, 24))
    sketch.trouble((104, 58), 16)
    sketch.label("splice", (134, 98), (134, 80), anchor="middle")
    return sketch.drawing("Pulled open: it never seals again.", "wrong")
