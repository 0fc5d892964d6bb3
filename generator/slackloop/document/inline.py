"""Text inside a block: plain text, which is never markup, and the few things that may stand in it.

Where a link leads: a page of the document, a file beside it, or an address on the web.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PageTarget:
    """A place in the document: a page by its id, as ``method/waterproof-splice``, and an anchor on it or none."""

    page: str
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class FileTarget:
    """A file that lies beside the pages, as ``handbook.pdf``; paper names it and does not link to it."""

    name: str


@dataclass(frozen=True, slots=True)
class WebTarget:
    """An address outside the handbook, which only a firm's own content gives."""

    address: str


@dataclass(frozen=True, slots=True)
class OtherLanguage:
    """A page of the edition in another language, by its address without an ending from the folder of this one."""

    page: str
    anchor: str = ""


Target = PageTarget | FileTarget | WebTarget | OtherLanguage


@dataclass(frozen=True, slots=True)
class Text:
    """Plain text, shown to the letter whatever it holds."""

    text: str


@dataclass(frozen=True, slots=True)
class Value:
    """A value that is measured, set or read off; shown in larger numerals than the text around it."""

    text: str


@dataclass(frozen=True, slots=True)
class Strong:
    """Bold text."""

    line: Line


@dataclass(frozen=True, slots=True)
class Emphasis:
    """Italic text."""

    line: Line


@dataclass(frozen=True, slots=True)
class Code:
    """Text that is written as typed: a fingerprint, a file name."""

    text: str


@dataclass(frozen=True, slots=True)
class Link:
    """Text that leads somewhere."""

    line: Line
    target: Target


@dataclass(frozen=True, slots=True)
class Mark:
    """A place inside a line that links may name; shows nothing."""

    anchor: str


@dataclass(frozen=True, slots=True)
class Break:
    """A new line inside a block."""


Inline = Text | Value | Strong | Emphasis | Code | Link | Mark | Break
Line = tuple[Inline, ...]
"""What stands on one line, or in one cell."""


def line(*parts: str | Inline | Line) -> Line:
    """A line of parts; a string becomes plain text, empty ones are left out."""
    if len(parts) == 1 and isinstance(only := parts[0], str):
        return (Text(only),) if only else ()
    made: list[Inline] = []
    for part in parts:
        if isinstance(part, str):
            if part:
                made.append(Text(part))
        elif isinstance(part, tuple):
            made.extend(part)
        else:
            made.append(part)
    return tuple(made)


def strong(*parts: str | Inline | Line) -> Strong:
    """Parts in bold."""
    return Strong(line(*parts))


def link(text: str, target: Target) -> Link:
    """Plain text that leads to ``target``."""
    return Link((Text(text),), target)


def joined(lines: Iterable[Line], between: str = ", ") -> Line:
    """Lines one after another with ``between`` as plain text."""
    made: list[Inline] = []
    for each in lines:
        if made:
            made.append(Text(between))
        made.extend(each)
    return tuple(made)


def plain(given: Line) -> str:
    """The words of a line without anything that marks them; a break becomes a space."""
    if len(given) == 1 and isinstance(given[0], Text):
        return given[0].text
    return "".join([_words(each) for each in given])


def _words(part: Inline) -> str:
    match part:
        case Text(text) | Value(text) | Code(text):
            return text
        case Strong(inner) | Emphasis(inner):
            return plain(inner)
        case Link():
            return plain(part.line)
        case Break():
            return " "
        case Mark():
            return ""


def links_in(given: Line) -> Iterable[Link]:
    """Every link of a line."""
    for part in given:
        if isinstance(part, Link):
            yield part
        if isinstance(part, Strong | Emphasis | Link):
            yield from links_in(part.line)


def anchors_in(given: Line) -> Iterable[str]:
    """Every anchor that stands inside a line."""
    for part in given:
        if isinstance(part, Mark):
            yield part.anchor
        if isinstance(part, Strong | Emphasis | Link):
            yield from anchors_in(part.line)
