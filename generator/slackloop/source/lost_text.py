"""Text that YAML takes away without a word, noted while the tree is read: cut by `` #``, split by a comma, doubtful."""

from __future__ import annotations

import re
from dataclasses import dataclass

from slackloop.source.finding import At
from slackloop.source.source_file import SourceFile

SET_ME = "SET-ME"
"""How a value begins that the start file leaves to the person who fills it in."""
_REMARK = re.compile(r"(?P<space>[ \t]+)(?P<rest>#[^\r\n]*)")
_GLUED = re.compile(r"#[^\s#!=*~_-]")
_NEXT_REMARK = re.compile(r"[ \t]+#[ \t]|[ \t]{2,}#")


@dataclass(frozen=True, slots=True)
class Cut:
    """A plain value that ends at `` #``: ``kept`` is what is read, ``space`` and ``rest`` what follows it."""

    source: SourceFile
    line: int
    column: int
    at: At
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
class Split:
    """A value in braces that a comma ended: ``parts`` are the words after it, each read as a key without a value."""

    source: SourceFile
    line: int
    column: int
    at: At
    kept: str
    whole: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Unset:
    """A value that still stands as the start file wrote it: ``text`` begins with ``SET_ME``."""

    source: SourceFile
    line: int
    column: int
    at: At
    text: str


@dataclass(frozen=True, slots=True)
class Doubtful:
    """A plain value that YAML readers disagree on: ``plain`` is the mend where it is no text, if there is one."""

    source: SourceFile
    line: int
    column: int
    at: At
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
