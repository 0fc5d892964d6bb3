"""Round numbers for the ticks of an axis."""

from __future__ import annotations

import math


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
