"""The field types of the job model: each reads what a person writes and states its JSON Schema.

A field takes the text of the file (plain numbers and truth values come as ``Written``), a plain Python value, or a
value that is already of its type, so that models can be built from a file, from JSON or in a test.
A refusal is a ``PydanticCustomError`` whose type is the finding's code and whose context holds the finding's words.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable
from typing import Annotated, Any, Literal, TypeVar
from urllib.parse import urlsplit

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from slackloop.job import quantity as q
from slackloop.job.quantity_error import QuantityError
from slackloop.job.units import DIMENSIONS
from slackloop.job.written import Written

__all__ = [
    "AreaRange", "BoxId", "Conductor", "ConductorRange", "Coordinates", "Count", "CountRange", "Current", "FormatOne",
    "Insulation", "IsoDate", "Length", "Name", "NonEmptyText", "Percent", "PositiveCount", "Resistance", "Resistivity",
    "RunEnd", "TemperatureRange", "Text", "Truth", "Volts", "WebAddress", "ZeroOrMoreCurrent", "ZeroOrMoreLength",
    "ZeroOrMoreResistance",
]  # fmt: skip

T = TypeVar("T")

CONTROLLER = "controller"
LONGEST_ID = 40
LONGEST_NAME = 80
LONGEST_TEXT = 2_000
MOST_COUNT = 1_000_000
FURTHEST_M = 20_000_000.0
"""Furthest coordinate: UTM northings reach 10,000 km; twice that cannot be meant."""

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_BREAKS = re.compile(r"[ \t]*[\r\n\t\x0b\x0c\x85\u2028\u2029]+[ \t]*")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")


def refusal(code: str, message: str, expected: str = "", hint: str = "") -> PydanticCustomError:
    """The error that carries a finding's code, message, expectation and hint through pydantic."""
    return PydanticCustomError(
        code,
        "{message}",
        {"message": message, "expected": expected, "hint": hint},
    )


