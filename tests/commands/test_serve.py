"""``slackloop serve``: an address in use is told at once, content made later is seen, and a stop leaves nothing."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from attack.kills import heed_signals
from attack.runs import BASE, REPOSITORY, slackloop
from slackloop.output import marker as scratch
from slackloop.output.marker import clear_scratch, scratch_folder


def free_port() -> int:
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


@contextmanager
def serving(home: Path) -> Iterator[subprocess.Popen[str]]:
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY / "generator"), "TMPDIR": str(home / "tmp")}
    with subprocess.Popen(
        [sys.executable, "-m", "slackloop", "serve", "job.yml", "--port", str(free_port())],
        cwd=home, env=environment, stderr=subprocess.PIPE, text=True, preexec_fn=heed_signals,
    ) as process:  # fmt: skip
        guard = threading.Timer(600.0, process.kill)  # what never comes must not be waited for without end
        guard.start()
        try:
            yield process
        finally:
            guard.cancel()
            process.kill()


def wait_for(process: subprocess.Popen[str], word: str) -> None:
    assert process.stderr is not None
    for line in process.stderr:
        if word in line:
            return
    pytest.fail(f"the preview never said {word!r}")


def home_of(tmp_path: Path, job: str) -> Path:
    (tmp_path / "job.yml").write_text(job, encoding="utf-8")
    (tmp_path / "tmp").mkdir()
    return tmp_path


def test_an_address_in_use_is_told_before_anything_is_built(tmp_path: Path) -> None:
    home = home_of(tmp_path, BASE)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        outcome = slackloop("serve", "job.yml", "--port", str(port), cwd=home, TMPDIR=str(home / "tmp"))
    expected = f"slackloop: http://127.0.0.1:{port}/ cannot be used: address already in use. Name another with --port."
    assert (outcome.returncode, outcome.stderr.decode().strip()) == (2, expected)
    assert os.listdir(home / "tmp") == []
    assert slackloop("serve", "job.yml", "--port", "70000", cwd=home).returncode == 2


def test_content_made_after_the_start_is_seen_and_a_stop_leaves_nothing(tmp_path: Path) -> None:
    """A job with errors shows its findings, which is quick to build; what is watched is the same."""
    home = home_of(tmp_path, BASE.replace("format: 1", "format: 9"))
    with serving(home) as process:
        wait_for(process, "Serving on")
        section = home / "content" / "method" / "own.md"
        section.parent.mkdir(parents=True)
        section.write_text("one", encoding="utf-8")
        wait_for(process, "Detected file changes")
        wait_for(process, "Reloading browsers")
        section.write_text("two, which is longer", encoding="utf-8")
        wait_for(process, "Detected file changes")
        process.send_signal(signal.SIGTERM)
        process.communicate()
        assert os.listdir(home / "tmp") == []


def test_what_a_killed_preview_left_is_cleared_by_the_next_command(tmp_path: Path) -> None:
    home = home_of(tmp_path, BASE.replace("format: 1", "format: 9"))
    with serving(home) as process:
        wait_for(process, "Serving on")
        process.kill()
        process.communicate()
    (left,) = (home / "tmp").iterdir()
    assert any(path.name.startswith("mkdocs_") for path in left.iterdir())
    assert slackloop("build", "job.yml", cwd=home, TMPDIR=str(home / "tmp")).returncode == 2
    assert os.listdir(home / "tmp") == []


def test_a_folder_in_use_and_one_of_somebody_else_stay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scratch.tempfile, "tempdir", str(tmp_path))
    theirs = tmp_path / "slackloop-notes"
    theirs.mkdir()
    (theirs / "notes.txt").touch()
    with scratch_folder() as folder:
        monkeypatch.setattr(scratch.tempfile, "tempdir", str(tmp_path))
        clear_scratch()
        assert folder.is_dir()
    assert os.listdir(tmp_path) == ["slackloop-notes"]
