"""Jobs and tables for the tests of the computing modules."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from slackloop.compute.computed_job import ComputedJob, compute_job
from slackloop.reference.tables import ReferenceTables, load_tables
from slackloop.site.models import Job
from slackloop.site.reader import read_job

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
def analysis_of(job_of: Callable[[str], Job], tables: ReferenceTables) -> Callable[[str], ComputedJob]:
    """Analyses one job of this folder, once a run of the tests."""
    done: dict[str, ComputedJob] = {}

    def of(name: str) -> ComputedJob:
        if name not in done:
            done[name] = compute_job(job_of(name), tables)
        return done[name]

    return of