def shown(value: object) -> str:
    """A short picture of a wrong value for a message."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a map"
    if isinstance(value, list | tuple):
        return "a list"
    text = str(value)
    return text if len(text) <= 60 else text[:57] + "…"


def _as_text(value: object, expected: str) -> str:
    """The text as written of any scalar; raises a refusal for a map, a list or nothing."""
    if isinstance(value, str):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"{value}"
    what = "the value is empty" if value is None else f"{shown(value)} stands where one value is needed"
    raise refusal("value-missing" if value is None else "value-wrong-kind", what, expected)


def _reader(kind: type[T], parse: Callable[[str], T], expected: str) -> PlainValidator:
    """A validator that passes ready values through and parses text."""

    def read(value: object) -> T:
        if isinstance(value, kind):
            return value
        if isinstance(value, bool):
            raise refusal("value-wrong-kind", f"{shown(value)} stands where a value with a unit is needed", expected)
        try:
            return parse(_as_text(value, expected))
        except QuantityError as error:
            raise refusal(error.code, error.message, error.expected or expected, error.hint) from None

    return PlainValidator(read)


_TEXT_OUT = PlainSerializer(lambda value: value.text, return_type=str, when_used="json")


def _schema(description: str, examples: list[str], pattern: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "description": description, "examples": examples, "pattern": pattern})


def _quantity(dimension: str, zero_allowed: bool) -> PlainValidator:
    kind = DIMENSIONS[dimension]
    return _reader(
        q.Quantity,
        lambda text: q.parse_quantity(text, dimension, zero_allowed),
        f"{kind.words} with its unit, such as {kind.example}",
    )


_N = r"^\s*[0-9./ -]*[0-9]\s*"
_LENGTH_SCHEMA = _schema("A length with its unit; a second unit in brackets must agree within 5 %.",
                         ["62 m", "1.5 m (5 ft)", "3/4 in", "450 mm"], _N + r"(mm|cm|m|km|in|ft|yd|[a-z]+)\b.*$")  # fmt: skip
_CURRENT_SCHEMA = _schema("A current with its unit.", ["0.6 mA", "2.5 A"], _N + r"(uA|µA|mA|A|kA|amps?)\b.*$")
_OHM = r"(m|k|M|G)?(ohms?|Ω).*$"
_RESISTANCE_SCHEMA = _schema("A resistance with its unit.", ["10 ohm", "5 Mohm"], _N + _OHM)
_VOLTS_SCHEMA = _schema("A voltage with its unit.", ["36 V", "500 V"], _N + r"(m|k)?V.*$")

Length = Annotated[q.Quantity, _quantity("length", False), _TEXT_OUT, _LENGTH_SCHEMA]
ZeroOrMoreLength = Annotated[q.Quantity, _quantity("length", True), _TEXT_OUT, _LENGTH_SCHEMA]
Volts = Annotated[q.Quantity, _quantity("volts", False), _TEXT_OUT, _VOLTS_SCHEMA]
Insulation = Annotated[q.Quantity, _quantity("volts", False), _TEXT_OUT, _VOLTS_SCHEMA]
Current = Annotated[q.Quantity, _quantity("current", False), _TEXT_OUT, _CURRENT_SCHEMA]
ZeroOrMoreCurrent = Annotated[q.Quantity, _quantity("current", True), _TEXT_OUT, _CURRENT_SCHEMA]
Resistance = Annotated[q.Quantity, _quantity("resistance", False), _TEXT_OUT, _RESISTANCE_SCHEMA]
ZeroOrMoreResistance = Annotated[q.Quantity, _quantity("resistance", True), _TEXT_OUT, _RESISTANCE_SCHEMA]
Resistivity = Annotated[
    q.Quantity, _quantity("resistivity", False), _TEXT_OUT,
    _schema("Soil resistivity with its unit.", ["60 ohm m", "4000 ohm cm"], _N + r"(ohm|Ω).*m.*$"),
]  # fmt: skip
Percent = Annotated[
    q.Quantity, _quantity("percent", True), _TEXT_OUT,
    _schema("A percentage from 0 % to 100 %.", ["5 %", "10 %"], r"^\s*[0-9.]+\s*(%|percent)\s*$"),
]  # fmt: skip
TemperatureRange = Annotated[
    q.QuantityRange,
    _reader(q.QuantityRange, lambda text: _temperatures(text), "coldest to hottest, as 4 degC to 28 degC"),
    _TEXT_OUT,
    _schema("Coldest to hottest, each with its unit.", ["4 degC to 28 degC", "41 degF to 86 degF"], r"^.+ to .+$"),
]
AreaRange = Annotated[
    q.QuantityRange,
    _reader(q.QuantityRange, lambda text: q.parse_range(text, "area"), "least to most, as 2.1 mm2 to 14 mm2"),
    _TEXT_OUT,
    _schema("Least to most copper, each in mm2.", ["2.1 mm2 to 14 mm2"], r"^.+ mm(2|²) to .+ mm(2|²)\s*$"),
]
Conductor = Annotated[
    q.ConductorSize,
    _reader(q.ConductorSize, q.parse_conductor, "a conductor size, as 14 AWG or 2.5 mm2"),
    PlainSerializer(lambda size: size.label, return_type=str, when_used="json"),
    _schema("A conductor size in AWG or mm2.", ["14 AWG", "2.5 mm2"], r"^\s*[0-9.]+ ?(AWG|mm2|mm²).*$"),
]
ConductorRange = Annotated[
    q.ConductorRange,
    _reader(q.ConductorRange, q.parse_conductor_range, "smallest to largest conductor, as 18 AWG to 10 AWG"),
    _TEXT_OUT,
    _schema("Smallest to largest conductor.", ["18 AWG to 10 AWG", "0.75 mm2 to 4 mm2"], r"^.+ to .+$"),
]
CountRange = Annotated[
    q.IntRange,
    _reader(q.IntRange, q.parse_int_range, "two whole numbers, as 2 to 5"),
    _TEXT_OUT,
    _schema("Fewest to most.", ["2 to 5"], r"^\s*[0-9]+ to [0-9]+\s*$"),
]


def _temperatures(text: str) -> q.QuantityRange:
    found = q.parse_range(text, "temperature")
    if found.low.si == found.high.si:
        raise QuantityError("range-reversed", f"{text}: the coldest and the hottest are the same",
                            "coldest to hottest, as 4 degC to 28 degC")  # fmt: skip
    return found


def _text(value: object) -> str:
    if value is None:
        return ""
    text = _BREAKS.sub(" ", _as_text(value, "text")).strip()
    if len(text) > LONGEST_TEXT:
        raise refusal("text-too-long", f"this text has {len(text)} characters; at most {LONGEST_TEXT} fit")
    if _CONTROL.search(text):
        raise refusal("text-control-character", "this text holds a control character that cannot be printed",
                      "text that can be printed")  # fmt: skip
    return text


def _non_empty_text(value: object) -> str:
    text = _text(value)
    if not text:
        raise refusal("text-empty", "this text is empty", "some text")
    return text


def _label(what: str, longest: int) -> Callable[[object], str]:
    def read(value: object) -> str:
        text = _as_text(value, what)
        if not text.strip():
            raise refusal("text-empty", f"{what} is empty", "some text")
        if len(text) > longest:
            raise refusal("text-too-long", f"{what} has {len(text)} characters; at most {longest} fit")
        if _CONTROL.search(text):
            raise refusal("text-control-character", f"{what} holds a control character", "text on one line")
        if text != text.strip():
            raise refusal("text-outer-space", f"{what} starts or ends with a space", hint=f"write {text.strip()}")
        return text

    return read


def _box_id(value: object) -> str:
    text = _label("the id", LONGEST_ID)(value)
    if text.casefold() == CONTROLLER:
        raise refusal("id-reserved", f"{text} is the name of the supply end and cannot be the id of a box",
                      "another id, such as B01")  # fmt: skip
    return text


Text = Annotated[str, PlainValidator(_text), WithJsonSchema({"type": ["string", "number", "boolean"]})]
NonEmptyText = Annotated[
    str, PlainValidator(_non_empty_text), WithJsonSchema({"type": ["string", "number", "boolean"], "minLength": 1})
]
_NAME_SCHEMA = WithJsonSchema({"type": ["string", "number"], "minLength": 1, "maxLength": LONGEST_NAME})
_ID_SCHEMA = WithJsonSchema({"type": ["string", "number"], "minLength": 1, "maxLength": LONGEST_ID})
Name = Annotated[str, PlainValidator(_label("the name", LONGEST_NAME)), _NAME_SCHEMA]
BoxId = Annotated[str, PlainValidator(_box_id), _ID_SCHEMA]
RunEnd = Annotated[str, PlainValidator(_label("the id", LONGEST_ID)), _ID_SCHEMA]


def _truth(value: object) -> bool:
    if isinstance(value, Written):
        value = value.value
    if isinstance(value, bool):
        return value
    word = str(value).strip().casefold() if isinstance(value, str) else ""
    meant = {"no": "false", "off": "false", "n": "false", "false": "false", "yes": "true", "on": "true", "y": "true",
             "true": "true", "0": "false", "1": "true"}.get(word, "")  # fmt: skip
    hint = f"write {meant}, without quotes" if meant else ""
    raise refusal("truth-wrong", f"{shown(value)} is neither true nor false", "true or false", hint)


def _whole(least: int) -> Callable[[object], int]:
    expected = "a whole number, one or more" if least else "a whole number, zero or more"

    def read(value: object) -> int:
        quoted = isinstance(value, str) and not isinstance(value, Written)
        number = value.value if isinstance(value, Written) else value
        if isinstance(number, bool) or not isinstance(number, int):
            hint = f"write {value} without quotes" if quoted and re.fullmatch(r"[0-9]+", str(value)) else ""
            raise refusal("number-not-whole", f"{shown(value)} is not a whole number", expected, hint)
        if not least <= number <= MOST_COUNT:
            raise refusal("number-out-of-range", f"{number} is outside {least} to {MOST_COUNT}", expected)
        return number

    return read


Truth = Annotated[bool, PlainValidator(_truth), WithJsonSchema({"type": "boolean"})]
Count = Annotated[int, PlainValidator(_whole(0)), WithJsonSchema({"type": "integer", "minimum": 0})]
PositiveCount = Annotated[int, PlainValidator(_whole(1)), WithJsonSchema({"type": "integer", "minimum": 1})]


def _format_one(value: object) -> Literal[1]:
    number = value.value if isinstance(value, Written) else value
    if number != 1 or isinstance(number, bool):
        raise refusal("format-unknown", f"format {shown(value)} is not known; this program reads format 1", "format: 1")
    return 1


FormatOne = Annotated[Literal[1], PlainValidator(_format_one), WithJsonSchema({"const": 1})]


def _coordinates(value: object) -> tuple[float, float]:
    expected = "easting and northing in metres, as [118.0, 44.5]"
    if not isinstance(value, list | tuple) or len(value) != 2:
        count = f"a list of {len(value)}" if isinstance(value, list | tuple) else shown(value)
        raise refusal("coordinates-wrong", f"{count} is not a pair of coordinates", expected)
    found: list[float] = []
    for part in value:
        number = part.value if isinstance(part, Written) else part
        if isinstance(number, bool) or not isinstance(number, int | float):
            raise refusal("coordinates-wrong", f"{shown(part)} is not a plain number", expected,
                          "coordinates are plain numbers of metres, without unit or quotes")  # fmt: skip
        if not math.isfinite(number) or abs(number) > FURTHEST_M:
            raise refusal("coordinates-wrong", f"{shown(part)} is further than {FURTHEST_M:.0f} m", expected)
        found.append(float(number))
    return found[0], found[1]


Coordinates = Annotated[
    tuple[float, float], PlainValidator(_coordinates),
    WithJsonSchema({"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}),
]  # fmt: skip


def _date(value: object) -> datetime.date:
    if isinstance(value, datetime.date):
        return value
    text = _as_text(value, "a date, as 2026-03-02").strip()
    match = _DATE.fullmatch(text)
    if match is None:
        raise refusal("date-wrong", f"{shown(text)} is not a date", "year-month-day, as 2026-03-02")
    try:
        return datetime.date(int(match[1]), int(match[2]), int(match[3]))
    except ValueError:
        raise refusal("date-wrong", f"{text} does not exist", "a day of the calendar, as 2026-03-02") from None


IsoDate = Annotated[
    datetime.date, PlainValidator(_date),
    PlainSerializer(lambda day: day.isoformat(), return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "format": "date", "pattern": r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}),
]  # fmt: skip


def _web_address(value: object) -> str:
    text = _text(value)
    if not text:
        return ""
    expected = "a web address, as https://example.org/handbook/"
    try:
        parts: Any = urlsplit(text)
        good = parts.scheme in ("https", "http") and bool(parts.hostname) and not re.search(r"[\s<>\"'`\\^{}|]", text)
    except ValueError:
        good = False
    if not good:
        hint = f"write https://{text}" if re.fullmatch(r"[a-z0-9.-]+\.[a-z]{2,}(/\S*)?", text) else ""
        raise refusal("address-wrong", f"{shown(text)} is not a web address", expected, hint)
    return text


WebAddress = Annotated[str, PlainValidator(_web_address), WithJsonSchema({"type": "string", "pattern": "^(https?://.+)?$"})]
