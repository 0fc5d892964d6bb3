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
_MARKS = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "“": '"'})
_MARKED = re.compile(r"(?:([0-9]{1,6})\s?')?\s?-?\s?(?:([0-9][0-9./\s½¼¾⅛⅜⅝⅞]{0,12})(?:\"|''))?", re.ASCII)
"""Feet, inches or both, each with its mark; a decimal of a foot is written with its unit."""
_BOUNDS: dict[str, Bound] = {">": ">", "≥": ">", "<": "<", "≤": "<"}


class Unreadable(Exception):
    """A value that is no number of the kind that is due; the message says what was expected."""


class OutOfRange(Exception):
    """A number beyond anything that can be meant."""


@dataclass(frozen=True, slots=True)
class Number:
    """A value in the unit of its limit; ``bound`` is ``>`` where the meter read more than it can show.

    ``unit`` is the one that it was written in, where that is another one.
    """

    value: float
    bound: Bound = ""
    unit: str = ""


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
    unit = UNITS[due.unit]
    if unit.dimension == "length":
        value = _feet_and_inches(value)
    text = _with_unit(_decimal(value, record), record.unit or due.unit)
    if unit.dimension == "temperature" and sign < 0:
        text, sign = f"-{text}", 1.0
    try:
        read = parse_quantity(text, unit.dimension, True)
    except QuantityError as error:
        if error.code in TOO_FAR:
            raise OutOfRange(error.message) from error
        hint = f"; {error.hint}" if error.hint else ""
        if BEYOND.fullmatch(value) and unit.dimension == "resistance" and due.least is not None and due.most is None:
            hint = "; write > and the most that the meter can show, as >1000"
        raise Unreadable(f"{_shown(record)} is not {DIMENSIONS[unit.dimension].words} in {due.unit}{hint}") from error
    inside = sign * (read.si - float(unit.offset)) / float(unit.factor)
    return Number(inside, bound, read.unit if read.unit != unit.name else "")


def _feet_and_inches(value: str) -> str:
    """A length with the marks of feet and inches, as 1' 6", in words."""
    found = _MARKED.fullmatch(value.translate(_MARKS))
    feet, inches = found.groups() if found is not None else ("", "")
    words = f"{feet} ft" if feet else "", f"{inches.strip()} in" if inches else ""
    return " ".join(each for each in words if each) or value


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
