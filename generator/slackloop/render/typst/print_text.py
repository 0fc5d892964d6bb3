"""Text on its way into Typst: one function writes every string, and no string is ever markup.

Everything the handbook prints goes through ``literal``, so that text stands in Typst source only
as a quoted string. What no font at hand can show is replaced before (``print_glyphs``).

Text on its way into Typst source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import is_dataclass
from typing import Any

_MUST_ESCAPE = re.compile(r'[\\"\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff\ud800-\udfff]')
_SPACE = re.compile(r"[ \t\r\n\f\v]+")
_LONG_WORD = re.compile(r"[^\s\u200b]{25,}")

BREAK_EVERY = 16
"""A word of 25 characters or more may break after every 16: no column is wide enough for all of them."""

_DIRECTION_MARKS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067")
"""Those that set text apart and end it (U+2068, U+2069) are ours: ``handbook/text.py`` writes them."""


def literal(text: str) -> str:
    """``text`` as a Typst string literal, quotes included; the only way for text into the source.

    A lone surrogate, which no text file can hold, becomes U+FFFD.
    """
    return f'"{_MUST_ESCAPE.sub(_escaped, text)}"'


def _escaped(match: re.Match[str]) -> str:
    mark = match.group(0)
    if mark in '\\"':
        return "\\" + mark
    return f"\\u{{{0xFFFD if 0xD800 <= ord(mark) <= 0xDFFF else ord(mark):x}}}"


def breakable(text: str) -> str:
    """``text`` with places to break in every word of 25 characters or more."""
    if len(text) < 25:
        return text
    return _LONG_WORD.sub(_with_breaks, text)


def _with_breaks(match: re.Match[str]) -> str:
    word = match.group(0)
    return "\u200b".join(word[place : place + BREAK_EVERY] for place in range(0, len(word), BREAK_EVERY))


def never_shown(character: str) -> bool:
    """Whether a character has no printed form in any font, or would turn the line's direction.

    Control characters, marks that force a direction of writing, private use, surrogates and
    non-characters. Tab and line ends count as white space.
    """
    code = ord(character)
    if code < 0x20:
        return character not in "\t\n\r\f\v"
    return (
        0x7F <= code <= 0x9F
        or character in _DIRECTION_MARKS
        or 0xD800 <= code <= 0xF8FF
        or code == 0xFEFF
        or 0xFDD0 <= code <= 0xFDEF
        or code & 0xFFFE == 0xFFFE
        or code >= 0xF0000
    )


def number_of(character: str) -> str:
    """A character's number in Unicode, as ``[U+4E2D]``."""
    return f"[U+{ord(character):04X}]"


def fields_of(told: Any) -> dict[str, Any]:
    """The fields of a dataclass by name, as they are."""
    return {name: getattr(told, name) for name in told.__dataclass_fields__}


def strings_of(told: Any) -> list[str]:
    """Every text in a tree of dataclasses, sequences and mappings, in order."""
    found: list[str] = []
    waiting = [told]
    while waiting:
        one = waiting.pop()
        if isinstance(one, str):
            found.append(one)
        elif isinstance(one, Sequence):
            waiting.extend(reversed(one))
        elif isinstance(one, Mapping):
            waiting.extend(reversed([*one.values()]))
        elif is_dataclass(one):
            waiting.extend(reversed([*fields_of(one).values()]))
    return found
