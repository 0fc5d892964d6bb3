"""How much of a material: a plain number of pieces, a length or a volume, in the unit in which it is ordered.

Prices as a job states them: ``0.62 /m``, ``0.19 /ft``, with no currency.

Numbers as text: a decimal comma written as a point; whole ones with thousands set apart, and with their noun in the
singular or the plural.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from slackloop.language.messages import noun
from slackloop.units.quantity import parse_quantity
from slackloop.units.unit_table import UNITS, QuantityError

EACH = "each"
"""The unit of a plain number."""
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")
_DECIMAL_COMMA = re.compile(
    r"(?<![0-9.,])(?:(?P<none>0*),(?P<small>[0-9]+)|(?P<whole>[0-9]+),(?P<part>[0-9]{1,2}|[0-9]{4,}))(?![0-9.,])"
)


@dataclass(frozen=True, slots=True)
class Amount:
    """``number`` in ``unit`` as the job wrote it; ``si`` in metres or cubic metres, the number itself for pieces."""

    number: float
    unit: str
    si: float
    text: str


def parse_amount(text: str) -> Amount:
    """Read ``2``, ``3 m`` or ``0.05 m3``; raises ``QuantityError`` for anything else, and for nothing at all."""
    plain = text.strip()
    if _NUMBER.fullmatch(plain):
        if float(plain) == 0:
            raise QuantityError("not-positive", "0 orders nothing", "a quantity more than 0")
        return Amount(float(plain), EACH, float(plain), plain)
    for dimension in ("volume", "length"):
        try:
            found = parse_quantity(plain, dimension)
        except QuantityError as error:
            if dimension == "length":
                if error.code in ("unit-unknown", "unit-wrong-kind"):
                    raise QuantityError(
                        error.code, error.message, "a number of pieces, a length or a volume, as 2, 3 m or 0.05 m3"
                    ) from None
                raise
        else:
            return Amount(found.si / float(UNITS[found.unit].factor), found.unit, found.si, text)
    raise AssertionError("a length was read or refused")


_EXPECTED = "a price for a metre or a foot without a currency, as 0.62 /m or 0.19 /ft"
_PRICE = re.compile(r"(?P<number>[0-9]{1,9}(?:\.[0-9]{1,9})?) ?/ ?(?P<unit>[a-z]+)")
_PER = ("m", "ft")


@dataclass(frozen=True, slots=True)
class Price:
    """A price: ``per_m`` for a metre, in whatever currency the job means; ``text`` as written."""

    per_m: float
    text: str


def parse_price(text: str) -> Price:
    """Read one price for a metre or a foot. Raises ``QuantityError``."""
    cleaned = " ".join(text.split())[:80]
    match = _PRICE.fullmatch(cleaned)
    unit = UNITS.get(match["unit"]) if match else None
    if match is None or unit is None or unit.name not in _PER:
        message = f"{cleaned or 'an empty text'} is not a price"
        raise QuantityError("price-unreadable", message, _EXPECTED, _hint(cleaned))
    return Price(float(Fraction(match["number"]) / unit.factor), cleaned)


def _hint(text: str) -> str:
    """What was most likely meant: a currency taken away, a point for a comma, a unit added."""
    comma = re.search(r"[0-9],[0-9]", text)
    number = re.search(r"[0-9]+(?:\.[0-9]+)?", text.replace(",", "."))
    if number is None:
        return ""
    feet = re.search(r"/ ?(?:ft|feet|foot)\b|\bper f", text)
    mend = f"write {number[0]} /{'ft' if feet else 'm'}"
    return f"{mend}; a decimal takes a point" if comma else mend


def grouped(number: int) -> str:
    """A whole number with thousands set apart by a comma."""
    return f"{number:,}"


def count(number: int, one: str, many: str) -> str:
    """A number with its noun, as ``1 box`` or ``12 boxes``."""
    return f"{grouped(number)} {noun(number, one, many)}"


def with_point(text: str) -> str:
    """The text with each decimal comma written as a point; one that may set thousands apart, as in 1,234, is left."""
    return _DECIMAL_COMMA.sub(
        lambda found: f"{found['none'] or found['whole'] or '0'}.{found['small'] or found['part']}", text
    )
