"""A finding: one thing that is wrong, doubtful or worth knowing, and where it stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Level = Literal["error", "warning", "note"]
At = tuple[str | int, ...]


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
class Placed:
    """A finding with its place in a file; ``line`` and ``column`` count from 1, in characters."""

    level: Level
    code: str
    message: str
    at: At
    box: str
    expected: str
    hint: str
    file: str
    line: int
    column: int
    excerpt: str
    asks: str = ""
    of: tuple[str, ...] = ()
    answer: Answered | None = None
    """What closes it; nothing while it is open."""
    part_answers: tuple[tuple[str, Answered], ...] = ()
    """Answers for single boxes or runs of those that it speaks of, by their names."""

    @property
    def where(self) -> str:
        """The place as ``file:line:column``."""
        return f"{self.file}:{self.line}:{self.column}"


def place_finding(finding: Finding, file: str, line: int, column: int, excerpt: str) -> Placed:
    """Put a finding at a place; ``excerpt`` is the whole line of the file."""
    return Placed(
        level=finding.level,
        code=finding.code,
        message=finding.message,
        at=finding.at,
        box=finding.box,
        expected=finding.expected,
        hint=finding.hint,
        file=file,
        line=line,
        column=column,
        excerpt=excerpt,
        asks=finding.asks,
        of=finding.of,
    )


def path_text(at: At) -> str:
    """Write a key path for a reader: ``path.boxes[13].run``, items counted from 0 as in the file's lists."""
    text = ""
    for part in at:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            text += f".{part}" if text else part
    return text or "the file"
