"""The whole output of a firm's standard: website, printable document and its record, in one folder."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from slackloop.document.standard_work import WorkedStandard, standard_book_of, work_standard
from slackloop.output.handbook_folder import PDF_NAME, BuildFaulty, Built, keep_source, paper_for, told_faults
from slackloop.output.output import check_output, whole_folder
from slackloop.render.html.website import build_website
from slackloop.render.json.check_record import FORMAT, finding_record
from slackloop.render.json.json_text import json_text
from slackloop.render.typst.print import build_pdf
from slackloop.sections.standard_values import units_of
from slackloop.site.standard import MERGED_KEYS

NO_DATE = date(2000, 1, 1)
"""The date inside the PDF of a standard that states none; its pages say that no date is stated."""


def build_standard(
    path: Path, folder: Path, *, paper: str | None = None, strict: bool = False, progress: Callable[[str], None]
) -> Built:
    """Read and publish one standard into ``folder``; an earlier one there stays until this one is whole.

    Raises ``worked.Refused`` for a file that is not good enough, ``output.OutputRefused`` for a folder that must
    not be written, and BuildFaulty where content or pages have faults.
    """
    check_output(folder)
    keep_source(path, folder)
    progress("reading the standard")
    worked = work_standard(path)
    with told_faults(), whole_folder(folder) as fresh:
        _publish(worked, fresh, paper, strict, progress)
    return Built("pass", worked.findings, ("index.html", PDF_NAME))


def _publish(
    worked: WorkedStandard, fresh: Path, paper: str | None, strict: bool, progress: Callable[[str], None]
) -> None:
    """Write website, PDF and record."""
    progress("writing the pages")
    book = standard_book_of(worked)
    with TemporaryDirectory(prefix=".aside-", dir=fresh) as aside:
        pdf = Path(aside) / PDF_NAME
        progress("setting the printed document")
        printed = build_pdf(
            book,
            pdf,
            timestamp=datetime.combine(worked.standard.date or NO_DATE, time(), tzinfo=UTC),
            attachments={worked.path.name: worked.path.read_bytes()},
            paper=paper_for(units_of(worked.standard), paper),
        )
        if strict and printed.warnings:
            raise BuildFaulty("\n".join(finding.message for finding in printed.warnings))
        progress(f"building the website of {len(book.pages)} pages")
        site = Path(aside) / "site"
        build_website(book, site, pdf=pdf)
        for entry in sorted(site.iterdir()):
            entry.rename(fresh / entry.name)
    (fresh / "check.json").write_text(json_text(standard_record(worked)) + "\n", encoding="utf-8")


def standard_record(worked: WorkedStandard) -> dict[str, Any]:
    """What ``check --json`` answers for a standard: the parts that it states and those it leaves to each job."""
    stated = [key for key in MERGED_KEYS if worked.standard.stated(key)]
    return {
        "format": FORMAT,
        "fingerprint": worked.fingerprint,
        "verdict": "pass",
        "findings": [finding_record(finding) for finding in worked.findings],
        "standard": {
            "title": worked.standard.title,
            "states": stated,
            "left_to_the_job": [key for key in MERGED_KEYS if key not in stated],
        },
    }


def standard_summary(worked: WorkedStandard) -> str:
    """The same in two lines for a person."""
    said = standard_record(worked)["standard"]
    left = ", ".join(said["left_to_the_job"]) or "nothing"
    return (
        f"pass: an installation standard. It states {', '.join(said['states'])}; each job states {left}.\n"
        f"fingerprint {worked.fingerprint}"
    )
