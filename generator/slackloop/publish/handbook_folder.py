"""The whole output of one job: website, printable document and the record of what was computed, in one folder."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory

from slackloop.compute.analysis import Verdict
from slackloop.handbook.assemble import book_of
from slackloop.handbook.book import Book
from slackloop.handbook.content_check import work_with_content
from slackloop.handbook.content_finding import ContentError
from slackloop.handbook.worked import Worked
from slackloop.job.finding import Placed
from slackloop.job.models import Job
from slackloop.output.folder import check_output, whole_folder
from slackloop.output.kept import Kept
from slackloop.output.marker import Owner
from slackloop.output.refusal import OutputRefused
from slackloop.publish.check_record import check_record
from slackloop.publish.json_text import json_text
from slackloop.publish.markup import render_html
from slackloop.publish.print import PrintError, build_pdf
from slackloop.publish.print_cards import build_cards
from slackloop.publish.print_document import Paper
from slackloop.publish.schedules import schedule_files
from slackloop.publish.website import WebsiteFaulty, build_website
from slackloop.publish.website_menu import PagesRefused

PDF_NAME = "handbook.pdf"
CARDS_NAME = "cards.pdf"


class BuildFaulty(Exception):
    """The job is good but its handbook could not be made; the message names every fault."""


@dataclass(frozen=True)
class Prepared:
    """What is ready to be published: read and computed, and nothing written yet."""

    owner: Owner
    verdict: Verdict
    findings: tuple[Placed, ...]
    files: tuple[str, ...]
    """Those to open first, from the handbook's folder."""
    write: Callable[[Path], tuple[str, ...]]
    """Writes everything into an empty folder; the answer is what paper cannot show as it was written."""

    def publish(self, fresh: Path) -> tuple[str, ...]:
        """As ``write``; faults of content, print and website are told as one ``BuildFaulty`` that names each."""
        with told_faults():
            return self.write(fresh)


@dataclass(frozen=True)
class Built:
    """What a build gave: what was prepared, what paper cannot show, and a person's files that were taken along."""

    verdict: Verdict
    findings: tuple[Placed, ...]
    files: tuple[str, ...]
    warnings: tuple[str, ...] = ()
    kept: tuple[Kept, ...] = ()


def build_handbook(
    job_path: Path,
    folder: Path,
    *,
    paper: str | None = None,
    strict: bool = False,
    progress: Callable[[str], None],
) -> Built:
    """Read, compute and publish one job into ``folder``; an earlier handbook there stays until this one is whole.

    Raises ``worked.Refused`` for a job that is not good enough, ``output.OutputRefused`` for a folder that must
    not be written, and BuildFaulty where content or pages have faults.
    """
    check_output(folder)
    return build_prepared(prepare_handbook(job_path, folder, paper=paper, strict=strict, progress=progress), folder)


def build_prepared(prepared: Prepared, folder: Path) -> Built:
    """Publish what is prepared into ``folder``."""
    with whole_folder(folder, prepared.owner) as output:
        warnings = prepared.publish(output.fresh)
    return Built(prepared.verdict, prepared.findings, prepared.files, warnings, output.kept)


def prepare_handbook(
    job_path: Path, folder: Path, *, paper: str | None, strict: bool, progress: Callable[[str], None]
) -> Prepared:
    """Read and compute one job whose handbook will go to ``folder``; raises as ``build_handbook``."""
    keep_source(job_path, folder)
    progress("reading and computing the job")
    worked = work_with_content(job_path)
    if worked.job.standard:
        keep_source(job_path.resolve().parent / worked.job.standard, folder)
    return Prepared(
        Owner("job", worked.job.job.number, worked.job.job.site),
        worked.analysis.verdict,
        worked.findings,
        ("index.html", PDF_NAME, CARDS_NAME),
        lambda fresh: _publish(worked, fresh, paper, strict, progress),
    )


