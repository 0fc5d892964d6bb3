"""What is made once a run of the tests, also where several workers want it; and which cases are kept for proofs."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import pytest
from filelock import FileLock

from samples import REPOSITORY


@dataclass(frozen=True)
class Shared:
    """A folder that all workers of a run see. What lies in it is read only: a test that changes it makes a copy."""

    home: Path

    def made(self, name: str, make: Callable[[Path], object]) -> Path:
        """The folder of this name, filled by the first who asks; the others wait."""
        place, done = self.home / name, self.home / f"{name}.done"
        with FileLock(self.home / f"{name}.lock"):
            if not done.exists():
                shutil.rmtree(place, ignore_errors=True)
                place.mkdir()
                make(place)
                done.touch()
        return place


@dataclass(frozen=True)
class Build:
    """A handbook, and what the command said when it was built."""

    folder: Path
    status: int
    out: str
    said: str


@dataclass(frozen=True)
class Builds:
    """Builds jobs by the command; the same text with the same options is built once a run."""

    shared: Shared

    def __call__(self, job: Path, *options: str) -> Build:
        """The handbook of a job that stands for itself or lies beside the same files each time."""
        told = json.dumps([job.name, job.read_text(encoding="utf-8"), options])
        place = self.shared.made(
            f"{job.stem}-{hashlib.sha256(told.encode()).hexdigest()[:12]}", lambda place: _build(job, place, options)
        )
        return Build(place / "handbook", **json.loads((place / "said.json").read_text(encoding="utf-8")))


def _build(job: Path, place: Path, options: Iterable[str]) -> None:
    folder = place / "handbook"
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY / "generator"), "NO_COLOR": "1"}
    asked = [sys.executable, "-m", "slackloop", "build", str(job), "-o", str(folder), *options]
    done = subprocess.run(asked, capture_output=True, text=True, env=environment, timeout=3_000, check=False)
    assert (folder / "index.html").is_file(), done.stderr
    told = asdict(Build(folder, done.returncode, done.stdout, done.stderr))
    told.pop("folder")
    (place / "said.json").write_text(json.dumps(told), encoding="utf-8")


def short(cases: Iterable[Any], *kept: Any) -> list[Any]:
    """The cases of a test: those that are kept are in every run of the tests, all others in ``make proofs`` alone."""
    every = list(cases)
    assert kept
    assert [each for each in kept if each not in every] == []
    return [each if each in kept else pytest.param(each, marks=pytest.mark.proof) for each in every]


def short_pairs(cases: Iterable[tuple[Any, ...]], *kept: tuple[Any, ...]) -> list[Any]:
    """As ``short``, for cases of several values each."""
    every = list(cases)
    assert kept
    assert [each for each in kept if each not in every] == []
    return [each if each in kept else pytest.param(*each, marks=pytest.mark.proof) for each in every]
