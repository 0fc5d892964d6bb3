"""What commands show: findings in the file's own words, and progress on standard error."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterable
from typing import TextIO

from slackloop.source.finding import Placed, render_one


def wants_colour(stream: TextIO) -> bool:
    """Whether colour may be used: only on a terminal, and never with NO_COLOR set."""
    return stream.isatty() and not os.environ.get("NO_COLOR")


def print_findings(findings: Iterable[Placed], stream: TextIO, colour: bool) -> None:
    """Write each finding with its place and line, a blank line between."""
    for finding in findings:
        print(render_one(finding, colour), file=stream, end="\n\n")


class Progress:
    """Tells on standard error what is being done and how long it took."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.started = time.monotonic()

    def __call__(self, what: str) -> None:
        """Say that a step has begun."""
        seconds = time.monotonic() - self.started
        print(f"{self.name} {seconds:5.1f} s  {what}", file=sys.stderr, flush=True)
