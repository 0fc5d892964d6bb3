"""A job read and computed: what every command starts from.

A job read and computed together with the firm's own content beside it: mistakes there are findings too.

The standing content is held to the same rules by the tests, so a job without content of its own costs nothing here.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from slackloop.compute.computed_job import ComputedJob, compute_job
from slackloop.compute.risk import site_hazard_findings
from slackloop.language.messages import ENGLISH
from slackloop.reference.table_file import data_folder
from slackloop.reference.tables import ReferenceTables, load_tables
from slackloop.site.answers import with_answers
from slackloop.site.models import Job
from slackloop.site.reader import Reading, read_job
from slackloop.source.finding import Placed, place_finding

if TYPE_CHECKING:
    from slackloop.control.releases import Release
    from slackloop.document.recorded import Recorded


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
    releases: tuple[Release, ...] = ()
    """The releases beside the job that came before its revision, oldest first."""
    released_as_draft: bool = False
    """Whether it is being released with things still open."""
    recorded: Recorded | None = None
    """What was recorded on site, where records were given."""

    @cached_property
    def fingerprint(self) -> str:
        """The fingerprint of what is made of it; of a draft where it is released as one."""
        from slackloop.control.fingerprint import draft_fingerprint, fingerprint

        of = fingerprint(
            self.reading.fingerprint_source, self.tables.digest, content_folders(self.path),
            [each.digest for each in self.releases], self.job.languages,
        )
        return draft_fingerprint(of) if self.released_as_draft else of


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
    rank = {"error": 0, "warning": 1, "note": 2}
    placed.sort(key=lambda each: (rank[each.level], each.file, each.line, each.column))
    return Worked(
        path=path,
        reading=reading,
        job=reading.job,
        tables=tables,
        analysis=analysis,
        findings=tuple(placed),
        releases=_releases_before(path, reading.job),
    )


def _releases_before(path: Path, job: Job) -> tuple[Release, ...]:
    """The releases beside a job file before the revision that it states."""
    from slackloop.control.releases import read_releases, releases_before, releases_folder

    releases = read_releases(releases_folder(path))
    return releases_before(releases, job.job.number, job.job.site, job.document.revision)


def work_with_content(path: Path) -> Worked:
    """As ``worked.work``, with the findings of the firm's own content; raises Refused where one is an error."""
    worked = work(path)
    found = (*own_content_findings(path, worked.tables, worked), *translation_findings(worked))
    if any(finding.level == "error" for finding in found):
        raise Refused((*found, *worked.findings))
    return replace(worked, findings=(*worked.findings, *found)) if found else worked


def own_content_findings(path: Path, tables: ReferenceTables, worked: Worked | None = None) -> Iterator[Placed]:
    """Findings in the files of the content folder beside a job or a standard; nothing where there is none.

    With ``worked``, values of that job typed in the firm's sections are found too.
    """
    *own, standing = content_folders(path)
    if not own or not own[0].is_dir():
        return
    # The checker knows every table and drawing, which takes a while to import; most jobs have no content of their own.
    from slackloop.document.context import Context
    from slackloop.document.tables.registry import known
    from slackloop.sections.checker import check_content
    from slackloop.sections.content import read_content
    from slackloop.sections.fault_cover import late_faults
    from slackloop.sections.hardcoded_numbers import typed_values

    folder = own[0]
    content = read_content(standing, folder)
    found = list(check_content(content, known(tables)))
    if worked is not None and not any(finding.level == "error" for finding in found):
        context = Context(worked.job, worked.analysis, worked.tables, content, worked.reading)
        theirs = tuple(each for each in content.sections if not each.ours)
        found += content.told(typed_values(worked.job, context.values, content.words, theirs))
        late = content.told(late_faults(context.sections, content.words))
        yield from (_named(finding, folder, path.parent / "content") for finding in late)
    for finding in found:
        if finding.level == "error" or os.path.lexists(folder / finding.file):
            yield _named(finding, folder, path.parent / "content")


def translation_findings(worked: Worked) -> Iterator[Placed]:
    """What the crew of a job would read in English for want of a translation; nothing for a job in English alone."""
    others = [each for each in worked.job.languages if each != ENGLISH]
    if not others:
        return
    from slackloop.sections.content import read_content
    from slackloop.sections.translated import translated_content

    *own, standing = content_folders(worked.path)
    firm = own[0] if own and own[0].is_dir() else None
    content = read_content(standing, firm)
    for language in others:
        for finding in content.told(translated_content(content, standing, firm, language).findings):
            yield _named(finding, firm or standing, worked.path.parent / "content")


def _named(finding: Placed, folder: Path, shown: Path) -> Placed:
    """The finding by its file's path; a file of the standing content, broken by what the firm took out, by its name."""
    own = os.path.lexists(folder / finding.file)
    return replace(finding, file=(shown / finding.file).as_posix() if own else f"standing content {finding.file}")
