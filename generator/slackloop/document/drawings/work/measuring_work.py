"""Pictures of measuring: the insulation test, the loop reading, the meter on the pair, the lock, what lies where."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.work.hand_tools import (
    cable,
    clip,
    copper,
    core_a,
    core_b,
    meter,
    name_cores,
    pencil,
    pinch,
    probe,
)
from slackloop.document.drawings.work.sketch import DARK, LIGHT, MID, PAPER, Row, Sketch, WorkValues, both, told


@both
def fix_the_ends_apart(values: WorkValues, right: bool) -> Drawing:
    """At the far end both bared cores are fixed apart and nobody holds them; a hand that holds one."""
    words = "Both cores are clamped to a dry board, apart. Nobody is near." if right else "A hand holds one core."
    sketch = Sketch(f"apart-{'fixed' if right else 'held'}", "Far end during the insulation test", words)
    sketch.rect(84, 10, 14, 96, radius=2, fill=LIGHT, width=1.4)
    copper(sketch, "M116 28H134")
    copper(sketch, "M116 88H134")
    core_a(sketch, "M38 54C60 54 62 28 84 28H118")
    core_b(sketch, "M38 63C60 63 62 88 84 88H118")
    cable(sketch, "M-4 58H42", 16)
    for y in (28, 88):
        if right or y != 28:
            sketch.rect(82, y - 7, 18, 14, radius=2, fill=DARK)
    if not right:
        pinch(sketch, (108, 28), 12)
        sketch.trouble((128, 30), 16)
        sketch.label("test volts", (160, 68), (136, 40), bold=True, anchor="middle")
        return sketch.drawing("A hand on a core during the test.", "wrong")
    name_cores(sketch, ((140, 32), (134, 28)), ((140, 92), (134, 88)))
    sketch.label("dry board", (120, 62), (98, 58))
    return sketch.drawing("Fixed apart. Nobody near.", "right")


def test_to_earth(values: WorkValues) -> Row:
    """The tester between core a and the stake; the far end open."""
    at = f" at {values.insulation_volts}" if values.insulation_volts else ""
    sketch = Sketch(
        "test-earth", "Core a to earth",
        f"A tester{at} between core a and a stake in damp soil.",
    )  # fmt: skip
    sketch.ground(92)
    sketch.path("M70 50C88 60 84 36 112 38", width=2)
    sketch.path("M70 58C92 66 92 74 100 76", width=2)
    sketch.shape("M-3-18H3V14L0 20L-3 14Z", MID, at=(104, 92))
    meter(sketch, 16, 22)
    sketch.inscribe(told(values.insulation_volts.removesuffix(" dc"), 46, "test"), (43, 41.5), (43, 37))
    core_a(sketch, "M130 38H152C164 38 166 52 180 54")
    core_b(sketch, "M130 68H152C164 68 166 62 180 60")
    cable(sketch, "M178 57H208", 14)
    copper(sketch, "M118 38H132")
    copper(sketch, "M118 68H132")
    clip(sketch, (122, 38), 180)
    sketch.label("stake", (120, 110), (106, 104))
    name_cores(sketch, ((136, 28), (136, 35)), ((136, 86), (136, 70)))
    return (sketch.drawing("Core a to the stake. Then core b."), _no_volts())


def _no_volts() -> Drawing:
    """After a test the meter must read no volts before anybody touches the pair."""
    sketch = Sketch(
        "discharge", "Check that no volts are left", "A meter on the pair reads 0 V before a person touches it."
    )
    _pair_read(sketch, "0 V")
    return sketch.drawing("0 V first. Then touch the cores.")


def _pair_read(sketch: Sketch, reading: str) -> None:
    """A pair with open ends and a meter across it."""
    sketch.path("M70 44C88 30 100 26 120 26", width=2)
    sketch.path("M70 64C88 80 100 88 120 88", width=2)
    meter(sketch, 16, 28, reading)
    core_a(sketch, "M204 42H176C164 42 160 38 146 38")
    core_b(sketch, "M204 72H176C164 72 160 76 146 76")
    copper(sketch, "M134 38H148")
    copper(sketch, "M134 76H148")
    probe(sketch, (138, 36), 206)
    probe(sketch, (138, 78), 154)
    name_cores(sketch, ((190, 32), (190, 39)), ((190, 92), (190, 75)), anchor="middle")


def short_and_read(values: WorkValues) -> Row:
    """The loop reading: cores joined by a clip at the far end, the meter at the near end."""
    sketch = Sketch(
        "loop", "Loop reading", "At the far end a clip joins core a to core b. At the near end a meter reads the loop."
    )
    sketch.path("M66 40C76 36 74 38 82 38", width=2)
    sketch.path("M66 62C76 70 74 72 82 72", width=2)
    meter(sketch, 12, 26, "Ω")
    core_a(sketch, "M84 38C98 38 96 50 108 51H134C146 50 144 38 158 38H172")
    core_b(sketch, "M84 72C98 72 96 60 108 60H134C146 60 144 72 158 72H172")
    cable(sketch, "M106 55H136", 17)
    sketch.path("M117 70L125 40", stroke=PAPER, width=6)
    sketch.path("M113 69L121 41M121 69L129 41", width=1.2)
    copper(sketch, "M80 38H86")
    copper(sketch, "M80 72H86")
    copper(sketch, "M170 38H182")
    copper(sketch, "M170 72H182")
    _shorting_lead(sketch, 178, 38, 72)
    sketch.label("clip joins\na and b", (194, 97), (186, 60), anchor="end", bold=True)
    name_cores(sketch, ((96, 30), (92, 36)), ((96, 92), (92, 75)), anchor="middle")
    sketch.label("near end", (30, 106), (43, 84), lead=False)
    return (sketch.drawing("Short the far end. Read at the near end."), _tail(off=True))


def _shorting_lead(sketch: Sketch, x: float, top: float, low: float) -> None:
    """A short lead with a clip at each end, over the copper of both cores."""
    sketch.path(f"M{x} {top}Q{x + 20} {(top + low) / 2} {x} {low}", width=3)
    for y in (top, low):
        sketch.rect(x - 6, y - 4.5, 12, 9, radius=2, fill=DARK)


def _tail(*, off: bool) -> Drawing:
    sketch = Sketch("short-off", "Take the short off", "The clip is taken off, and the reading goes up at once.")
    core_a(sketch, "M24 42C42 42 44 34 62 34H92")
    core_b(sketch, "M24 72C42 72 44 80 62 80H92")
    cable(sketch, "M-4 57H28", 34)
    copper(sketch, "M90 34H106")
    copper(sketch, "M90 80H106")
    _shorting_lead(sketch, 138, 34, 80)
    pinch(sketch, (146, 57), scale=0.7)
    sketch.arrow((106, 57), (136, 57))
    name_cores(sketch, ((76, 24), (76, 31)), ((76, 102), (76, 83)), anchor="middle")
    return sketch.drawing("Take the short off: the reading goes up.")


@both
def read_the_pair(values: WorkValues, right: bool) -> Drawing:
    """Probes held by their insulated handles; a finger past the guard, on the tip."""
    words = (
        "The probe is held by its insulated handle, behind the guard." if right else "A finger touches the bare tip."
    )
    sketch = Sketch(f"probe-{'handle' if right else 'tip'}", "Holding a probe", words)
    sketch.path("M124 56C146 52 168 40 208 44", width=2.4)
    copper(sketch, "M36 56H62", 5)
    core_a(sketch, "M-4 56H40", 11)
    sketch.shape("M0 0L32-2.6V2.6Z", DARK, at=(58, 56), width=0.8)
    sketch.shape("M32-6h5v-6h6v6h44q6 6 0 12h-44v6h-6v-6h-5z", LIGHT, at=(58, 56), width=1.4)
    if not right:
        pinch(sketch, (76, 56), -12)
        sketch.trouble((78, 56), 14)
        sketch.label("bare tip", (64, 26), (78, 53), anchor="middle", bold=True)
        return sketch.drawing("A finger on the bare tip.", "wrong")
    pinch(sketch, (118, 57), -12)
    sketch.label("bare tip", (70, 26), (78, 53), anchor="middle")
    sketch.label("guard", (98, 98), (98, 67), anchor="middle", bold=True)
    return sketch.drawing("By the handle, behind the guard.", "right")


@both
def lock_off(values: WorkValues, right: bool) -> Drawing:
    """Switched off and locked off; switched off only."""
    words = "A padlock and a tag hold the switch off." if right else "The switch is off, but anyone can turn it on."
    sketch = Sketch(f"lock-{'on' if right else 'none'}", "Locked off", words)
    sketch.rect(52, 10, 74, 92, radius=5, fill=LIGHT, width=1.8)
    sketch.circle((89, 48), 22, fill=PAPER, width=1.4)
    sketch.rect(67, 42, 44, 12, radius=5, fill=DARK)
    sketch.inscribe("OFF", (89, 94), (89, 86))
    if not right:
        sketch.trouble((111, 48), 15)
        sketch.label("no lock", (144, 44), (124, 48), bold=True)
        return sketch.drawing("Off, but any person can switch it on.", "wrong")
    sketch.shape("M-7 0v-8a7 7 0 0 1 14 0v8", at=(112, 58), width=3)
    sketch.rect(101, 56, 22, 18, radius=2, fill=MID, width=1.6)
    sketch.shape("M0 0l7 6v22h-14v-22z", PAPER, at=(134, 72), width=1.2)
    sketch.line((123, 66), (134, 73), width=1.2)
    sketch.label("your\nlock", (150, 34), (121, 60), bold=True)
    sketch.label("tag", (156, 96), (141, 88))
    return sketch.drawing("Switched off, locked and tagged.", "right")


def prove_it_dead(values: WorkValues) -> Row:
    """Try the meter on a source that is known, then read the pair."""
    sketch = Sketch("try-meter", "Test the meter first", "The meter reads a battery that is known to be good.")
    sketch.path("M66 44C84 30 96 32 112 36", width=2)
    sketch.path("M66 64C84 84 96 86 112 84", width=2)
    meter(sketch, 12, 28, "9 V")
    sketch.rect(150, 26, 34, 66, radius=4, fill=LIGHT, width=1.6)
    sketch.rect(143, 36, 8, 10, fill=DARK)
    sketch.rect(143, 72, 8, 10, fill=DARK)
    probe(sketch, (143, 41), 180)
    probe(sketch, (143, 77), 180)
    sketch.label("good battery", (152, 110), (167, 92), anchor="middle", lead=False)
    pair = Sketch("prove-dead", "Then read the pair", "The same meter on the pair reads 0 V.")
    _pair_read(pair, "0 V")
    return (sketch.drawing("Test the meter on a known supply."), pair.drawing("Then read the pair: no volts."))


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
