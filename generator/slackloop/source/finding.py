"""A finding: one thing that is wrong, doubtful or worth knowing, and where it stands."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
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


def place_finding(finding: Finding, file: str, line: int, column: int, excerpt: str) -> Placed:
    """Put a finding at a place; ``excerpt`` is the whole line of the file."""
    told = {name: getattr(finding, name) for name in _OF_FINDING}
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
