"""Runs the command as a person does, in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

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
