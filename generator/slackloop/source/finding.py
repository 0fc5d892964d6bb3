"""A finding: one thing that is wrong, doubtful or worth knowing, and where it stands.

Findings as text for a terminal: place, message, the line with a caret, what was expected, the mend.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from operator import attrgetter
from typing import Literal

Level = Literal["error", "warning", "note"]
At = tuple[str | int, ...]
_QUOTED = re.compile(r"'([^']+)'")


@dataclass(frozen=True, slots=True)
class Answered:
    """The answer that the job gives to a warning: who, the day as 2026-03-09, a reference or nothing, the words."""

    by: str
    date: str
    reference: str
    answer: str

    @property
    def sentence(self) -> str:
        """The answer in one sentence."""
        reference = f", {self.reference}" if self.reference else ""
        return f"Answered by {self.by} on {self.date}{reference}: {self.answer}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding, tied to a key path in the job file such as ``("path", "boxes", 13, "run")``.

    ``asks`` says who is asked where a warning puts a question, as ``the authority``; ``of`` names every box or run
    that the finding speaks of, where there are several.
    """

    level: Level
    code: str
    message: str
    at: At = ()
    box: str = ""
    expected: str = ""
    hint: str = ""
    asks: str = ""
    of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Placed(Finding):
    """A finding with its place in a file; ``line`` and ``column`` count from 1, in characters."""

    file: str = ""
    line: int = 1
    column: int = 1
    excerpt: str = ""
    """The whole line of the file."""
    answer: Answered | None = None
    """What closes it; nothing while it is open."""
    part_answers: tuple[tuple[str, Answered], ...] = ()
    """Answers for single boxes or runs of those that it speaks of, by their names."""

    @property
    def where(self) -> str:
        """The place as ``file:line:column``."""
        return f"{self.file}:{self.line}:{self.column}"


_OF_FINDING = tuple(each.name for each in fields(Finding))
_told = attrgetter(*_OF_FINDING)


def place_finding(finding: Finding, file: str, line: int, column: int, excerpt: str) -> Placed:
    """Put a finding at a place; ``excerpt`` is the whole line of the file."""
    told = dict(zip(_OF_FINDING, _told(finding), strict=True))
    return Placed(**told, file=file, line=line, column=column, excerpt=excerpt)


def found_at(file: str, line: int, code: str, message: str, level: Level = "error", column: int = 0) -> Placed:
    """A finding in a file of content; ``with_line`` gives it the line, and the column where that is left at 0."""
    return Placed(level, code, message, file=file, line=line, column=column)


def with_line(finding: Placed, lines: Sequence[str]) -> Placed:
    """The finding with its line out of ``lines``, and a column: what its message quotes, else where the line starts."""
    excerpt = lines[finding.line - 1] if 0 < finding.line <= len(lines) else ""
    column = finding.column
    if column < 1:
        starts = (excerpt.find(words) for words in _QUOTED.findall(finding.message))
        start = len(excerpt) - len(excerpt.lstrip())
        column = 1 + next((each for each in starts if each >= 0), start if excerpt.strip() else 0)
    return replace(finding, excerpt=excerpt, column=column)


def by_place(finding: Placed) -> tuple[str, int, int, str, str]:
    """What findings of one level are sorted by: file, line, column, code, message."""
    return (finding.file, finding.line, finding.column, finding.code, finding.message)


def path_text(at: At) -> str:
    """Write a key path for a reader: ``path.boxes[13].run``, items counted from 0 as in the file's lists."""
    text = ""
    for part in at:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            text += f".{part}" if text else part
    return text or "the file"


WIDEST = 100
"""Most characters of a line that are shown; longer lines are cut around the caret."""

_COLOURS = {"error": "\x1b[31;1m", "warning": "\x1b[33;1m", "note": "\x1b[36;1m"}
_RESET, _DIM = "\x1b[0m", "\x1b[2m"
_ZERO_WIDTH = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp", "Mn", "Me"))


def render(findings: Iterable[Placed], colour: bool = False) -> str:
    """All findings, a blank line between two; an empty text for none."""
    return "\n\n".join(render_one(finding, colour) for finding in findings)


def render_one(finding: Placed, colour: bool = False) -> str:
    """One finding in up to five lines."""
    paint = _COLOURS[finding.level] if colour else ""
    reset, dim = (_RESET, _DIM) if colour else ("", "")
    place = f"{harmless(finding.file)}:{finding.line}:{finding.column}"
    lines = [f"{place}: {paint}{finding.level}[{harmless(finding.code)}]{reset}: {harmless(finding.message)}"]
    if finding.excerpt.strip():
        shown, caret = excerpt_lines(finding.excerpt, finding.column)
        number = str(finding.line)
        lines.append(f"{dim}{number} |{reset} {shown}")
        lines.append(f"{dim}{' ' * len(number)} |{reset} {caret[:-1]}{paint}^{reset}")
    if finding.expected:
        lines.append(f"  expected: {harmless(finding.expected)}")
    if finding.hint:
        lines.append(f"  hint: {harmless(finding.hint)}")
    lines += [f"  {harmless(name)}: {harmless(each.sentence)}" for name, each in finding.part_answers]
    if finding.answer is not None:
        lines.append(f"  {harmless(finding.answer.sentence)}")
    return "\n".join(lines)


def excerpt_lines(line: str, column: int) -> tuple[str, str]:
    """The line, cut around ``column`` (from 1) where it is long, and a line with a caret under that column."""
    column = max(1, min(column, len(line) + 1))
    start = 0 if len(line) <= WIDEST else max(0, min(column - 1 - WIDEST // 2, len(line) - WIDEST))
    end = min(len(line), start + WIDEST)
    before, after = harmless(line[start : column - 1]), harmless(line[column - 1 : end])
    head = "… " if start > 0 else ""
    tail = " …" if end < len(line) else ""
    return f"{head}{before}{after}{tail}", " " * _width(head + before) + "^"


def harmless(text: str) -> str:
    """The text with characters that could steer a terminal or hide written as ``\\u{…}``; a tab as a space."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_harmless_character(character) for character in text)


def _harmless_character(character: str) -> str:
    if character == "\t":
        return " "
    if character.isprintable() and unicodedata.category(character) not in _ZERO_WIDTH:
        return character
    if unicodedata.combining(character):
        return character
    return f"\\u{{{ord(character):x}}}"


def _width(text: str) -> int:
    """Columns that a text takes in a terminal: wide East Asian characters take two, combining marks none."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)
