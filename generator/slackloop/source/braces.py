"""An open map in braces, followed key by key, so that text which a comma ended is noticed."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from slackloop.source.finding import At
from slackloop.source.lost_text import Split
from slackloop.source.source_file import SourceFile


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
