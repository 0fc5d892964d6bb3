"""A figure on its way to a reader: an SI value with its kind, its direction of rounding and the job's own words.

A quantity that the job wrote is told as the job wrote it; the other unit system is added where it is missing, with
a direction that never loosens it. A page tells both systems, the job's first; a message tells the job's alone, or
feet with metres where the job is in US units.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import get_args

from slackloop.units.conductor_size import ConductorSize
from slackloop.units.ladder import US, Kind, Rounding, System, earned_step, tell, to_step
from slackloop.units.quantity import Quantity
from slackloop.units.unit_table import METRES_PER_FOOT, METRES_PER_INCH

NOT_KNOWN = "not known"
"""What a reader is told of a figure that rests on a fact which nobody knows."""
UNKNOWN_CONDUCTOR = ConductorSize(NOT_KNOWN, "AWG", math.nan, math.nan)
"""A conductor whose size nobody knows. What is not known is not a number inside (IEEE 754), which every sum and product
hands on."""
US_UNITS = frozenset({"in", "ft", "yd", "yd3", "ft3", "degF"})
NONE_LEFT = "no volts"
"""Drops that add up to more than the supply leave no volts: a figure below zero is never shown."""
_SYMBOLS = (
    (re.compile(r"\bohm[ ·*]?m\b"), "Ω·m"),
    (re.compile(r"\b([kMG]?)ohms?\b"), r"\1Ω"),
    (re.compile(r"\bdeg([CF])\b"), r"°\1"),
    (re.compile(r"\bmm2\b"), "mm²"),
    (re.compile(r"\b(m|yd|ft)3\b"), r"\1³"),
)
_KINDS: dict[str, Kind] = {kind: kind for kind in get_args(Kind)}


@lru_cache(maxsize=65536)
def written(text: str) -> str:
    """A quantity as the job wrote it, with the unit's usual symbol."""
    for pattern, symbol in _SYMBOLS:
        text = pattern.sub(symbol, text)
    return " ".join(text.split())


@dataclass(frozen=True, slots=True)
class Figure:
    """``value`` in the unit used inside (metres, degC, mm², a fraction for percent, kg, else plain SI).

    ``digits`` is the most significant digits that the figure has earned; ``stated`` is what the job wrote.
    """

    value: float
    kind: Kind
    rounding: Rounding
    digits: int | None = None
    stated: Quantity | None = None

    def text(self, units: System) -> str:
        """For a page: both unit systems, that of ``units`` first, as ``450 mm (18 in)``; one where there is but one."""
        if math.isnan(self.value):
            return NOT_KNOWN
        own = written(self.stated.text) if self.stated is not None else ""
        if self.kind not in US or "(" in own:
            return own or self.alone(units)
        other: System = "us" if units == "metric" else "metric"
        return f"{self.alone(units)} ({self.alone(other)})"

    def brief(self, units: System) -> str:
        """For a message: metric alone in a metric job, both in a US job; what the job wrote as it wrote it."""
        if units == "us" or math.isnan(self.value):
            return self.text(units)
        if self.stated is None:
            return self.alone("metric")
        return self.text(units) if self.stated.unit in US_UNITS else written(self.stated.text)

    def alone(self, system: System) -> str:
        """One unit system; the job's own words where they are in it."""
        if math.isnan(self.value):
            return NOT_KNOWN
        own = self._stated_in(system)
        if own:
            return own
        if self.kind == "volts" and self.value <= 0.0:
            return NONE_LEFT
        return _tell(self.value, self.kind, self.rounding, system, self.digits)

    @property
    def earned(self) -> float:
        """Its value with the digits that it has earned, rounded to its side, for a cell of a spreadsheet."""
        if self.digits is None or math.isnan(self.value):
            return self.value
        return _earned(self.value, self.digits, self.rounding)

    def _stated_in(self, system: System) -> str:
        """The part of the job's own words that is in this system; empty where there is none."""
        if self.stated is None:
            return ""
        parts = [part.strip(" )") for part in written(self.stated.text).split("(")]
        if self.kind not in US:
            return parts[0]
        own: System = "us" if self.stated.unit in US_UNITS else "metric"
        if own == system:
            return parts[0]
        return parts[1] if len(parts) == 2 else ""


@lru_cache(maxsize=65536)
def _earned(value: float, digits: int, rounding: Rounding) -> float:
    exact = Fraction(value)
    return float(to_step(exact, earned_step(exact, digits), rounding))


_tell = lru_cache(maxsize=65536)(tell)


def stated(quantity: Quantity, rounding: Rounding) -> Figure:
    """What the job wrote, told as it wrote it."""
    return Figure(quantity.si, _KINDS[quantity.dimension], rounding, stated=quantity)


def length(length_m: float, rounding: Rounding) -> Figure:
    """A length as a tape is read."""
    return Figure(length_m, "length", rounding)


def run_length(length_m: float, rounding: Rounding, digits: int | None = None) -> Figure:
    """A length of cable or path: tenths of a metre, whole feet."""
    return Figure(length_m, "run", rounding, digits)


def volts(value: float, rounding: Rounding) -> Figure:
    """Volts to one decimal."""
    return Figure(value, "volts", rounding)


def amps(value: float, rounding: Rounding) -> Figure:
    """A current: milliamperes below 1 A."""
    return Figure(value, "current", rounding)


def ohms(value: float, rounding: Rounding, digits: int | None = None) -> Figure:
    """A resistance: two decimals below 100 Ω, one below 1,000 Ω, then kΩ or MΩ."""
    return Figure(value, "resistance", rounding, digits)


def volume(cubic_metres: float, rounding: Rounding) -> Figure:
    """A volume in tenths of a cubic metre or yard, to three digits."""
    return Figure(cubic_metres, "volume", rounding)


def temperature(celsius: float, rounding: Rounding) -> Figure:
    """A temperature to a whole degree."""
    return Figure(celsius, "temperature", rounding)


def percent(fraction: float, rounding: Rounding) -> Figure:
    """A part of one as a percentage, to two digits."""
    return Figure(fraction, "percent", rounding)


def printed(
    units: System,
    rounding: Rounding,
    *,
    metres: float | None = None,
    feet: float | None = None,
    inch: float | None = None,
) -> str:
    """A length with the figures that its source prints, the job's unit first; the system it leaves out is converted."""
    us = f"{feet:g} ft" if feet is not None else f"{inch:g} in" if inch is not None else ""
    if metres is None:
        metres = (feet or 0.0) * METRES_PER_FOOT + (inch or 0.0) * METRES_PER_INCH
    converted = length(metres, rounding)
    pair = converted.alone("metric"), us or converted.alone("us")
    first, second = pair if units == "metric" else pair[::-1]
    return f"{first} ({second})"


def unknown_quantity(dimension: str) -> Quantity:
    """A quantity of a dimension that nobody knows."""
    return Quantity(math.nan, NOT_KNOWN, "", dimension)


def is_unknown(value: float | None) -> bool:
    """Whether a figure is not known."""
    return value is not None and math.isnan(value)
