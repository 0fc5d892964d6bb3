"""Field types without a unit: text, names, ids, counts, truth values, dates, coordinates, addresses.

How a field refuses a value: the error that carries a finding's words through pydantic.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable
from typing import Annotated, Literal
from urllib.parse import urlsplit

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from slackloop.source.ambiguous_scalar import TypedScalar, span
from slackloop.source.suggestions import invisible, named, without_invisible


def refusal(code: str, message: str, expected: str = "", hint: str = "") -> PydanticCustomError:
    """The error that carries a finding's code, message, expectation and hint through pydantic."""
    return PydanticCustomError(code, "{message}", {"message": message, "expected": expected, "hint": hint})


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


def as_text(value: object, expected: str) -> str:
    """The text as written of any scalar; raises a refusal for a map, a list or nothing."""
    if isinstance(value, str):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"{value}"
    what = "the value is empty" if value is None else f"{shown(value)} is written where one value is needed"
    raise refusal("value-missing" if value is None else "value-wrong-kind", what, expected)


CONTROLLER = "controller"
LONGEST_ID = 40
LONGEST_NAME = 80
LONGEST_TEXT = 2_000
MOST_COUNT = 1_000_000
FURTHEST_M = 20_000_000.0
"""Furthest coordinate: UTM northings reach 10,000 km; twice that cannot be meant."""
FIRST_YEAR, LAST_YEAR = 1980, 2107
"""Years that a date in a zip archive, and so in a workbook, can have (PKWARE's APPNOTE 6.3, section 4.4.6: seven bits
from 1980; from memory)."""
LONGEST_ADDRESS = 200
"""Characters of a web address: with the page's own name behind it, still a code that a phone reads from a card."""

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_BREAKS = re.compile(r"[ \t]*[\r\n\t\x0b\x0c\x85\u2028\u2029]+[ \t]*")
_NOT_IN_ADDRESS = re.compile(r"[\s<>\"'`\\^{}|]|%(?![0-9A-Fa-f]{2})")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")


def _text(value: object) -> str:
    if value is None:
        return ""
    text = _BREAKS.sub(" ", as_text(value, "text")).strip()
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
        text = as_text(value, what)
        if not text.strip():
            raise refusal("text-empty", f"{what} is empty", "some text")
        if len(text) > longest:
            raise refusal("text-too-long", f"{what} has {len(text)} characters; at most {longest} fit")
        if _CONTROL.search(text):
            raise refusal("text-control-character", f"{what} holds a control character", "text on one line")
        if unseen := invisible(text):
            raise refusal("text-invisible", f"{what} holds {named(unseen)}, which nobody sees",
                          "characters that can be seen and typed",
                          f"write {without_invisible(text)}" if without_invisible(text) else "")  # fmt: skip
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


_TRUE_WORDS, _FALSE_WORDS = ("yes", "on", "y", "true", "1"), ("no", "off", "n", "false", "0")


def _truth(value: object) -> bool:
    if isinstance(value, TypedScalar):
        value = value.value
    if isinstance(value, bool):
        return value
    word = str(value).strip().casefold() if isinstance(value, str) else ""
    meant = "true" if word in _TRUE_WORDS else "false" if word in _FALSE_WORDS else ""
    hint = f"write {meant}, without quotes" if meant else ""
    raise refusal("truth-wrong", f"{shown(value)} is neither true nor false", "true or false", hint)


def _whole(least: int, expected: str = "") -> Callable[[object], int]:
    expected = expected or ("a whole number, one or more" if least else "a whole number, zero or more")

    def read(value: object) -> int:
        quoted = isinstance(value, str) and not isinstance(value, TypedScalar)
        number = value.value if isinstance(value, TypedScalar) else value
        if isinstance(number, bool) or not isinstance(number, int):
            hint = f"write {value} without quotes" if quoted and re.fullmatch(r"[0-9]+", str(value)) else ""
            numbers = span(value) if isinstance(value, str) and not hint else ()
            hint = f"write {', '.join(map(str, numbers))}" if len(numbers) > 1 else hint
            raise refusal("number-not-whole", f"{shown(value)} is not a whole number", expected, hint)
        if not least <= number <= MOST_COUNT:
            raise refusal("number-out-of-range", f"{number} is outside {least} to {MOST_COUNT}", expected)
        return number

    return read


