"""JSON as text that every reader takes, whatever the encoding of the output it goes to."""

from __future__ import annotations

import codecs
import json
import re
from collections.abc import Callable
from typing import Any

DEEPEST_LINES = 4
"""Levels of a record whose things have lines of their own: a table, its rows, each row."""
_AS_IT_IS, _ESCAPED = json.JSONEncoder(ensure_ascii=False).encode, json.JSONEncoder().encode
_STEERING = re.compile("[\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]")


def _escaped(mark: re.Match[str]) -> str:
    return f"\\u{ord(mark[0]):04x}"


def _in_lines(value: Any, encode: Callable[[Any], str], depth: int = 0) -> str:
    """JSON with a line for each thing of the first ``DEEPEST_LINES`` levels; what lies deeper goes on in its line.

    The encoder's own indent is many times slower, and gives each word of a table a line.
    """
    if depth == DEEPEST_LINES or not value or not isinstance(value, dict | list):
        return encode(value)
    space = "\n" + " " * depth
    if isinstance(value, list):
        return "[" + ",".join(f"{space} {_in_lines(each, encode, depth + 1)}" for each in value) + f"{space}]"
    named = (f"{encode(str(key))}: {_in_lines(each, encode, depth + 1)}" for key, each in value.items())
    return "{" + ",".join(f"{space} {each}" for each in named) + f"{space}}}"


def json_text(record: Any, encoding: str | None = "utf-8") -> str:
    """The record in lines, a row of a table or a finding on one.

    JSON is read as UTF-8. Where the output is in another encoding, or a file name holds bytes that are no text,
    JSON's own escapes stand for every character outside ASCII. They stand everywhere for marks that turn the
    direction of writing and for controls, which would steer a terminal.
    """
    text = _STEERING.sub(_escaped, _in_lines(record, _AS_IT_IS))
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return _in_lines(record, _ESCAPED)
    if codecs.lookup(encoding or "utf-8").name == "utf-8":
        return text
    return _in_lines(record, _ESCAPED)
