"""What commands show: findings in the file's own words, and progress on standard error."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from slackloop.cli import REFUSED
from slackloop.source.finding import Placed, harmless, render_one

if TYPE_CHECKING:
    from slackloop.document.worked import Refused


def wants_colour(stream: TextIO) -> bool:
    """Whether colour may be used: only on a terminal, and never with NO_COLOR set."""
    return stream.isatty() and not os.environ.get("NO_COLOR")


def print_findings(findings: Iterable[Placed], stream: TextIO, colour: bool) -> None:
    """Write each finding with its place and line, a blank line between."""
    for finding in findings:
        print(render_one(finding, colour), file=stream, end="\n\n")


STOPS_READING = frozenset(("yaml-syntax", "yaml-too-deep", "file-too-many-values"))
"""Codes of what ends the reading of a file, so that its keys and values are not looked at."""


def closing_line(refused: Refused) -> str:
    """One line that says how many errors there are, and whether there may be more behind them."""
    stopped = next((each for each in refused.findings if each.code in STOPS_READING), None)
    if stopped is None:
        return refused.closing_line()
    return f"{refused.closing_line()}; the rest of {Path(stopped.file).name} was not looked at, and may hold more"


def tell_refused(findings: Sequence[Placed], closing_line: str, *, as_json: bool) -> None:
    """Say why a job is refused: findings and the closing line on standard error, or the record on standard output."""
    from slackloop.render.json.check_record import refused_record
    from slackloop.render.json.json_text import json_text

    if as_json:
        print(json_text(refused_record(findings), sys.stdout.encoding))
    else:
        print_findings(findings, sys.stderr, wants_colour(sys.stderr))
    print(closing_line, file=sys.stderr)


def refused(problem: object) -> int:
    """Say on standard error why nothing was done; the exit status of that."""
    print(f"slackloop: {harmless(str(problem))}", file=sys.stderr)
    return REFUSED


class Progress:
    """Tells on standard error what is being done and how long it took."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.started = time.monotonic()

    def __call__(self, what: str) -> None:
        """Say that a step has begun."""
        seconds = time.monotonic() - self.started
        print(f"{self.name} {seconds:5.1f} s  {what}", file=sys.stderr, flush=True)