whole_number = _whole(1)
"""Reads a whole number, one or more; raises a refusal for anything else."""

Truth = Annotated[bool, PlainValidator(_truth), WithJsonSchema({"type": "boolean"})]
Count = Annotated[int, PlainValidator(_whole(0)), WithJsonSchema({"type": "integer", "minimum": 0})]
AtOnce = Annotated[
    int,
    PlainValidator(_whole(0, "a whole number, one or more; 0 only on a path without stations")),
    WithJsonSchema({"type": "integer", "minimum": 0}),
]
PositiveCount = Annotated[int, PlainValidator(_whole(1)), WithJsonSchema({"type": "integer", "minimum": 1})]


def _format_one(value: object) -> Literal[1]:
    number = value.value if isinstance(value, TypedScalar) else value
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
        number = part.value if isinstance(part, TypedScalar) else part
        if isinstance(number, bool) or not isinstance(number, int | float):
            raise refusal("coordinates-wrong", f"{shown(part)} is not a plain number", expected,
                          "coordinates are plain numbers of metres, without unit or quotes")  # fmt: skip
        if not math.isfinite(number) or abs(number) > FURTHEST_M:
            raise refusal("coordinates-wrong", f"{shown(part)} is further than {FURTHEST_M:.0f} m", expected)
        found.append(float(number))
    return found[0], found[1]


Coordinates = Annotated[
    tuple[float, float],
    PlainValidator(_coordinates),
    PlainSerializer(list, when_used="json"),
    WithJsonSchema({"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}),
]


def _date(value: object) -> datetime.date:
    if isinstance(value, datetime.date):
        return value
    text = as_text(value, "a date, as 2026-03-02").strip()
    match = _DATE.fullmatch(text)
    if match is None:
        raise refusal("date-wrong", f"{shown(text)} is not a date", "year-month-day, as 2026-03-02")
    try:
        day = datetime.date(int(match[1]), int(match[2]), int(match[3]))
    except ValueError:
        raise refusal("date-wrong", f"{text} does not exist", "a day of the calendar, as 2026-03-02") from None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise refusal("date-wrong", f"{text} is no date of a document", f"a year from {FIRST_YEAR} to {LAST_YEAR}")
    return day


IsoDate = Annotated[
    datetime.date,
    PlainValidator(_date),
    PlainSerializer(lambda day: day.isoformat(), return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "format": "date", "pattern": r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}),
]


def _web_address(value: object) -> str:
    """The address of a folder that pages' names are put behind: scheme and host in lower case, nothing after a path."""
    text = _text(value)
    if not text:
        return ""
    expected = "a web address, as https://example.org/handbook/"
    if len(text) > LONGEST_ADDRESS:
        raise refusal("address-wrong", f"this address has {len(text)} characters; at most {LONGEST_ADDRESS} fit a code")
    try:
        parts = urlsplit(text)
        good = parts.scheme in ("https", "http") and bool(parts.hostname) and not _NOT_IN_ADDRESS.search(text)
        port = parts.port
    except ValueError:
        good = False
    if not good or port == 0:
        hint = f"write https://{text}" if re.fullmatch(r"[a-z0-9.-]+\.[a-z]{2,}(/[a-z0-9/-]*)?", text) else ""
        raise refusal("address-wrong", f"{shown(text)} is not a web address", expected, hint)
    place = parts.netloc.rpartition("@")[2].lower()
    steps = [step for step in parts.path.split("/") if step not in ("", ".", "..")]
    clean = f"{parts.scheme}://{place}/" + "".join(f"{step}/" for step in steps)
    for fault, what in (
        ("@" in parts.netloc, "a user's name or password, which would be printed for everybody"),
        ("?" in text or "#" in text, "a part after ? or #, and the names of pages are put behind the address"),
        ("//" in parts.path or "/./" in f"{parts.path}/" or "/../" in f"{parts.path}/", "an empty step or dots"),
    ):
        if fault:
            raise refusal("address-wrong", f"{shown(text)} has {what}", expected, f"write {clean}")
    return f"{parts.scheme}://{place}{parts.path}"


WebAddress = Annotated[
    str,
    PlainValidator(_web_address),
    WithJsonSchema({"type": "string", "pattern": "^([Hh][Tt][Tt][Pp][Ss]?://[^?#@]+)?$", "maxLength": LONGEST_ADDRESS}),
]
