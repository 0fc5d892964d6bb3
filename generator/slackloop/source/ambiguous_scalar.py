"""How plain scalars are read, and which are refused because YAML readers disagree on them.

Only ``true``, ``false``, ``null``, decimal whole numbers and decimal fractions mean something; all else is text.

How a value has to be written so that it is taken: text in quotes, ``3-6`` as ``[3, 4, 5, 6]``.
"""

from __future__ import annotations

import re

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
