"""Prices as a job states them: ``0.62 /m``, ``0.19 /ft``, with no currency."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from slackloop.units.quantity_error import QuantityError
from slackloop.units.unit_table import UNITS

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
