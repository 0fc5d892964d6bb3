"""What meets in a box: each splice with its wires, in the job's own core colours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.handbook.figures.core_colour import draw_wire
from slackloop.handbook.figures.lettering import fit, text_width, wrap
from slackloop.handbook.figures.svg import INK, SMALL_SIZE, TEXT_SIZE, WIDTH_PX, Canvas, Figure, number

ROW = 40.0
LABEL_ROOM = 140.0
FRAME_LENGTH = 74.0
MOUTH_PITCH = 9.0
CONNECTOR_NOTE = "Each frame is a connector, of any shape."


@dataclass(frozen=True)
class SpliceWire:
    """One wire of a splice: ``origin`` in plain words, conductor ``size``, ``colour`` word (empty: not given)."""

    origin: str
    size: str
    colour: str = ""


@dataclass(frozen=True)
class SpliceView:
    """One splice: ``title`` ("Core a", "Station 3, lead a"), core ``colour``, its wires and the connector's title."""

    title: str
    colour: str
    wires: tuple[SpliceWire, ...]
    connector: str


def splice_figure(id: str, title: str, splices: Sequence[SpliceView], *, width_px: float = WIDTH_PX) -> Figure:
    """Draw every splice of a box, one under the other, each wire with its origin, colour word and size.

    ``splices`` may be empty (an end with nothing to join): the drawing then says so.
    """
    canvas = Canvas(id, title, _description(splices), width_px)
    y = 4.0
    for place, splice in enumerate(splices, start=1):
        y = _draw_splice(canvas, splice, place, y) + 18
    if not splices:
        canvas.text(2, 18, "No splice is made in this box.")
        return canvas.figure(24)
    canvas.text(2, y, CONNECTOR_NOTE, size=SMALL_SIZE)
    return canvas.figure(y + 8)


def _description(splices: Sequence[SpliceView]) -> str:
    """Return the drawing in words, with every name in full."""
    if not splices:
        return "No splice is made in this box."
    said = []
    for splice in splices:
        wires = "; ".join(
            ", ".join(part for part in (wire.origin, wire.colour, wire.size) if part) for wire in splice.wires
        )
        said.append(f"{_heading(splice)}: {_count(splice)} in one {splice.connector}: {wires}.")
    return " ".join(said)


def _heading(splice: SpliceView) -> str:
    return f"{splice.title}, {splice.colour}" if splice.colour else splice.title


def _count(splice: SpliceView) -> str:
    return "1 wire" if len(splice.wires) == 1 else f"{len(splice.wires)} wires"


def _draw_splice(canvas: Canvas, splice: SpliceView, place: int, top: float) -> float:
    """Draw one splice below ``top``; return where it ends."""
    right = canvas.width - 2
    count = _count(splice)
    canvas.text(2, top + 12, fit(_heading(splice), TEXT_SIZE * 1.1, right - 70), bold=True)
    canvas.text(right, top + 12, count, anchor="end")
    y = canvas.lines(2, top + 28, wrap(splice.connector, SMALL_SIZE, right - 4, 2), size=SMALL_SIZE)
    first = y - 8
    canvas.line((2, first), (right, first), width=0.6)
    wires = splice.wires
    middle = first + 8 + len(wires) * ROW / 2
    frame_left = right - FRAME_LENGTH
    meeting = (frame_left + FRAME_LENGTH * 0.62, middle)
    for number_in_splice, wire in enumerate(wires):
        row = first + 8 + (number_in_splice + 0.5) * ROW
        mouth = middle + (number_in_splice - (len(wires) - 1) / 2) * MOUTH_PITCH
        _draw_wire_row(canvas, wire, row, (frame_left + 14, mouth), f"splice{place}-wire{number_in_splice + 1}")
        canvas.path(
            f"M{number(frame_left + 14)} {number(mouth)}L{number(meeting[0])} {number(meeting[1])}",
            width=1.6,
        )
    height = max(30.0, len(wires) * MOUTH_PITCH + 16)
    draw_connector(canvas, frame_left, middle - height / 2, FRAME_LENGTH, height, f"splice{place}-connector")
    canvas.circle(meeting, 4.2, fill=INK)
    return first + 8 + len(wires) * ROW


def _draw_wire_row(canvas: Canvas, wire: SpliceWire, row: float, mouth: tuple[float, float], name: str) -> None:
    """Write what a wire is and draw it to the connector's mouth."""
    size = f", {fit(wire.size, SMALL_SIZE, LABEL_ROOM / 2)}" if wire.size else ""
    second = fit(wire.colour or "as marked", SMALL_SIZE, LABEL_ROOM - text_width(size, SMALL_SIZE)) + size
    canvas.text(2, row - 3, fit(wire.origin, TEXT_SIZE, LABEL_ROOM))
    canvas.text(2, row + 11, second, size=SMALL_SIZE)
    start, bend = LABEL_ROOM + 8, LABEL_ROOM + 40
    half = (bend + mouth[0]) / 2
    data = (
        f"M{number(start)} {number(row)}L{number(bend)} {number(row)}"
        f"C{number(half)} {number(row)} {number(half)} {number(mouth[1])} "
        f"{number(mouth[0] - 6)} {number(mouth[1])}L{number(mouth[0])} {number(mouth[1])}"
    )
    draw_wire(canvas, data, wire.colour, name=name)


def draw_connector(canvas: Canvas, x: float, y: float, length: float, height: float, name: str) -> None:
    """Draw a connector as a sign: a plain frame round the place where its wires are joined, whatever its make.

    A negative ``length`` puts it to the left of x.
    """
    canvas.rect(min(x, x + length), y, abs(length), height, radius=4, fill=INK, opacity=0.07, width=1.3, name=name)
