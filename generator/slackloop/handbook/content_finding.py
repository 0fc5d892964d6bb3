"""What is wrong with the content, with the file and line it stands in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, order=True)
class ContentFinding:
    """One mistake in a content file; ``line`` is 1-based, ``file`` is relative to its content folder."""

    file: str
    line: int
    code: str
    message: str
    level: Literal["error", "warning"] = "error"

    def __str__(self) -> str:
        """One line for the console."""
        return f"{self.file}:{self.line}: {self.level} {self.code}: {self.message}"


class ContentError(Exception):
    """Content with mistakes: every finding at once, so that all are mended in one go."""

    def __init__(self, findings: tuple[ContentFinding, ...]) -> None:
        """Keep the findings; the text of the error lists them a line each."""
        self.findings = findings
        super().__init__("\n".join(str(finding) for finding in findings))


def refuse_faults(findings: tuple[ContentFinding, ...]) -> None:
    """Raise ``ContentError`` with the errors among the findings, if there are any."""
    errors = tuple(finding for finding in findings if finding.level == "error")
    if errors:
        raise ContentError(errors)
