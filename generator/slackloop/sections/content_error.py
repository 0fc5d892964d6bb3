"""Content that cannot be built from: every error in it at once, so that all are mended in one go."""

from __future__ import annotations

from collections.abc import Iterable

from slackloop.source.excerpt import render
from slackloop.source.finding import Placed


class ContentError(Exception):
    """Content with errors; its text shows each with its place and its line."""

    def __init__(self, findings: tuple[Placed, ...]) -> None:
        self.findings = findings
        super().__init__(render(findings))


def refuse_faults(findings: Iterable[Placed]) -> None:
    """Raise ``ContentError`` with the errors among the findings, if there are any."""
    errors = tuple(finding for finding in findings if finding.level == "error")
    if errors:
        raise ContentError(errors)
