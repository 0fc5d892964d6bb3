"""The demonstration handbook, built once by the command for every test that looks at it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from samples import DEMO, REPOSITORY


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that ``slackloop build`` makes of the demonstration job."""
    folder = tmp_path_factory.mktemp("demo") / "handbook"
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY / "generator"), "NO_COLOR": "1"}
    asked = [sys.executable, "-m", "slackloop", "build", str(DEMO), "-o", str(folder)]
    done = subprocess.run(asked, capture_output=True, text=True, env=environment, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    return folder
