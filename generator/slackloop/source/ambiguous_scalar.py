"""How plain scalars are read, and which are refused because YAML readers disagree on them.

Only ``true``, ``false``, ``null``, decimal whole numbers and decimal fractions mean something; all else is text.

How a value has to be written so that it is taken: text in quotes, ``3-6`` as ``[3, 4, 5, 6]``; whole maps and lists as
lines of YAML that every reader, ours too, reads back as the same values.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping

_INTEGER = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,17})")
_DECIMAL = re.compile(
    r"[-+]?(?:\.[0-9]{1,30}|[0-9]{1,18}\.[0-9]{0,30}|[0-9]{1,18}(?:\.[0-9]{0,30})?[eE][-+]?[0-9]{1,3})"
)
_TRUTH = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_NULL = frozenset(("", "~", "null", "Null", "NULL"))
_TRUE_WORDS, _FALSE_WORDS = frozenset(("yes", "on")), frozenset(("no", "off"))
_BASE_SIXTY = re.compile(r"[-+]?[0-9][0-9_]*(?::[0-5]?[0-9])+(?:\.[0-9_]*)?")
_LEADING_ZERO = re.compile(r"[-+]?0[0-9_]+")
_OTHER_BASE = re.compile(r"[-+]?0[xXbBoO][0-9a-fA-F_]+")
_UNDERSCORE = re.compile(r"[-+]?[0-9][0-9_]*_[0-9_]*(?:\.[0-9_]*)?(?:[eE][-+]?[0-9]+)?|[-+]?[0-9]+\.[0-9]*_[0-9_]*")
_NOT_FINITE = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")
_FIRST = frozenset("+-.0123456789=<yYnNoO")
MAY_BE_NO_TEXT = _FIRST | frozenset("~tTfF")
"""First letters of every plain scalar that is refused, or that stands for something else than its text."""


class TypedScalar(str):
    """A plain scalar that YAML would make a number or a truth value, ``value``; the text is as written."""

    value: int | float | bool

    def __new__(cls, text: str, value: int | float | bool) -> TypedScalar:
        made = super().__new__(cls, text)
        made.value = value
        return made

    def __getnewargs__(self) -> tuple[str, int | float | bool]:  # type: ignore[override]
        return str(self), self.value


def surprise(text: str) -> tuple[str, str]:
    """Why a plain scalar is refused, and what it would be written as where it is no text.

    Two empty texts where it is not refused; the second is empty too where it can only be meant as text.
    """
    if not text or text[0] not in _FIRST or (text[0] != "0" and text.isdigit()):
        return "", ""
    word = text.casefold()
    if word in _TRUE_WORDS or word in _FALSE_WORDS:
        meant = "true" if word in _TRUE_WORDS else "false"
        return f"some YAML readers take {text} for {meant}", meant
    if text == "<<":
        return "merge keys are not read", ""
    if text == "=":
        return "some YAML readers give = a meaning of its own", ""
    if _BASE_SIXTY.fullmatch(text):
        return f"some YAML readers take {text} for a number of base sixty", ""
    if _LEADING_ZERO.fullmatch(text):
        return f"some YAML readers take {text} for an octal number", text.replace("_", "").lstrip("+-0") or "0"
    if _OTHER_BASE.fullmatch(text):
        return f"{text} is not a decimal number", ""
    if _UNDERSCORE.fullmatch(text):
        return f"some YAML readers drop the underscores of {text}", text.replace("_", "")
    if _NOT_FINITE.fullmatch(text):
        return f"{text} is not a number that can be built", ""
    return "", ""


def resolve(text: str) -> str | TypedScalar | None:
    """What a plain scalar stands for: nothing, text, or ``TypedScalar`` text with its number or truth value."""
    if text in _NULL:
        return None
    if text in _TRUTH:
        return TypedScalar(text, _TRUTH[text])
    if text[0] in "+-.0123456789":
        if _INTEGER.fullmatch(text):
            return TypedScalar(text, int(text))
        if _DECIMAL.fullmatch(text):
            return TypedScalar(text, float(text))
    return text


MOST_ITEMS = 24
"""Longest list that a hint writes out."""
_SPAN = re.compile(r"([0-9]{1,6})\s*(?:-|–|\.\.|to)\s*([0-9]{1,6})")
_PLAIN = re.compile(r"[A-Za-z][\w ./'-]*")


def quoted(text: str) -> str:
    """The text in quotes that YAML reads back as the same text."""
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'


def list_items(text: str, kind: object) -> tuple[str, ...]:
    """The items as they would stand in brackets; nothing where no list of this kind can be read out of the text."""
    pieces = [piece.strip() for piece in re.split(r"[,;]", text) if piece.strip()]
    if kind is int:
        numbers = [number for piece in pieces for number in span(piece)]
        whole = bool(numbers) and all(span(piece) for piece in pieces) and len(numbers) <= MOST_ITEMS
        return tuple(str(number) for number in numbers) if whole else ()
    if kind is str:
        return tuple(piece if _PLAIN.fullmatch(piece) else quoted(piece) for piece in pieces)
    return ()


def span(text: str) -> tuple[int, ...]:
    """The numbers of ``3-6``, ``3 to 6``, ``3..6`` or ``3``; nothing where it is none of these or runs backwards."""
    text = text.strip()
    if re.fullmatch(r"[1-9][0-9]{0,5}", text):
        return (int(text),)
    match = _SPAN.fullmatch(text)
    if match is None or not 0 < int(match[1]) <= int(match[2]) <= int(match[1]) + MOST_ITEMS:
        return ()
    return tuple(range(int(match[1]), int(match[2]) + 1))


_SAFE = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9_./%+-]| (?=[A-Za-z0-9(+]))*")
_ESCAPED = re.compile("[\x7f-\xa0\xad\u2028\u2029\ufeff\ud800-\udfff]")


def scalar_text(value: object) -> str:
    """One value: text plain where that is safe, else in double quotes; numbers and truth values as they are."""
    if value is None:
        return '""'
    if isinstance(value, TypedScalar):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    text = str(value)
    safe = _SAFE.fullmatch(text) and surprise(text) == ("", "") and type(resolve(text)) is str
    if safe:
        return text
    return _ESCAPED.sub(lambda found: f"\\u{ord(found[0]):04X}", json.dumps(text, ensure_ascii=False))


def flow_text(value: object) -> str:
    """A value on one line, maps and lists in brackets."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{scalar_text(key)}: {flow_text(each)}" for key, each in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow_text(each) for each in value) + "]"
    return scalar_text(value)


def block_lines(entries: Mapping[str, object], indent: int = 0) -> Iterator[str]:
    """A map as lines: maps of maps further in, all else on a line of its own."""
    for key, value in entries.items():
        head = f"{' ' * indent}{scalar_text(key)}:"
        if isinstance(value, Mapping) and any(isinstance(each, Mapping) for each in value.values()):
            yield head
            yield from block_lines(value, indent + 2)
        elif isinstance(value, list) and value and all(isinstance(each, Mapping) for each in value):
            yield head
            yield from (f"{' ' * (indent + 2)}- {flow_text(each)}" for each in value)
        else:
            yield f"{head} {flow_text(value)}"


def remark(text: str) -> str:
    """Text as it may stand behind ``#``: on one line, with nothing that YAML cannot hold."""
    return "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))
