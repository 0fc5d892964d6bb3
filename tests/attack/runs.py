"""Runs the command as a person does, in a process of its own, or in this one where that proves the same."""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from slackloop.cli import main
from slackloop.source.codes import Sample

REPOSITORY = Path(__file__).resolve().parents[2]
BASE = Sample().job_text()


def slackloop(
    *words: str | bytes | Path, cwd: Path, flags: Sequence[str] = (), **environment: str
) -> subprocess.CompletedProcess[bytes]:
    """The finished process; ``environment`` is added to this process's own."""
    outcome = subprocess.run(
        [sys.executable, *flags, "-m", "slackloop", *words],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(REPOSITORY / "generator"), **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=3_000,
        check=False,
    )
    assert b"Traceback" not in outcome.stderr, outcome.stderr.decode(errors="replace")
    return outcome


@dataclass(frozen=True)
class Answer:
    """What a command came to in this process: its status, and all that it said."""

    status: int
    told: str


def answer(*words: str, cwd: Path) -> Answer:
    """Run a command in this process, in a folder; an error of the program's own fails the test by itself."""
    said = io.StringIO()
    with contextlib.chdir(cwd), contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        status = main(words)
    return Answer(status, said.getvalue())
