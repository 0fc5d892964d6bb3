"""A job read and computed: what every command starts from."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from slackloop.compute.computed_job import ComputedJob, compute_job
from slackloop.control.fingerprint import fingerprint
from slackloop.control.releases import Release, read_releases, releases_before, releases_folder
from slackloop.reference.folder import data_folder
from slackloop.reference.tables import ReferenceTables, load_tables
from slackloop.sections.site_hazards import site_hazard_findings
from slackloop.site.answers import with_answers
from slackloop.site.models import Job
from slackloop.site.reader import Reading, read_job
from slackloop.source.finding import Placed, place_finding


class Refused(Exception):
    """A job file that cannot be worked with; carries everything that was found."""

    def __init__(self, findings: tuple[Placed, ...]) -> None:
        super().__init__(f"{len(findings)} findings")
        self.findings = findings

    def closing_line(self) -> str:
        """One line that says how many errors there are."""
        errors = sum(finding.level == "error" for finding in self.findings)
        return f"refused: {errors} {'error' if errors == 1 else 'errors'}"


@dataclass(frozen=True)
class Worked:
    """A job that was read and computed, with all findings placed in its files, worst level first."""

    path: Path
    reading: Reading
    job: Job
    tables: ReferenceTables
    analysis: ComputedJob
    findings: tuple[Placed, ...]
    fingerprint: str
    releases: tuple[Release, ...] = ()
    """The releases beside the job that came before its revision, oldest first."""
    released_as_draft: bool = False
    """Whether it is being released with things still open."""


def content_folders(job_path: Path) -> tuple[Path, ...]:
    """Folders that content is looked for in: the firm's own beside the job first, then the standing one."""
    standing = data_folder("content")
    own = job_path.resolve().parent / "content"
    return (standing,) if own == standing.resolve() else (own, standing)


@contextmanager
def _no_search_for_cycles() -> Iterator[None]:
    """Reading and computing make much that is kept and no cycles: a search for them is a quarter of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def work(path: Path) -> Worked:
    """Read and compute one job file. Raises Refused with every finding when the file is not good enough."""
    with _no_search_for_cycles():
        return _work(path)


def _work(path: Path) -> Worked:
    tables = load_tables()
    reading = read_job(path, soils=tables.soils.names(), code_bases=tuple(tables.code_bases))
    if reading.job is None or any(finding.level == "error" for finding in reading.findings):
        raise Refused(reading.findings)
    analysis = compute_job(reading.job, tables)
    placed = list(reading.findings)
    for finding in (*analysis.findings, *site_hazard_findings(reading.job)):
        place = reading.places.locate(finding.at)
        placed.append(place_finding(finding, place.file, place.line, place.column, place.excerpt))
    placed, unused = with_answers(placed, reading.job.answers)
    placed += [reading.places.place(finding, of_key=True) for finding in unused]
    earlier = _releases_before(path, reading.job)
    rank = {"error": 0, "warning": 1, "note": 2}
    placed.sort(key=lambda each: (rank[each.level], each.file, each.line, each.column))
    return Worked(
        path=path,
        reading=reading,
        job=reading.job,
        tables=tables,
        analysis=analysis,
        findings=tuple(placed),
        fingerprint=fingerprint(
            reading.fingerprint_source, tables.digest, content_folders(path), [each.digest for each in earlier],
            reading.job.languages,
        ),
        releases=earlier,
    )


def _releases_before(path: Path, job: Job) -> tuple[Release, ...]:
    """The releases beside a job file before the revision that it states."""
    releases = read_releases(releases_folder(path))
    return releases_before(releases, job.job.number, job.job.site, job.document.revision)
