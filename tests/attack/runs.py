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
    """What a command came to in this process: its status, and what it wrote to standard output and standard error."""

    status: int
    out: str
    said: str

    @property
    def told(self) -> str:
        """All that it wrote."""
        return self.out + self.said


def answer(*words: str, cwd: Path) -> Answer:
    """Run a command in this process, in a folder; an error of the program's own fails the test by itself."""
    out, said = io.StringIO(), io.StringIO()
    with contextlib.chdir(cwd), contextlib.redirect_stdout(out), contextlib.redirect_stderr(said):
        try:
            status = main(words)
        except SystemExit as ended:  # as argparse ends where the words are wrong
            status = int(str(ended.code))
    return Answer(status, out.getvalue(), said.getvalue())
