"""Figures as text: sensible rounding, both unit systems where a crew measures, the job's first.

A quantity that the job states is shown as it was written; what the job wrote in one system only
has the other added in brackets. Conversions are exact by definition (1 in = 25.4 mm, 1 ft =
0.3048 m, 1 yd = 0.9144 m: NIST SP 811, Appendix B).
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from slackloop.compute.volts_left import cut_down, volts_left
from slackloop.sections.text import Measure
from slackloop.units.quantity import ConductorSize, Quantity
from slackloop.units.unit_table import CUBIC_METRES_PER_CUBIC_YARD, METRES_PER_FOOT, METRES_PER_INCH

Units = Literal["metric", "us"]

INCHES_IN_WHOLE_FEET = 240.0
"""From 20 ft on a length is told in whole feet."""
_US_UNITS = frozenset({"in", "ft", "yd", "degF"})
_SYMBOLS = (
    (re.compile(r"\bohm[ ·*]?m\b"), "Ω·m"),
    (re.compile(r"\b([kMG]?)ohms?\b"), r"\1Ω"),
    (re.compile(r"\bdeg([CF])\b"), r"°\1"),
    (re.compile(r"\bmm2\b"), "mm²"),
)


def plain(number: float, digits: int) -> str:
    """``number`` with at most ``digits`` decimals, no trailing zeros and no minus zero."""
    text = f"{number:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def written(text: str) -> str:
    """A quantity as the job wrote it, with the unit's usual symbol."""
    for pattern, symbol in _SYMBOLS:
        text = pattern.sub(symbol, text)
    return " ".join(text.split())


def metric_length(length_m: float) -> str:
    """Millimetres below 1 m, then metres: two decimals below 10 m, one above."""
    if abs(length_m) < 0.9995:
        return f"{plain(length_m * 1000, 0 if abs(length_m) >= 0.0195 else 1)} mm"
    return f"{plain(length_m, 2 if abs(length_m) < 10 else 1)} m"


def us_length(length_m: float) -> str:
    """As a tape is read: inches to 1/16 below 1 in, 1/8 below 3 in and 1/4 below 3 ft; feet and inches; whole feet.

    Feet and inches go to 1/2 in and stand below 20 ft.
    """
    inches = length_m / METRES_PER_INCH
    size = abs(inches)
    if size >= INCHES_IN_WHOLE_FEET:
        return f"{plain(length_m / METRES_PER_FOOT, 0)} ft"
    if size >= 35.75:
        feet, rest = divmod(Fraction(round(size * 2), 2), 12)
        sign = "-" if inches < 0 else ""
        return f"{sign}{feet} ft {inch_fraction(float(rest), 2)} in" if rest else f"{sign}{feet} ft"
    return f"{inch_fraction(inches, 16 if size < 1 else 8 if size < 3 else 4)} in"


def inch_fraction(inches: float, parts: int) -> str:
    """Inches to the nearest ``1/parts``, as ``1 1/2``."""
    nearest = Fraction(round(inches * parts), parts)
    whole, rest = divmod(abs(nearest), 1)
    sign = "-" if nearest < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def length(length_m: float, units: Units) -> Measure:
    """A computed length in both systems."""
    pair = (metric_length(length_m), us_length(length_m))
    first, second = pair if units == "metric" else pair[::-1]
    return Measure(f"{first} ({second})")


def run_length(length_m: float, units: Units) -> str:
    """A computed run or path length in both systems, for tables: 0.1 m and whole feet."""
    pair = (f"{length_m:.1f} m", f"{plain(length_m / METRES_PER_FOOT, 0)} ft")
    first, second = pair if units == "metric" else pair[::-1]
    return f"{first} ({second})"


def stated_length(quantity: Quantity, units: Units) -> Measure:
    """A length that the job states: as written, with the other system added where it is missing."""
    text = written(quantity.text)
    if "(" in text:
        return Measure(text)
    is_us = quantity.unit in _US_UNITS
    other = metric_length(quantity.si) if is_us else us_length(quantity.si)
    if is_us == (units == "us"):
        return Measure(f"{text} ({other})")
    return Measure(f"{other} ({text})")


def conductor(size: ConductorSize) -> str:
    """A conductor size with its area, as ``14 AWG (2.08 mm²)``."""
    if size.system == "AWG":
        return f"{size.label} ({plain(size.area_mm2, 2)} mm²)"
    return written(size.label)


def conductor_label(size: ConductorSize) -> str:
    """A conductor size by its label alone."""
    return written(size.label)


def volts(value: float | None) -> Measure:
    """Volts to one decimal; None where the path has no volts that can be relied on, no figure where none are left."""
    return Measure("no reliable volts" if value is None else volts_left(value, 1))


def lowest_volts(value: float | None) -> Measure:
    """Worst-case volts, cut and not rounded to one decimal, so that a shortfall never shows as enough."""
    if value is not None and value <= 0:
        return Measure("none: too much is lost on the way")
    return volts(None if value is None else cut_down(value))


def ohms(value: float) -> Measure:
    """Resistance: two decimals below 100 Ω, one below 1,000 Ω, then kΩ or MΩ."""
    if abs(value) >= 1e6:
        return Measure(f"{plain(value / 1e6, 2)} MΩ")
    if abs(value) >= 1e3:
        return Measure(f"{plain(value / 1e3, 2)} kΩ")
    return Measure(f"{value:.2f} Ω" if abs(value) < 100 else f"{value:.1f} Ω")


def amps(value: float | None) -> str:
    """Current: milliamperes below 1 A, then amperes to two decimals; None where it cannot be worked out."""
    if value is None:
        return "cannot be worked out"
    if abs(value) < 0.9995:
        return f"{plain(value * 1000, 1 if abs(value) < 0.1 else 0)} mA"
    return f"{value:.2f} A"


def area(value_mm2: float) -> str:
    """Copper area to two decimals."""
    return f"{value_mm2:.2f} mm²"


def temperature(celsius: float, units: Units) -> str:
    """A temperature in both scales, to a whole degree."""
    pair = (f"{plain(celsius, 0)} °C", f"{plain(celsius * 9 / 5 + 32, 0)} °F")
    first, second = pair if units == "metric" else pair[::-1]
    return f"{first} ({second})"


def volume(cubic_metres: float, units: Units) -> str:
    """A volume in cubic metres and cubic yards."""
    pair = (f"{cubic_metres:.1f} m³", f"{cubic_metres / CUBIC_METRES_PER_CUBIC_YARD:.1f} yd³")
    first, second = pair if units == "metric" else pair[::-1]
    return f"{first} ({second})"


def grouped(number: int) -> str:
    """A whole number with thousands set apart by a comma."""
    return f"{number:,}"


def count(number: int, one: str, many: str) -> str:
    """A number with its noun, as ``1 box`` or ``12 boxes``."""
    return f"{grouped(number)} {one if number == 1 else many}"


def listing(words: tuple[str, ...] | list[str], last: str = "and") -> str:
    """Words as a sentence lists them: ``a``, ``a and b``, ``a, b and c``."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
