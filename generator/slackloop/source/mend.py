"""How a value has to be written so that it is taken: text in quotes, ``3-6`` as ``[3, 4, 5, 6]``."""

from __future__ import annotations

import re

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
