"""The whole output of a firm's standard: website, printable document and its record, in one folder.

A book for a live preview: the pages of a job or a standard, with the files beside them and nothing printed.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from slackloop.document.book import PART_FILES, PDF_NAME, make_book
from slackloop.document.handover.handover_part import PART as HANDOVER
from slackloop.document.standard_book import WorkedStandard, standard_book_of, work_standard
from slackloop.document.walk import LinksBroken
from slackloop.document.worked import Refused, work_with_content
from slackloop.output.marker import Owner
from slackloop.pipeline.editions import Copy, printed_parts
from slackloop.pipeline.handbook_folder import Prepared, Written, context_of, keep_source, paper_for, refuse_strictly
from slackloop.render.html.adapter import Pages
from slackloop.render.html.plugin import NotMade
from slackloop.render.html.site import build_site
from slackloop.render.json.check_record import FORMAT, finding_record
from slackloop.render.json.json_text import json_text
from slackloop.render.typst.book import Cover
from slackloop.render.typst.press import Unset
from slackloop.render.workbook.workbook import table_files
from slackloop.sections.content import ContentError
from slackloop.sections.standard_values import units_of
from slackloop.site.reader import is_standard
from slackloop.site.standard import MERGED_KEYS
from slackloop.source.source_file import write_file

NO_DATE = date(2000, 1, 1)
"""The date inside the PDF of a standard that states none; its pages say that no date is stated."""


def prepare_standard(
    path: Path, folder: Path, *, paper: str | None, strict: bool, progress: Callable[[str], None],
    separate: bool = False,
) -> Prepared:  # fmt: skip
    """Read one standard whose document will go to ``folder``; ``separate`` prints each part apart.

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
        ("index.html", *_printed(separate)),
        lambda fresh, plain: _write(worked, fresh, paper, separate, strict, progress, plain),
    )


def _printed(separate: bool) -> tuple[str, ...]:
    """The names of the documents."""
    return tuple(name for part, name in PART_FILES if part != HANDOVER[0]) if separate else (PDF_NAME,)


def _write(
    worked: WorkedStandard, fresh: Path, paper: str | None, separate: bool, strict: bool,
    progress: Callable[[str], None], plain: bool,
) -> Written:  # fmt: skip
    """Write website and record; what is printed is set last."""
    progress("writing the pages")
    book = standard_book_of(worked, printed=_printed(separate))
    at = datetime.combine(worked.standard.date or NO_DATE, time(), tzinfo=UTC)
    cover = Cover(client="", prepared="", checked="", approved="", history=())
    source = {worked.path.name: worked.path.read_bytes()}
    copy = Copy(book.pages, book.header, cover, paper_for(units_of(worked.standard), paper), at, source)
    parts = printed_parts(book.pages, separate=separate, what="printed standard")
    documents = {each.name: each.prepare(copy, fresh, plain=plain) for each in parts}
    warnings = refuse_strictly(strict, documents.values())
    with TemporaryDirectory(prefix=".aside-", dir=fresh) as aside:
        progress(f"building the website of {len(book.pages)} pages")
        site = Path(aside) / "site"
        build_site(book, site, files=dict.fromkeys(_printed(separate), b""))
        for entry in sorted(site.iterdir()):
            entry.rename(fresh / entry.name)
    write_file(fresh / "check.json", json_text(standard_record(worked)) + "\n")
    return Written(warnings, tuple(Unset(each.folder.name, name) for name, each in documents.items()))


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


def preview(path: Path) -> tuple[Pages, dict[str, bytes]]:
    """The book of the file at ``path`` and the files beside its pages; raises ``NotMade`` with what was found."""
    try:
        if is_standard(path):
            return standard_book_of(work_standard(path)), {}
        book = make_book(context_of(work_with_content(path)), printed=())
        return book, table_files(book)
    except (Refused, ContentError) as refused:
        raise NotMade(tuple(refused.findings)) from refused
    except LinksBroken as broken:
        raise NotMade(broken.faults) from broken
