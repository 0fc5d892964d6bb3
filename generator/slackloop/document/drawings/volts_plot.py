"""Volts along the path: with all outputs off and at the worst choice of running stations, for each arm and branch.

Round numbers for the ticks of an axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.document.drawings.label_placement import spread
from slackloop.document.drawings.lettering import fit, text_width, wrap
from slackloop.document.drawings.svg import INK, SMALL_SIZE, Canvas, Figure, number
from slackloop.units.figure import run_length, volts
from slackloop.units.ladder import System
from slackloop.units.unit_table import METRES_PER_FOOT


def ticks(low: float, high: float, most: int) -> tuple[float, ...]:
    """Return at most ``most`` (at least 2) rising round numbers that span ``low`` to ``high``.

    The first is at or below ``low``, the last at or above ``high``; steps are 1, 2 or 5 times a power of ten.
    Raises ``ValueError`` unless ``high`` is above ``low``.
    """
    if not high > low or most < 2:
        raise ValueError(f"no axis from {low} to {high} with {most} ticks")
    power = 10.0 ** math.floor(math.log10((high - low) / most))
    for factor in (1, 2, 5, 10, 20, 50, 100):
        step = factor * power
        first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
        if last - first + 1 <= most:
            return tuple(round(place * step, 10) for place in range(first, last + 1))
    return (low, high)


TOP = 30.0
LEFT = 38.0
RIGHT_ROOM = 108.0
HEIGHT = 250.0
MOST_NAMED = 10
REST_DASH = "6 4"
LEAST_DASH = "2 3"


@dataclass(frozen=True)
class VoltsPoint:
    """One place on the path: metres from the controller, volts with all outputs off and at worst."""

    path_m: float
    standby_volts: float
    worst_volts: float


@dataclass(frozen=True)
class VoltsLine:
    """An arm or a branch: what it is called and its points in path order (at least two)."""

    label: str
    points: tuple[VoltsPoint, ...]


@dataclass(frozen=True)
class _Frame:
    """From metres and volts to drawing units."""

    m_end: float
    v_low: float
    v_high: float
    right: float
    bottom: float

    def x(self, path_m: float) -> float:
        """Return the place across of a distance along the path."""
        return LEFT + path_m / self.m_end * (self.right - LEFT)

    def y(self, volts: float) -> float:
        """Return the height of a voltage."""
        return self.bottom - (volts - self.v_low) / (self.v_high - self.v_low) * (self.bottom - TOP)


def volts_plot(
    id: str, lines: Sequence[VoltsLine], least_volts: float | None = None, units: System = "metric"
) -> Figure:
    """Plot volts along the path. ``least_volts`` is the highest least of any device on it.

    Points are in metres whatever the unit shown. Raises ``ValueError`` without a line of two points.
    """
    if not lines or any(len(line.points) < 2 for line in lines):
        raise ValueError("a plot needs lines of at least two points")
    canvas = Canvas(id, "Volts along the path", _description(lines, least_volts, units))
    unit, metres_per_unit = ("m", 1.0) if units == "metric" else ("ft", METRES_PER_FOOT)
    furthest = max(1.0, max(point.path_m for line in lines for point in line.points) / metres_per_unit)
    volts = [v for line in lines for point in line.points for v in (point.standby_volts, point.worst_volts)]
    volts += [least_volts] if least_volts is not None else []
    right = canvas.width - RIGHT_ROOM
    x_ticks = _ticks_across(furthest, right - LEFT)
    low, high = min(volts), max(volts)
    span = max(high - low, 1.0)
    y_ticks = ticks(low - 0.04 * span, low + span, 10)
    frame = _Frame(furthest * metres_per_unit, y_ticks[0], y_ticks[-1], right, TOP + HEIGHT)
    _draw_axes(canvas, frame, x_ticks, y_ticks, unit, metres_per_unit, least_volts)
    if least_volts is not None:
        y = frame.y(least_volts)
        canvas.line((LEFT, y), (right, y), width=1.6, dash=LEAST_DASH, name="least")
    for place, line in enumerate(lines, start=1):
        rest = [(frame.x(point.path_m), frame.y(point.standby_volts)) for point in line.points]
        worst = [(frame.x(point.path_m), frame.y(point.worst_volts)) for point in line.points]
        canvas.polyline(rest, width=1.1, dash=REST_DASH, name=f"standby{place}")
        canvas.polyline(worst, width=1.7, name=f"worst{place}")
        canvas.circle(worst[-1], 2.4, fill=INK, stroke="none")
    lowest = _label_lines(canvas, frame, lines, least_volts)
    return canvas.figure(_draw_key(canvas, max(frame.bottom + 54, lowest + 14), len(lines), least_volts))


def _ticks_across(furthest: float, room: float) -> list[float]:
    """Return as many round distances from 0 to ``furthest`` as stand beside each other in ``room`` drawing units."""
    most = max(3, int(room / text_width("0", SMALL_SIZE)))
    while True:
        found = [tick for tick in ticks(0.0, furthest, most) if tick <= furthest]
        widest = max(text_width(_distance(tick), SMALL_SIZE) for tick in found) + 8
        if most <= 3 or (found[1] - found[0]) / furthest * room >= widest:
            return found
        most = max(3, min(most, len(found)) - 1)


def _distance(tick: float) -> str:
    """Return a distance as it is written at its tick."""
    return f"{tick:,g}"


def _told(value: float) -> str:
    """Volts that a place on the path has at least."""
    return volts(value, "lowest").alone("metric")


def _description(lines: Sequence[VoltsLine], least_volts: float | None, units: System) -> str:
    """Return the plot in words: where each line ends."""
    said = []
    for line in lines:
        end = line.points[-1]
        said.append(
            f"{line.label}: {_told(end.standby_volts)} with outputs off and "
            f"{_told(end.worst_volts)} at worst, {run_length(end.path_m, 'nearest').alone(units)} along the path."
        )
    if least_volts is not None:
        said.append(f"Devices need at least {number(least_volts)} V.")
    return " ".join(said)


def _draw_axes(
    canvas: Canvas,
    frame: _Frame,
    x_ticks: Sequence[float],
    y_ticks: Sequence[float],
    unit: str,
    metres_per_unit: float,
    least_volts: float | None,
) -> None:
    """Draw both axes with ticks and units, and faint level lines but where the line of least volts lies."""
    canvas.text(2, 14, "volts, V", size=SMALL_SIZE)
    for tick in y_ticks:
        y = frame.y(tick)
        canvas.line((LEFT - 4, y), (LEFT, y))
        if least_volts is None or abs(frame.y(least_volts) - y) > 3:
            canvas.element(
                "line", x1=LEFT, y1=y, x2=frame.right, y2=y, stroke=INK, stroke_width=0.7, stroke_opacity=0.25
            )
        canvas.text(LEFT - 7, y + 4, number(tick), size=SMALL_SIZE, anchor="end")
    for tick in x_ticks:
        x = frame.x(tick * metres_per_unit)
        canvas.line((x, frame.bottom), (x, frame.bottom + 4))
        canvas.text(x, frame.bottom + 17, _distance(tick), size=SMALL_SIZE, anchor="middle")
    canvas.polyline([(LEFT, TOP), (LEFT, frame.bottom), (frame.right, frame.bottom)], width=1.2)
    middle = (LEFT + frame.right) / 2
    canvas.text(middle, frame.bottom + 33, f"path from the controller, {unit}", size=SMALL_SIZE, anchor="middle")


def _label_lines(canvas: Canvas, frame: _Frame, lines: Sequence[VoltsLine], least_volts: float | None) -> float:
    """Name the lines beside the plot, each at the height of its end and none over another; return the lowest y."""
    x = frame.right + 14
    room = canvas.width - x - 2
    named = sorted(lines, key=lambda line: line.points[-1].worst_volts)[:MOST_NAMED]
    wanted: list[tuple[float, float, list[str]]] = []
    for line in named:
        end = line.points[-1]
        words = [*wrap(line.label, SMALL_SIZE, room, 2), _told(end.worst_volts)]
        wanted.append((frame.y(end.worst_volts), frame.x(end.path_m), words))
    rest = min((line.points[-1] for line in lines), key=lambda point: point.standby_volts)
    wanted.append((frame.y(rest.standby_volts), frame.x(rest.path_m), ["outputs off", _told(rest.standby_volts)]))
    if least_volts is not None:
        wanted.append((frame.y(least_volts), frame.right, ["least", f"{number(least_volts)} V"]))
    wanted.sort(key=lambda each: each[0])
    heights = [len(words) * SMALL_SIZE * 1.2 + 6 for _, _, words in wanted]
    centres = spread([y for y, _, _ in wanted], heights, TOP - 10, frame.bottom + 4)
    for (y, end_x, words), centre, height in zip(wanted, centres, heights, strict=True):
        canvas.polyline([(end_x + 3, y), (frame.right + 3, y), (x - 3, centre)], width=0.45)
        baseline = centre - height / 2 + 3 + SMALL_SIZE * 0.85
        for word in words:
            canvas.text(x, baseline, fit(word, SMALL_SIZE, room), size=SMALL_SIZE)
            baseline += SMALL_SIZE * 1.2
    return max(centre + height / 2 for centre, height in zip(centres, heights, strict=True))


def _draw_key(canvas: Canvas, y: float, count: int, least_volts: float | None) -> float:
    """Write what solid and dashed lines are; return where the drawing ends."""
    rows: list[tuple[float, str, str]] = [(1.7, "", "worst choice of stations"), (1.1, REST_DASH, "outputs off")]
    if least_volts is not None:
        rows.append((1.6, LEAST_DASH, "least that every device needs"))
    for width, dash, words in rows:
        canvas.line((2, y), (38, y), width=width, dash=dash)
        canvas.text(46, y + 4, words, size=SMALL_SIZE)
        y += 18
    if count > MOST_NAMED:
        canvas.text(2, y + 4, f"The {MOST_NAMED} lowest of {count} lines are named.", size=SMALL_SIZE)
        y += 18
    return y - 6
