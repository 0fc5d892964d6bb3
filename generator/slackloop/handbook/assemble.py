"""From a job file to a finished book: the one way that the command and the MkDocs plugin both take."""

from __future__ import annotations

from pathlib import Path

from slackloop.handbook.book import Book, make_book
from slackloop.handbook.content import load_content
from slackloop.handbook.standard_book import StandardBook
from slackloop.handbook.standard_work import standard_book_of, work_standard
from slackloop.handbook.worked import Refused, Worked, content_folders, work
from slackloop.job.standard_reading import is_standard

__all__ = ["Refused", "book_from_file", "book_from_job", "book_of"]


def book_of(worked: Worked, *, cards_file: str = "") -> Book:
    """The handbook of a job that was read and computed; ``cards_file`` is where its printable cards will lie.

    Raises ``content_finding.ContentError`` with every place at once where the content is faulty.
    """
    *own, standing = content_folders(worked.path)
    content = load_content(standing, own[0] if own and own[0].is_dir() else None)
    return make_book(
        worked.job,
        worked.analysis,
        worked.tables,
        content,
        reading=worked.reading,
        fingerprint=worked.fingerprint,
        cards_file=cards_file,
        placed=worked.findings,
    )


def book_from_job(path: Path) -> Book:
    """The handbook of a job file. Raises Refused with every finding when the file is not good enough."""
    return book_of(work(path))


def book_from_file(path: Path) -> Book | StandardBook:
    """The handbook of a job, or the document of a standard; raises as ``book_from_job``."""
    return standard_book_of(work_standard(path)) if is_standard(path) else book_from_job(path)
