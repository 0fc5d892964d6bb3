"""The words that a handbook uses in one sense only, what is allowed by name, and the words of each country.

The sentences of a text, as a reader counts them: values filled in, marks of Markdown gone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent
ALLOWED_MOST = 40
"""Exceptions from the rules; with more of them the rules are wrong."""


@dataclass(frozen=True, slots=True)
class Banned:
    """A pattern of a word in a sense that it does not have here, and what to write for it."""

    pattern: re.Pattern[str]
    say: str
    in_program: bool
    """Whether the rule holds for text of the program too, and not only for what a crew reads."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """An exception: the rule, a pattern of the text that may stay, and why."""

    code: str
    pattern: re.Pattern[str]
    reason: str


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Everything that the two files of words say."""

    banned: tuple[Banned, ...]
    allowed: tuple[Allowed, ...]
    countries: dict[str, tuple[str, ...]]
    instructions: frozenset[str]

    def misused(self, text: str, *, program: bool = False) -> Iterator[tuple[str, str]]:
        """Each word in a text that has another sense here, with what to write for it."""
        for rule in self.banned:
            if program and not rule.in_program:
                continue
            for match in rule.pattern.finditer(text):
                if not self.allows("word-misused", text):
                    yield match[0].strip(), rule.say

    def foreign(self, text: str, country: str = "") -> Iterator[str]:
        """Each word in a text that belongs to one country: to another than ``country``, where one is named."""
        for owner, words in self.countries.items():
            if owner != country:
                yield from (word for word in words if _word(word).search(text))

    def allows(self, code: str, text: str) -> bool:
        """Whether a text is an exception from a rule."""
        return any(each.code == code and each.pattern.search(text) for each in self.allowed)


@cache
def vocabulary() -> Vocabulary:
    """The words, read once."""
    words, allowed = _read("words.yml"), _read("allowed.yml") or {}
    return Vocabulary(
        banned=tuple(
            Banned(re.compile(row["find"], re.IGNORECASE), row["say"], row.get("also") == "program")
            for row in words["banned"]
        ),
        allowed=tuple(
            Allowed(code, re.compile(row["text"]), row["reason"]) for code, rows in allowed.items() for row in rows
        ),
        countries={name: tuple(found) for name, found in words["countries"].items()},
        instructions=frozenset(words["instructions"].split()),
    )


@cache
def _word(word: str) -> re.Pattern[str]:
    """A word as a whole; short marks in capitals count only as they are written."""
    return re.compile(rf"(?<![\w.]){re.escape(word)}(?!\w)", 0 if word.isupper() else re.IGNORECASE)


def _read(name: str) -> Any:
    return yaml.safe_load((HERE / name).read_text(encoding="utf-8"))


VALUE = "some value"
"""What a value counts as, in words."""
_TAG = re.compile(r"{%.*?%}")
_VALUE = re.compile(r"{{.*?}}")
_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_MARKS = re.compile(r"\*\*|^\s*(?:[-*:]|\d+\.)\s+", re.MULTILINE)
_END = re.compile(r"(?<=[.!?])[\"')]*\s+|\n+|\s*\|\s*|:\s+|;\s+")


def plain(text: str) -> str:
    """A text without tags, links and marks; each value as two words."""
    return _MARKS.sub("", _LINK.sub(r"\1", _VALUE.sub(VALUE, _TAG.sub("", text))))


def sentences(text: str) -> tuple[str, ...]:
    """The sentences of a text; a cell of a table, an entry of a list and a part set off by a colon count as one."""
    found = (part.strip() for part in _END.split(plain(text)))
    return tuple(part for part in found if re.search(r"\w", part))


def word_count(sentence: str) -> int:
    """Words of a sentence; signs alone are none."""
    return sum(any(sign.isalnum() for sign in word) for word in sentence.split())
