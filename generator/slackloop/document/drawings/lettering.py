"""How wide text stands in a drawing, and how it is cut or wrapped to fit.

A drawing cannot ask the reader's browser how wide a word is. The widths here are those of a broad
sans-serif face, so that text in any usual face is at most as wide as reckoned.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from slackloop.language.messages import said

ELLIPSIS = "…"

_EM_BY_CHARACTER: dict[str, float] = {}
for _characters, _em in (
    ("iljI.,:;'|!·", 0.32),
    (' ft()[]{}r-"/\\`', 0.42),
    ("1234567890", 0.64),
    ("abcdeghknopqsuvxyz", 0.62),
    ("ABCDEFGHJKLNOPQRSTUVXYZ", 0.76),
    ("mwMW@%…—", 1.0),
    ("+<>=~^#", 0.84),
):
    _EM_BY_CHARACTER.update(dict.fromkeys(_characters, _em))


def text_width(text: str, size: float) -> float:
    """Return a safe width of ``text`` in drawing units at font size ``size`` (drawing units).

    Source: advance widths of a broad open sans-serif face, rounded up; wide East Asian characters
    count as one em and combining marks as nothing.
    """
    total_em = 0.0
    for character in text:
        known = _EM_BY_CHARACTER.get(character)
        if known is not None:
            total_em += known
        elif unicodedata.combining(character):
            continue
        elif unicodedata.east_asian_width(character) in ("W", "F"):
            total_em += 1.05
        else:
            total_em += 0.78
    return total_em * size


def fit(text: str, size: float, room: float) -> str:
    """Return ``text``, cut with an ellipsis so that it is at most ``room`` wide (drawing units)."""
    text = said(text)
    if text_width(text, size) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if text_width(text[:middle].rstrip() + ELLIPSIS, size) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + ELLIPSIS


def roomiest(texts: Sequence[str], size: float, room: float) -> str:
    """The first of some ways to say a thing that fits ``room``, and where none does the last of them, cut."""
    whole = (told for told in map(said, texts) if text_width(told, size) <= room)
    return next(whole, "") or fit(texts[-1], size, room)


def wrap(text: str, size: float, room: float, most_lines: int) -> tuple[str, ...]:
    """Break ``text`` at spaces into at most ``most_lines`` lines of width ``room``; the rest is cut.

    A word wider than the room is cut with an ellipsis. Empty text gives no lines.
    """
    lines: list[str] = []
    words = said(text).split()
    line = ""
    for place, word in enumerate(words):
        longer = f"{line} {word}" if line else word
        if text_width(longer, size) <= room:
            line = longer
            continue
        if line and len(lines) + 1 < most_lines:
            lines.append(line)
            line = word
            continue
        rest = " ".join(words[place:])
        lines.append(fit(f"{line} {rest}" if line else rest, size, room))
        return tuple(fit(each, size, room) for each in lines)
    if line:
        lines.append(line)
    return tuple(fit(each, size, room) for each in lines)


def value_lines(text: str, size: float, room: float) -> tuple[str, ...]:
    """Wrap a value, ``450 mm (17 3/4 in)``: the second unit system takes a line of its own if needed."""
    if text_width(text, size) <= room or " (" not in text:
        return wrap(text, size, room, 3)
    first, second = text.split(" (", 1)
    return (*wrap(first, size, room, 2), *wrap("(" + second, size, room, 2))
