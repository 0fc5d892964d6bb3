"""Text on its way into Markdown: ours is trusted, everything else is shown literally.

A handbook page is Markdown, and a job may hold any character. Text that is not marked as
``Trusted`` has every ASCII punctuation mark turned into a numeric character reference, which no
part of Markdown, HTML or a template reads as markup, and which every browser shows as the mark.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterable
from functools import lru_cache

_REFERENCES = {ord(mark): f"&#{ord(mark)};" for mark in string.punctuation}
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u2028\u2029\ufeff]")
_SPACE = re.compile(r"\s+")
_DIRECTION = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Marks that turn the direction of what follows, past the text that they stand in."""
_RIGHT_TO_LEFT = re.compile(
    "[\u0590-\u08ff\u200e\u200f\ufb1d-\ufdff\ufe70-\ufefe\U00010800-\U00010fff\U0001e800-\U0001efff]"
)
ISOLATE, END_OF_ISOLATE = "\u2068", "\u2069"
"""Unicode Standard Annex 9: text between them takes its direction from itself and leaves its neighbours alone."""


class Trusted(str):
    """Markdown that this package wrote or has already escaped."""

    __slots__ = ()


class Measure(str):
    """A value that a crew dials in or reads off a tape; plain text, shown large in a step."""

    __slots__ = ()


def escape(text: str) -> Trusted:
    """``text`` with every ASCII punctuation mark as ``&#NN;``, on one line, without control characters.

    Text that is ``Trusted`` already comes back unchanged.
    """
    if isinstance(text, Trusted):
        return text
    return Trusted(isolated(one_line(text)).translate(_REFERENCES))


@lru_cache(maxsize=65536)
def one_line(text: str) -> str:
    """Plain ``text`` on one line: runs of white space become one space, control characters go.

    A mark that turns the direction of writing is shown by its number, such as ``[U+202E]``.
    """
    return shown_direction(_SPACE.sub(" ", _CONTROL.sub("", text)).strip())


def shown_direction(text: str) -> str:
    """``text`` with each mark that turns the direction of writing shown by its number."""
    return text if text.isascii() else _DIRECTION.sub(lambda mark: f"[U+{ord(mark[0]):04X}]", text)


def isolated(text: str) -> str:
    """Text written from right to left set apart, so that the words and figures around it keep their order."""
    return f"{ISOLATE}{text}{END_OF_ISOLATE}" if _RIGHT_TO_LEFT.search(text) else text


def trusted(text: str) -> Trusted:
    """Mark Markdown written in this package as finished."""
    return Trusted(text)


def large(text: str) -> Trusted:
    """A figure in large numerals."""
    return Trusted(f'<strong class="value">{escape(text)}</strong>')


def link(text: str, address: str) -> Trusted:
    """A Markdown link; ``address`` is one of our own page addresses."""
    return Trusted(f"[{escape(text)}]({address})")


def join(parts: Iterable[str], between: str = ", ") -> Trusted:
    """Escape each part and put ``between``, which is our own text, between them."""
    return Trusted(between.join(escape(part) for part in parts))


def blocks(parts: Iterable[str]) -> str:
    """Markdown blocks with one empty line between them, the empty ones left out."""
    return "\n\n".join(part.strip("\n") for part in parts if part.strip()) + "\n"


def admonition(kind: str, title: str, body: str) -> Trusted:
    """An admonition box: ``title`` is escaped, ``body`` is finished Markdown."""
    indented = "\n".join(f"    {line}" if line else "" for line in body.strip("\n").split("\n"))
    return Trusted(f'!!! {kind} "{escape(title)}"\n\n{indented}')
