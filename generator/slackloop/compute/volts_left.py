"""Volts in words. Drops that add up to more than the supply leave no volts: a figure below zero is never shown."""

from __future__ import annotations

import math

NONE_LEFT = "no volts"


def volts_left(volts: float, digits: int) -> str:
    """A voltage with its unit, to ``digits`` decimals; words where nothing is left of the supply."""
    return f"{volts:.{digits}f} V" if volts > 0.0 else NONE_LEFT


def cut_down(volts: float) -> float:
    """A lowest voltage cut to tenths and not rounded, so that a shortfall never shows as enough.

    A millionth of a tenth is allowed for what binary fractions lose.
    """
    return math.floor(volts * 10.0 + 1e-6) / 10.0
