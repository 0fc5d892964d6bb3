"""Quantities as a person writes them: ``1.5 m (5 ft)``, ``1 1/2 in``, ``10 %``, ``4 degC to 28 degC``.

Text is read with a regular expression and exact fractions, so that ``1 1/2 in`` is 38.1 mm and
``1,5 m`` is refused, never guessed. Conductor sizes are in ``conductor_size``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from slackloop.units.unit_table import DIMENSIONS, UNITS, Dimension, QuantityError, Unit, format_number, nearest_unit

AGREE_WITHIN = Fraction(5, 100)
"""How far the two halves of ``1.5 m (5 ft)`` may differ: the job format's own rule."""
AGREE_WITHIN_DEGC = Fraction(6, 10)
"""For temperatures, a whole degree Fahrenheit rounded either way (5/9 degC) must also pass near 0 degC."""
LONGEST_TEXT = 80
"""Longest text that can be a quantity, in characters."""

_NUMBER = (
    r"(?P<sign>[+\-−]?)\s?"
    r"(?:(?P<whole>[0-9]{1,12})(?:\s+|\s?-\s?)(?P<top>[0-9]{1,6})/(?P<bottom>[0-9]{1,6})"
    r"|(?P<n>[0-9]{1,12})/(?P<d>[0-9]{1,12})"
    r"|(?P<decimal>[0-9]{1,18}(?:\.[0-9]{1,18})?|\.[0-9]{1,18}))"
)
_TERM = re.compile(_NUMBER + r"\s*(?P<unit>[^0-9\s().,;+\-/][^()]*?)?")
_FEET_INCHES = re.compile(
    r"(?P<feet>[0-9]{1,6})\s?(?:ft|foot|feet)[\s-]\s?(?P<rest>[0-9][0-9./\s-]*?)\s?(?:in|inch|inches)"
)
_BOTH = re.compile(r"(?P<first>[^()]+?)\s*\((?P<second>[^()]+)\)")
_COMMA = re.compile(r"[0-9],[0-9]")
_THOUSANDS = re.compile(r"(?<![0-9,.])[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?(?![0-9,])")
_VULGAR = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8", "⁄": "/"}
_ENDS_IN_NUMBER = re.compile(_NUMBER)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity: ``si`` in the unit used inside (degC for temperature, fraction for percent, mm2 for copper area)."""

    si: float
    text: str
    unit: str
    dimension: str


@dataclass(frozen=True, slots=True)
class QuantityRange:
    """Two quantities of one dimension, ``low.si <= high.si``."""

    low: Quantity
    high: Quantity
    text: str


@dataclass(frozen=True, slots=True)
class IntRange:
    """Two whole numbers, ``low <= high``."""

    low: int
    high: int
    text: str


def clean(text: str) -> str:
    """Even out spaces and printed fractions; what is left is plain text with single spaces."""
    for printed, plain in _VULGAR.items():
        if printed in text:
            text = text.replace(printed, plain)
    return " ".join(text.split())


@lru_cache(maxsize=4096)
def parse_quantity(text: str, dimension: str, zero_allowed: bool = False) -> Quantity:
    """Read one quantity.

    ``dimension`` is a key of ``units.DIMENSIONS``. The first value written is the value; a second one in brackets
    must agree with it within 5 %. Raises ``QuantityError``.
    """
    kind = DIMENSIONS[dimension]
    if len(text) > LONGEST_TEXT:
        raise QuantityError(
            "quantity-unreadable", f"this text has {len(text)} characters; {kind.words} is far shorter", _expected(kind)
        )
    cleaned = clean(text)
    _refuse_commas(cleaned, kind)
    both = _BOTH.fullmatch(cleaned)
    first_text = both["first"] if both else cleaned
    value, unit = _term(first_text, kind)
    if both:
        second, second_unit = _term(both["second"].strip(), kind)
        _hold_together(kind, (first_text, value, unit), (both["second"].strip(), second, second_unit))
    _refuse_out_of_bounds(cleaned, value, kind, zero_allowed)
    return Quantity(float(value), text, unit.name, dimension)


@lru_cache(maxsize=256)
def parse_range(text: str, dimension: str) -> QuantityRange:
    """Read ``A to B``, each with its unit; raises ``QuantityError``."""
    kind = DIMENSIONS[dimension]
    example = f"{kind.example} to {_later_example(kind)}"
    low_text, high_text = split_range(text, example)
    if _ENDS_IN_NUMBER.fullmatch(low_text):
        unit = _TERM.fullmatch(high_text)
        mend = f"write {low_text} {unit['unit']} to {high_text}" if unit and unit["unit"] else f"write {example}"
        raise QuantityError("unit-missing", f"{low_text!s} has no unit; both ends of a range need one", example, mend)
    low, high = parse_quantity(low_text, dimension, True), parse_quantity(high_text, dimension, True)
    if low.si > high.si:
        raise QuantityError("range-reversed", f"{low_text} is more than {high_text}; the smaller comes first", example,
                            f"write {high_text} to {low_text}")  # fmt: skip
    return QuantityRange(low, high, text)


def parse_int_range(text: str) -> IntRange:
    """Read ``2 to 5``; raises ``QuantityError``."""
    low_text, high_text = split_range(text, "2 to 5")
    for part in (low_text, high_text):
        if not re.fullmatch(r"[0-9]{1,6}", part):
            raise QuantityError("range-unreadable", f"{part!s} is not a whole number", "two whole numbers, as 2 to 5")
    low, high = int(low_text), int(high_text)
    if low > high:
        raise QuantityError(
            "range-reversed", f"{low} is more than {high}; the smaller comes first", "2 to 5", f"write {high} to {low}"
        )
    return IntRange(low, high, text)


def split_range(text: str, example: str) -> tuple[str, str]:
    """Split ``A to B`` (or ``A to B (C to D)``) at its ``to``; raises ``QuantityError`` with the example."""
    cleaned = clean(text) if len(text) <= 2 * LONGEST_TEXT else ""
    twice = re.fullmatch(r"([^()]+?) to ([^()]+?) \(([^()]+?) to ([^()]+?)\)", cleaned)
    if twice:
        return f"{twice[1]} ({twice[3]})", f"{twice[2]} ({twice[4]})"
    parts = re.split(r"\s+to\s+", cleaned)
    if len(parts) != 2 or not all(parts):
        shown = cleaned if cleaned else "this text"
        raise QuantityError("range-unreadable", f"{shown} is not a range", f"smallest to largest, as {example}",
                            "write the two ends with the word to between them")  # fmt: skip
    return parts[0], parts[1]


def _expected(kind: Dimension) -> str:
    return f"{kind.words} with its unit, such as {kind.example}"


def _later_example(kind: Dimension) -> str:
    return {"temperature": "28 degC", "area": "14 mm2"}.get(kind.name, kind.example)


def _refuse_commas(text: str, kind: Dimension) -> None:
    if _COMMA.search(text):
        message = f"{text} has a comma in a number"
        raise QuantityError("comma-decimal", message, _expected(kind), comma_mend(text))


def comma_mend(text: str) -> str:
    """The hint that writes the numbers of a text without a comma: thousands run together, decimals with a point."""
    thousands = _THOUSANDS.search(text)
    if not thousands:
        return "write " + re.sub(r"([0-9]),([0-9])", r"\1.\2", text)
    whole, point = thousands[0].replace(",", ""), thousands[0].replace(",", ".", 1)
    mend = text.replace(thousands[0], whole)
    other = text.replace(thousands[0], point)
    return f"write {mend}" if point.count(".") > 1 or "," in point else f"write {mend}, or {other} if that is meant"


def _term(text: str, kind: Dimension) -> tuple[Fraction, Unit]:
    """Read one number with its unit; the value is in the unit used inside."""
    if kind.name == "length":
        compound = _FEET_INCHES.fullmatch(text)
        if compound:
            inches = _TERM.fullmatch(compound["rest"] + " in")
            if inches is not None and not inches["sign"]:
                total = int(compound["feet"]) * UNITS["ft"].factor + _number(inches, text) * UNITS["in"].factor
                return total, UNITS["ft"]
    match = _TERM.fullmatch(text)
    if match is None:
        raise QuantityError("quantity-unreadable", f"{text or 'an empty text'} is not {kind.words}", _expected(kind))
    number = _number(match, text)
    word = match["unit"]
    if not word:
        raise QuantityError(
            "unit-missing", f"{text} has no unit; a unit is needed, such as {kind.example}", _expected(kind)
        )
    unit = UNITS.get(word)
    if unit is None:
        _refuse_unknown_unit(text, match, kind)
        raise AssertionError(word)
    if unit.dimension != kind.name:
        raise QuantityError("unit-wrong-kind",
                            f"{text} is {DIMENSIONS[unit.dimension].words}; {kind.words} is needed here",
                            _expected(kind))  # fmt: skip
    return number * unit.factor + unit.offset, unit


def _number(match: re.Match[str], text: str) -> Fraction:
    sign = -1 if match["sign"] in ("-", "−") and match["sign"] else 1
    if match["bottom"] or match["d"]:
        bottom = int(match["bottom"] or match["d"])
        if bottom == 0:
            raise QuantityError("quantity-unreadable", f"{text} divides by zero")
        if match["bottom"]:
            return sign * (int(match["whole"]) + Fraction(int(match["top"]), bottom))
        return sign * Fraction(int(match["n"]), bottom)
    return sign * Fraction(match["decimal"])


def _refuse_unknown_unit(text: str, match: re.Match[str], kind: Dimension) -> None:
    word = match["unit"]
    if word in ("AWG", "awg"):
        raise QuantityError(
            "unit-wrong-kind", f"{text} is a conductor size; {kind.words} is needed here", _expected(kind)
        )
    meant = nearest_unit(word, kind.name)
    number = text[: match.start("unit")].strip()
    known = ", ".join(dict.fromkeys(u.name for u in UNITS.values() if u.dimension == kind.name))
    raise QuantityError("unit-unknown", f"{word} is not a unit of {kind.words.split(' ', 1)[1]} that is known here",
                        f"{kind.words} in one of {known}", f"write {number} {meant}" if meant else "")  # fmt: skip


def _hold_together(kind: Dimension, first: tuple[str, Fraction, Unit], second: tuple[str, Fraction, Unit]) -> None:
    difference = abs(first[1] - second[1])
    allowed = AGREE_WITHIN * max(abs(first[1]), abs(second[1]))
    if kind.name == "temperature":
        allowed = max(allowed, AGREE_WITHIN_DEGC)
    if difference <= allowed:
        return
    one, two = _convert(first[1], second[2]), _convert(second[1], first[2])
    raise QuantityError("both-units-differ", f"{first[0]} is {one}, not {second[0]}; {second[0]} is {two}",
                        "two values that agree within 5 %, such as 1.5 m (5 ft)",
                        f"write {first[0]} ({one}) or {second[0]} ({two})")  # fmt: skip


def _convert(value: Fraction, unit: Unit) -> str:
    return f"{format_number(float((value - unit.offset) / unit.factor))} {unit.name}"


def _refuse_out_of_bounds(text: str, value: Fraction, kind: Dimension, zero_allowed: bool) -> None:
    if kind.name != "temperature" and (value < 0 or (value == 0 and not zero_allowed)):
        size = "less than zero" if value < 0 else "zero"
        allowed = "zero or more" if zero_allowed else "more than zero"
        raise QuantityError("not-positive", f"{text} is {size}; {kind.words} here must be {allowed}", _expected(kind))
    if not kind.least <= value <= kind.most:
        limits = f"{format_number(float(kind.least))} to {format_number(float(kind.most))} {kind.inside or '(100 %)'}"
        raise QuantityError(
            "quantity-too-large", f"{text} is outside what {kind.words} can be here ({limits})", _expected(kind)
        )
    if 0 < value < Fraction(1, 10**12):
        raise QuantityError("quantity-too-small", f"{text} is too small to be meant", _expected(kind))
