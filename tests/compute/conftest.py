"""Jobs and tables for the tests of the computing modules."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from slackloop.compute.analysis import Analysis, analyse
from slackloop.job.models import Job
from slackloop.job.reader import read_job
from slackloop.reference.tables import ReferenceTables, load_tables

JOBS = Path(__file__).parent / "jobs"
NAMES = ("garden", "links", "ring", "mixed")


@pytest.fixture(scope="session")
def tables() -> ReferenceTables:
    return load_tables()


@pytest.fixture(scope="session")
def job_of() -> Callable[[str], Job]:
    """Reads one job of this folder; it must be read without an error."""

    def read(name: str) -> Job:
        reading = read_job(JOBS / f"{name}.yml")
        assert reading.job is not None, [finding.message for finding in reading.findings]
        return reading.job

    return read


@pytest.fixture(scope="session")
def analysis_of(job_of: Callable[[str], Job], tables: ReferenceTables) -> Callable[[str], Analysis]:
    """Analyses one job of this folder, once a run of the tests."""
    done: dict[str, Analysis] = {}

    def of(name: str) -> Analysis:
        if name not in done:
            done[name] = analyse(job_of(name), tables)
        return done[name]

    return of
