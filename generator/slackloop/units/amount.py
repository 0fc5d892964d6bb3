"""How much of a material: a plain number of pieces, a length or a volume, in the unit in which it is ordered."""

from __future__ import annotations

import re
from dataclasses import dataclass

from slackloop.units.quantity import parse_quantity
from slackloop.units.quantity_error import QuantityError
from slackloop.units.unit_table import UNITS

EACH = "each"
"""The unit of a plain number."""
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")


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