@contextmanager
def told_faults() -> Iterator[None]:
    """Faults of content, print and website as one ``BuildFaulty`` that names each."""
    try:
        yield
    except ContentError as faulty:
        raise BuildFaulty("the content has faults:\n" + "\n".join(str(each) for each in faulty.findings)) from faulty
    except PrintError as faulty:
        raise BuildFaulty(str(faulty)) from faulty
    except PagesRefused as faulty:
        raise BuildFaulty(f"two pages cannot stand side by side: {faulty}") from faulty
    except WebsiteFaulty as faulty:
        raise BuildFaulty("the website has faults:\n" + "\n".join(faulty.faults)) from faulty
    except RecursionError as faulty:
        raise BuildFaulty(
            "a page nests lists, quotes or tags deeper than can be set; look in the content folder beside the job"
        ) from faulty


def keep_source(source: Path, folder: Path) -> None:
    """Refuse a folder that holds what the handbook is made from: the swap would take it away."""
    if Path(os.path.realpath(source)).is_relative_to(os.path.realpath(folder)):
        raise OutputRefused(f"{source} lies in {folder}, which a build replaces whole. Name another folder.")


def _publish(
    worked: Worked, fresh: Path, paper: str | None, strict: bool, progress: Callable[[str], None]
) -> tuple[str, ...]:
    """Write everything into ``fresh``; the answer is what paper cannot show as it was written.

    Typst works outside Python's own lock, so both printed documents are set while the website is being built, and
    the website is told of them by empty files that they replace.
    """
    progress("writing the pages")
    book = book_of(worked, cards_file=CARDS_NAME)
    printed = without_box_pages(book)
    files = schedule_files(book)
    rendered = {page.uri: render_html(page.markdown) for page in printed.pages}
    size = paper_for(worked.job.job.units, paper)
    at = document_time(worked.job)
    address = worked.job.job.address
    with TemporaryDirectory(prefix=".aside-", dir=fresh) as aside, ThreadPoolExecutor(max_workers=2) as presses:
        folder = Path(aside)
        source = {worked.path.name: worked.path.read_bytes()}
        handbook = presses.submit(
            build_pdf, printed, folder / PDF_NAME, timestamp=at, attachments=source, paper=size, rendered=rendered
        )
        cards = presses.submit(build_cards, book, folder / CARDS_NAME, timestamp=at, paper=size, address=address)
        progress(f"building the website of {len(book.pages)} pages, and setting the printed documents")
        empty = folder / "empty"
        empty.touch()
        site = folder / "site"
        build_website(book, site, address=address, pdf=empty, files={**files, CARDS_NAME: b""})
        progress("waiting for the printed documents")
        made = (*handbook.result().warnings, *cards.result().warnings)
        warnings = tuple(dict.fromkeys(finding.message for finding in made))
        if strict and warnings:
            raise BuildFaulty("\n".join(warnings))
        for name in (PDF_NAME, CARDS_NAME):
            os.replace(folder / name, site / name)
        for entry in sorted(site.iterdir()):
            entry.rename(fresh / entry.name)
    (fresh / "check.json").write_text(json_text(check_record(_as_from_its_folder(worked))) + "\n", encoding="utf-8")
    return warnings


def without_box_pages(book: Book) -> Book:
    """The book as it is printed: what the page of a box says stands on its card, so it is not printed twice."""
    return replace(book, pages=tuple(page for page in book.pages if page.kind != "box"))


def _as_from_its_folder(worked: Worked) -> Worked:
    """The same with each finding's file named from the job's own folder: how the job was called is no part of it."""
    home = worked.path.parent
    findings = (replace(each, file=Path(os.path.relpath(each.file, home)).as_posix()) for each in worked.findings)
    return replace(worked, findings=tuple(findings))


def document_time(job: Job) -> datetime:
    """The one time that stands in the files: the start of the document's own date, so that bytes do not change."""
    return datetime.combine(job.document.date, time(), tzinfo=UTC)


def paper_for(units: str, asked: str | None) -> Paper:
    """Letter where US units come first and A4 for the rest, unless the command asks for one."""
    return "us-letter" if (asked or ("letter" if units == "us" else "a4")) == "letter" else "a4"
