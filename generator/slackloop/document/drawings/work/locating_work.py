"""Pictures of finding what is buried before the dig: scanning, and reading a mark."""

from __future__ import annotations

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.svg import INK
from slackloop.document.drawings.work.hand_tools import fist, locator
from slackloop.document.drawings.work.sketch import DARK, LIGHT, PAPER, WIDE, Sketch
from slackloop.document.drawings.work_values import WorkValues


def scan_the_line(values: WorkValues) -> tuple[Drawing, ...]:
    """The locator goes well past both sides of the line; it stays over the line and misses a service."""
    return (_scan(wide=True), _scan(wide=False))


def _scan(*, wide: bool) -> Drawing:
    words = (
        "goes well past both sides of the line and finds a service beside it"
        if wide
        else "stays over the line and misses a service beside it"
    )
    sketch = Sketch(f"scan-{'sides' if wide else 'line'}", "Scan before the dig", f"A hand-held locator {words}.")
    sketch.soil(0, 78, WIDE, 38)
    sketch.line((0, 78), (WIDE, 78), width=1.8)
    sketch.circle((146, 99), 8, fill=DARK, width=1.6)
    sketch.circle((146, 99), 3.5, fill=LIGHT)
    sketch.shape("M-3-20H3V8L0 14L-3 8Z", PAPER, at=(76, 78), width=1.4)
    sketch.label("line of run", (76, 108), (76, 94), anchor="middle")
    at = (146.0, 74.0) if wide else (104.0, 74.0)
    locator(sketch, at)
    fist(sketch, (at[0], at[1] - 45), 180, scale=0.55)
    if wide:
        sketch.arrow((128, 64), (20, 64))
        sketch.arrow((162, 64), (196, 64))
        sketch.label("both sides", (64, 40), (64, 60), anchor="middle", bold=True)
        sketch.label("found", (164, 108), (154, 102), bold=True, lead=False)
        return sketch.drawing("Scan well past both sides of the line.", "right")
    sketch.arrow((92, 64), (58, 64))
    sketch.trouble((146, 99), 14)
    sketch.label("missed", (164, 60), (154, 86), bold=True, anchor="middle")
    return sketch.drawing("Over the line only: it misses the rest.", "wrong")


def read_a_mark(values: WorkValues) -> tuple[Drawing, ...]:
    """What a painted mark says: its word, and the arrow that shows how the service goes on under the run."""
    sketch = Sketch(
        "read-mark",
        "Reading a mark",
        "From above: a painted line, the word WATER and an arrow. The service goes on past the paint, under the run.",
    )
    sketch.soil(0, 0, WIDE, 116)
    sketch.line((6, 62), (34, 62), width=6)
    sketch.line((102, 62), (124, 62), width=6)
    sketch.shape("M0-11L18 0L0 11Z", INK, at=(122, 62))
    sketch.label("WATER", (68, 66.5), (68, 62), anchor="middle", bold=True, lead=False)
    sketch.path("M144 62H204", width=2.4, dash="7 4")
    sketch.line((176, 0), (176, 116), width=1.2)
    for y in (20, 98):
        sketch.rect(173, y - 3, 6, 6, fill=INK)
    sketch.label("read the word", (62, 32), (68, 55), anchor="middle")
    sketch.label("run", (168, 24), (173, 20), anchor="end", lead=False)
    sketch.label("goes on here", (112, 100), (160, 64), anchor="middle", bold=True)
    return (sketch.drawing("Read the word; follow the arrow past the paint."),)
