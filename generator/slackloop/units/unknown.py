"""What nobody knows: a quantity or conductor without a value, so that whatever depends on it has none either.

Its value inside is not a number (IEEE 754), which every sum and product hands on; a reader is told ``not known``.
"""

from __future__ import annotations

import math

from slackloop.units.conductor_size import ConductorSize
from slackloop.units.figure import NOT_KNOWN
from slackloop.units.quantity import Quantity

UNKNOWN_CONDUCTOR = ConductorSize(NOT_KNOWN, "AWG", math.nan, math.nan)


def unknown_quantity(dimension: str) -> Quantity:
    """A quantity of a dimension that nobody knows."""
    return Quantity(math.nan, NOT_KNOWN, "", dimension)


def is_unknown(value: float | None) -> bool:
    """Whether a figure is not known."""
    return value is not None and math.isnan(value)
