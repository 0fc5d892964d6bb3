"""Rounding with a direction: a figure that somebody works to is never rounded to the wrong side.

The direction says what the figure is to its reader. A limit is a ``least`` (rounded up) or a ``most`` (rounded
down). A length to ``cut``, pull, dig or order is rounded up. What is worked out to be the ``lowest`` that something
comes to is rounded down, the ``highest`` up, so that a shortfall never shows as enough. All else is ``nearest``.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import lru_cache
from typing import Literal

Rounding = Literal["least", "most", "cut", "lowest", "highest", "nearest"]

UP: frozenset[Rounding] = frozenset({"least", "cut", "highest"})
DOWN: frozenset[Rounding] = frozenset({"most", "lowest"})
LOST_IN_BINARY = Fraction(1, 10**9)
"""How near a whole step, as a part of the value, counts as on it: sums of binary fractions lose less."""


def to_step(value: Fraction, step: Fraction, rounding: Rounding) -> Fraction:
    """``value`` on a whole number of ``step``, never on the wrong side by more than ``LOST_IN_BINARY`` of it."""
    steps = value / step
    whole = round(steps)
    if rounding == "nearest" or abs(steps - whole) <= LOST_IN_BINARY * abs(steps):
        return whole * step
    return (math.ceil(steps) if rounding in UP else math.floor(steps)) * step


def earned_step(value: Fraction, digits: int) -> Fraction:
    """The step that leaves ``value`` its first ``digits`` significant digits; a tiny one for zero."""
    if value == 0:
        return Fraction(1, 10**12)
    power = 0
    while abs(value) >= Fraction(10) ** (power + 1):
        power += 1
    while abs(value) < Fraction(10) ** power:
        power -= 1
    return Fraction(10) ** (power + 1 - digits)


@lru_cache(maxsize=65536)
def rounded(value: float, step: float, rounding: Rounding) -> float:
    """A plain number on a whole number of ``step`` (a decimal such as 0.01), for cells of a spreadsheet."""
    return float(to_step(Fraction(value), Fraction(str(step)), rounding))
