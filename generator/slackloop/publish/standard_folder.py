"""The whole output of a firm's standard: website, printable document and its record, in one folder."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from slackloop.handbook.standard_values import units_of
from slackloop.handbook.standard_work import WorkedStandard, standard_book_of, work_standard
from slackloop.job.standard import MERGED_KEYS
from slackloop.output.marker import Owner
from slackloop.publish.check_record import FORMAT, finding_record
from slackloop.publish.handbook_folder import PDF_NAME, BuildFaulty, Prepared, keep_source, paper_for
from slackloop.publish.json_text import json_text
from slackloop.publish.print import build_pdf
from slackloop.publish.website import build_website

NO_DATE = date(2000, 1, 1)
"""The date inside the PDF of a standard that states none; its pages say that no date is stated."""


def prepare_standard(
    path: Path, folder: Path, *, paper: str | None, strict: bool, progress: Callable[[str], None]
) -> Prepared:
    """Read one standard whose document will go to ``folder``.

    Raises ``worked.Refused`` for a file that is not good enough, and ``output.OutputRefused`` for a folder that holds
    the file.
    """
    keep_source(path, folder)
    progress("reading the standard")
    worked = work_standard(path)
    standard = worked.standard
    return Prepared(
        Owner("standard", standard.number or standard.title or path.name, standard.contractor),
        "pass",
        worked.findings,
        ("index.html", PDF_NAME),
        lambda fresh: _publish(worked, fresh, paper, strict, progress),
    )


def _publish(
    worked: WorkedStandard, fresh: Path, paper: str | None, strict: bool, progress: Callable[[str], None]
) -> tuple[str, ...]:
    """Write website, PDF and record; the answer is what paper cannot show as it was written."""
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
        warnings = tuple(finding.message for finding in printed.warnings)
        if strict and warnings:
            raise BuildFaulty("\n".join(warnings))
        progress(f"building the website of {len(book.pages)} pages")
        site = Path(aside) / "site"
        build_website(book, site, pdf=pdf)
        for entry in sorted(site.iterdir()):
            entry.rename(fresh / entry.name)
    (fresh / "check.json").write_text(json_text(standard_record(worked)) + "\n", encoding="utf-8")
    return warnings


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
