"""Text that YAML takes away without a word, noted while the tree is read: cut by `` #``, split by a comma, doubtful.

An open map in braces, followed key by key, so that text which a comma ended is noticed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from slackloop.source.finding import At
from slackloop.source.source_file import SourceFile

SET_ME = "SET-ME"
"""How a value begins that the start file leaves to the person who fills it in."""
_REMARK = re.compile(r"(?P<space>[ \t]+)(?P<rest>#[^\r\n]*)")
_GLUED = re.compile(r"#[^\s#!=*~_-]")
_NEXT_REMARK = re.compile(r"[ \t]+#[ \t]|[ \t]{2,}#")


@dataclass(frozen=True, slots=True)
class _Noted:
    """Where a value begins, lines and columns from 1, and its key path."""

    source: SourceFile
    line: int
    column: int
    at: At


@dataclass(frozen=True, slots=True)
class Cut(_Noted):
    """A plain value that ends at `` #``: ``kept`` is what is read, ``space`` and ``rest`` what follows it."""

    kept: str
    space: str
    rest: str

    @property
    def glued(self) -> bool:
        """Whether the text goes on right after the ``#``, as no remark does."""
        return _GLUED.match(self.rest) is not None

    @property
    def whole(self) -> str:
        """The text that was most likely meant."""
        end = _NEXT_REMARK.search(self.rest)
        rest = self.rest[: end.start()] if end else self.rest
        return f"{self.kept}{self.space}{rest}".strip() if self.kept else rest.strip()


@dataclass(frozen=True, slots=True)
class Split(_Noted):
    """A value in braces that a comma ended: ``parts`` are the words after it, each read as a key without a value."""

    kept: str
    whole: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Unset(_Noted):
    """A value that still stands as the start file wrote it: ``text`` begins with ``SET_ME``."""

    text: str


@dataclass(frozen=True, slots=True)
class Doubtful(_Noted):
    """A plain value that YAML readers disagree on: ``plain`` is the mend where it is no text, if there is one."""

    text: str
    reason: str
    plain: str


Lost = Cut | Split | Doubtful | Unset


def find_cut(source: SourceFile, end: int, line: int, column: int, at: At, kept: str) -> Cut | None:
    """The cut after a plain value that ends at character ``end`` of the text, if a ``#`` follows it on its line."""
    if source.text[end : end + 1] not in (" ", "\t"):
        return None
    match = _REMARK.match(source.text, end)
    if match is None:
        return None
    column = column if kept else column + len(match["space"])
    return Cut(source, line, column, at, kept, match["space"], match["rest"])


class PlainValue(NamedTuple):
    """A value without quotes: its key path, its text, its line and column from 1, its first character in the file."""

    at: At
    text: str
    line: int
    column: int
    start: int


def index_of(mark: object) -> int:
    """The character of the file that a mark of the YAML reader stands at; -1 where there is no mark."""
    return int(getattr(mark, "index", -1))


@dataclass(slots=True)
class Braces:
    """The last key's end and the last plain value of a map in braces, and the words that a comma split off it.

    ``key_end`` and ``end`` count characters of the file's text. After a map, a list or text in quotes there is no
    plain value.
    """

    source: SourceFile
    key_end: int = -1
    value: PlainValue | None = None
    parts: list[str] = field(default_factory=list)
    end: int = 0

    def splits_off(self, word: PlainValue) -> bool:
        """Take the empty value of a key; whether that key is a word that a comma split off."""
        if word.start != self.key_end:
            return False
        if not self.parts and self.value is None:
            self.value = word
        self.parts.append(str(word.at[-1]))
        self.end = self.key_end
        return True

    def follow(self, value: PlainValue | None) -> Split | None:
        """Go on with the next value (nothing for one that is not plain); gives what was split off before it."""
        before, parts, end = self.value, tuple(self.parts), self.end
        self.value, self.parts = value, []
        if not parts or before is None:
            return None
        whole = self.source.text[before.start : end] if before.text else ""
        return Split(self.source, before.line, before.column, before.at, before.text, whole, parts)
