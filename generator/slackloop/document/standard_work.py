"""A standing standard read for its own document: what ``check`` and ``build`` start from when they are given one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from slackloop.control.fingerprint import fingerprint
from slackloop.document.content_check import own_content_findings
from slackloop.document.standard_book import StandardBook, make_standard_book
from slackloop.document.worked import Refused, content_folders
from slackloop.reference.tables import ReferenceTables, load_tables
from slackloop.sections.content import load_content
from slackloop.site.standard_reading import Standard, read_standard
from slackloop.source.finding import Placed


@dataclass(frozen=True)
class WorkedStandard:
    """A standard that was read, with what was found; nothing is computed, since there is no site."""

    path: Path
    standard: Standard
    tables: ReferenceTables
    findings: tuple[Placed, ...]
    fingerprint: str


def work_standard(path: Path) -> WorkedStandard:
    """Read one standard. Raises Refused with every finding when the file is not good enough."""
    tables = load_tables()
    reading = read_standard(path, soils=tables.soils.names())
    if reading.standard is None:
        raise Refused(reading.findings)
    found = (*reading.findings, *own_content_findings(path, tables))
    if any(finding.level == "error" for finding in found):
        raise Refused(found)
    hashed = fingerprint(b"standard\n" + reading.standard.meaning(), tables.digest, content_folders(path))
    return WorkedStandard(path, reading.standard, tables, found, hashed)


def standard_book_of(worked: WorkedStandard, printed: tuple[str, ...] = ()) -> StandardBook:
    """The document of a standard. Raises ``content_error.ContentError`` where the content is faulty."""
    *own, standing = content_folders(worked.path)
    content = load_content(standing, own[0] if own and own[0].is_dir() else None)
    return make_standard_book(worked.standard, worked.tables, content, fingerprint=worked.fingerprint, printed=printed)
