"""One job gives one handbook, byte for byte, however and wherever it is built."""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from attack.runs import slackloop
from attack.test_no_volts import overloaded_job
from shared import Builds


def _digests(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture
def far(tmp_path: Path) -> Iterator[Path]:
    """A folder on another file system, as a memory stick is, where one is at hand."""
    place = Path("/dev/shm")
    folder = Path(tempfile.mkdtemp(dir=place if place.is_dir() else tmp_path))
    yield folder
    shutil.rmtree(folder)


@pytest.mark.slow
def test_two_builds_give_the_same_bytes(tmp_path: Path, far: Path, builds: Builds) -> None:
    """Another working folder, file system, time zone, locale, hash seed, home and SOURCE_DATE_EPOCH change nothing."""
    job = overloaded_job(tmp_path, "current")
    first, second = builds(job).folder, far / "second"
    outcome = slackloop(
        "build",
        os.path.relpath(job, "/"),
        "-o",
        second,
        cwd=Path("/"),
        PYTHONHASHSEED="7",
        TZ="Asia/Kathmandu",
        LC_ALL="C",
        HOME="",
        SOURCE_DATE_EPOCH="1700000000",
        TMPDIR=str(tmp_path),
    )
    assert outcome.returncode == 1
    assert _digests(first) == _digests(second)
    assert [path.name for path in far.iterdir()] == ["second"]
    assert not [path for path in second.iterdir() if path.name.startswith(".aside")]
    record = (first / "check.json").read_text(encoding="utf-8")
    assert '"where": "job.yml:' in record
    assert str(tmp_path) not in record
