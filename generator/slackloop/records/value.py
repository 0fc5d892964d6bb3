"""The value of a record as a number in the unit of its limit, however it was written."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from slackloop.records.result import Due, Record
from slackloop.units.amount import with_point
from slackloop.units.quantity import parse_quantity
from slackloop.units.unit_table import DIMENSIONS, UNITS, QuantityError

Bound = Literal["", ">", "<"]
TOO_FAR = frozenset({"quantity-too-large", "quantity-too-small"})
"""A number that nothing can measure; it is told as a value that cannot be true."""
LARGEST_EXPONENT = 15
BEYOND = re.compile(r"(?:[oO0]\.?[lL]\.?|∞)", re.ASCII)
"""What a meter shows in place of a number that is above its range."""
_PLAIN = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,12})?", re.ASCII)
_COMMA = re.compile(r"[0-9]*,[0-9]+", re.ASCII)
_SCIENTIFIC = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,12})?[eE][+-]?[0-9]{1,3}", re.ASCII)
_NUMBER_ALONE = re.compile(r"[0-9.,/\s½¼¾⅛⅜⅝⅞]+", re.ASCII)
_BOUNDS: dict[str, Bound] = {">": ">", "≥": ">", "<": "<", "≤": "<"}


class Unreadable(Exception):
    """A value that is no number of the kind that is due; the message says what was expected."""


class OutOfRange(Exception):
    """A number beyond anything that can be meant."""


@dataclass(frozen=True, slots=True)
class Number:
    """A value in the unit of its limit; ``bound`` is ``>`` where the meter read more than it can show."""

    value: float
    bound: Bound = ""


def number_of(record: Record, due: Due) -> Number:
    """The value in ``due.unit``; a cell without a unit is in that unit. Raises ``Unreadable`` and ``OutOfRange``."""
    value = record.value
    if _PLAIN.fullmatch(value) and record.unit in ("", due.unit):
        return Number(float(value))
    value = value.replace("−", "-").replace("\xa0", " ").replace("\u202f", " ").strip()
    bound = _BOUNDS.get(value[:1], "")
    value = value[1:].strip() if bound else value
    sign = -1.0 if value.startswith("-") else 1.0
    value = value.removeprefix("-").removeprefix("+").strip()
    text = _with_unit(_decimal(value, record), record.unit or due.unit)
    unit = UNITS[due.unit]
    if unit.dimension == "temperature" and sign < 0:
        text, sign = f"-{text}", 1.0
    try:
        inside = parse_quantity(text, unit.dimension, True).si
    except QuantityError as error:
        if error.code in TOO_FAR:
            raise OutOfRange(error.message) from error
        hint = f"; {error.hint}" if error.hint else ""
        raise Unreadable(f"{_shown(record)} is not {DIMENSIONS[unit.dimension].words} in {due.unit}{hint}") from error
    return Number(sign * (inside - float(unit.offset)) / float(unit.factor), bound)


def _with_unit(value: str, unit: str) -> str:
    """The number with its unit, which may be in the cell of the value already."""
    return f"{value} {unit}" if _NUMBER_ALONE.fullmatch(value) else value


def _decimal(value: str, record: Record) -> str:
    """A number with a point: a comma before decimals is read, one that may set thousands apart is refused."""
    if _SCIENTIFIC.fullmatch(value):
        exact = Decimal(value)
        if abs(exact.adjusted()) > LARGEST_EXPONENT:
            raise OutOfRange(f"{value} is more than anything here can be")
        return f"{exact:f}"
    number, space, unit = value.partition(" ")
    if _COMMA.fullmatch(number) is None:
        return value
    if "," in (number := with_point(number)):
        whole, part = number.split(",")
        raise Unreadable(f"{_shown(record)} can be {whole}.{part} or {whole}{part}; write it with a point, or without")
    return f"{number}{space}{unit}"


def _shown(record: Record) -> str:
    """What was written, cut short."""
    text = f"{record.value} {record.unit}".strip()
    return text if len(text) <= 60 else f"{text[:57]}…"
