"""Drawing to scale: scale bars, dimension lines and the ground."""

from __future__ import annotations

import math
from collections.abc import Sequence

from slackloop.document.drawings.svg import INK, SMALL_SIZE, THIN, Canvas, number
from slackloop.units.unit_table import METRES_PER_FOOT, METRES_PER_INCH


def round_length_m(most_m: float) -> float:
    """Return the longest of 1, 2 or 5 times a power of ten that is at most ``most_m`` (metres, above 0)."""
    if not most_m > 0:
        raise ValueError(f"no round length up to {most_m} m")
    power = 10.0 ** math.floor(math.log10(most_m) + 1e-12)
    return next(step * power for step in (5.0, 2.0, 1.0) if step * power <= most_m * (1 + 1e-9))


def both_units(length_m: float) -> str:
    """Return a short length in both unit systems, ``200 mm (7.9 in)`` or ``20 m (66 ft)``, for a scale bar."""
    metric = f"{number(length_m * 1000)} mm" if length_m < 1 else f"{number(length_m)} m"
    feet = length_m / METRES_PER_FOOT
    if length_m < 1:
        return f"{metric} ({length_m / METRES_PER_INCH:.1f} in)"
    return f"{metric} ({feet:.1f} ft)" if feet < 10 else f"{metric} ({feet:,.0f} ft)"


def draw_scale_bar(
    canvas: Canvas, x: float, y: float, px_per_m: float, room_px: float, *, name: str = "scale-bar"
) -> float:
    """Draw a scale bar of a round length, at most ``room_px`` long, its left end at x, y; return the length in m."""
    length_m = round_length_m(room_px / px_per_m)
    length_px = length_m * px_per_m
    canvas.rect(x, y, length_px, 5, name=name)
    canvas.rect(x, y, length_px / 2, 5, fill=INK)
    canvas.text(x, y + 18, both_units(length_m), size=SMALL_SIZE)
    return length_m


def _arrow(canvas: Canvas, x: float, y: float, dx: float, dy: float) -> None:
    """Draw a slim arrow head with its point at x, y, pointing along dx, dy (unit vector)."""
    length, half = 6.0, 1.9
    canvas.polygon(
        [
            (x, y),
            (x - dx * length - dy * half, y - dy * length + dx * half),
            (x - dx * length + dy * half, y - dy * length - dx * half),
        ],
        fill=INK,
        stroke="none",
    )


def draw_dimension(
    canvas: Canvas, start: tuple[float, float], end: tuple[float, float], *, name: str, reach: Sequence[float] = ()
) -> None:
    """Draw a dimension line, level or upright, with arrow heads inside (outside when short).

    ``reach`` holds for each end where its extension line starts: x for an upright line, y for a level one.
    """
    upright = start[0] == end[0]
    length = abs(end[1] - start[1]) + abs(end[0] - start[0])
    canvas.line(start, end, name=name, width=0.8)
    sign = 1.0 if length >= 16 else -1.0
    dx, dy = (0.0, 1.0) if upright else (1.0, 0.0)
    for (x, y), way in ((start, -1.0), (end, 1.0)):
        _arrow(canvas, x, y, dx * way * sign, dy * way * sign)
        if sign < 0:
            canvas.line((x, y), (x + dx * way * 12, y + dy * way * 12), width=0.8)
    for (x, y), begin in zip((start, end), reach, strict=False):
        if upright:
            canvas.line((begin, y), (x + math.copysign(4, x - begin), y), width=0.5)
        else:
            canvas.line((x, begin), (x, y + math.copysign(4, y - begin)), width=0.5)


def draw_ground(canvas: Canvas, left: float, right: float, y: float, *, name: str = "ground") -> None:
    """Draw finished grade from left to right at height ``y``, with short strokes under it."""
    if right <= left:
        return
    canvas.line((left, y), (right, y), width=1.8, name=name)
    x = left + 4
    while x + 2 < right:
        canvas.line((x, y + 1), (x - 4 if x - 4 > left else left, y + 6), width=0.7)
        x += 9


def draw_earth_symbol(canvas: Canvas, x: float, y: float, *, width: float = THIN) -> None:
    """Draw the common symbol for an earth electrode (IEC 60617): a stem from x, y and three bars, each shorter."""
    canvas.line((x, y), (x, y + 4), width=width)
    for step, half in enumerate((6.0, 4.0, 2.0)):
        canvas.line((x - half, y + 4 + 3 * step), (x + half, y + 4 + 3 * step), width=width)


def spread(targets: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> tuple[float, ...]:
    """Return centres for stacked labels, as near to ``targets`` (rising) as they can stand without overlap.

    Labels stay between ``top`` and ``bottom`` where they fit at all; else they run on below.
    """
    centres: list[float] = []
    floor = top
    for target, height in zip(targets, heights, strict=True):
        centre = max(target, floor + height / 2)
        centres.append(centre)
        floor = centre + height / 2
    ceiling = max(bottom, top + sum(heights))
    for place in range(len(centres) - 1, -1, -1):
        centres[place] = min(centres[place], ceiling - heights[place] / 2)
        ceiling = centres[place] - heights[place] / 2
    return tuple(centres)
