"""The editions of a job in other languages: their website beside the English one, and their cards.

The handbook on paper: one document of all its parts, or each part as a document of its own.

The time that stands in the files of a document.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time
from functools import partial
from pathlib import Path

from slackloop.document.book import PART_FILES, PARTS, PDF_NAME, Book
from slackloop.document.edition.edition import Edition, load_edition
from slackloop.document.page import BookPart, DocumentHeader, Page
from slackloop.document.worked import Worked, content_folders
from slackloop.language.messages import ENGLISH, said, speaking
from slackloop.render.html.site import build_site
from slackloop.render.typst.book import Cover, Paper, book_files, book_texts
from slackloop.render.typst.cards import card_files, card_texts
from slackloop.render.typst.press import Press
from slackloop.render.typst.printed import Printing, prepare_printing
from slackloop.site.models import Job
from slackloop.source.source_file import write_file


@dataclass(frozen=True, slots=True)
class Copy:
    """What every document of a handbook is made from."""

    pages: Sequence[Page]
    header: DocumentHeader
    cover: Cover
    paper: Paper
    timestamp: datetime
    attachments: Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class PrintedPart:
    """One document: the name of its file, the parts that it holds, and what it is called in notes."""

    name: str
    parts: tuple[tuple[BookPart, str], ...]
    what: str

    def prepare(self, copy: Copy, aside: Path, *, plain: bool = False) -> Printing:
        """Lay out what it is printed from in a folder in ``aside``; ``plain`` shows nothing odd."""
        held = {part for part, _ in self.parts}
        away = {part: title.partition(".")[0] for part, title in PARTS if part not in held}
        alone = f"{copy.header.name}. {self.parts[0][1]}" if away else ""
        make = partial(
            book_files, copy.pages, copy.header, copy.cover, parts=self.parts, paper=copy.paper,
            timestamp=copy.timestamp, attachments=copy.attachments, title=alone, away=away,
        )  # fmt: skip
        pages = [page for page in copy.pages if page.part in held]
        printing = prepare_printing(
            lambda shown, drawn: make(shown=shown, drawn=drawn), book_texts(pages, copy.header, copy.cover),
            what=self.what, timestamp=copy.timestamp, aside=aside, plain=plain,
        )  # fmt: skip
        printing.lay()
        return printing


def printed_parts(pages: Sequence[Page], *, separate: bool, what: str) -> tuple[PrintedPart, ...]:
    """The documents to print; of parts printed apart, those that have pages."""
    if not separate:
        return (PrintedPart(PDF_NAME, PARTS, what),)
    titles, used = dict(PARTS), {page.part for page in pages if page.paper}
    return tuple(
        PrintedPart(name, ((part, titles[part]),), f"{what}, {titles[part].partition('.')[0].lower()}")
        for part, name in PART_FILES
        if part in used
    )


def document_time(job: Job) -> datetime:
    """The one time that stands in the files: the start of the document's own date, so that bytes do not change."""
    return datetime.combine(job.document.date, time(), tzinfo=UTC)


def make_editions(worked: Worked, book: Book) -> tuple[Edition, ...]:
    """The edition of each language of the job besides English."""
    *own, standing = content_folders(worked.path)
    firm = own[0] if own and own[0].is_dir() else None
    others = (each for each in worked.job.languages if each != ENGLISH)
    return tuple(load_edition(book, standing, firm, language) for language in others)


def write_edition(
    worked: Worked, edition: Edition, cover: Cover, paper: Paper, site: Path, aside: Path, plain: bool, press: Press
) -> None:
    """The pages of an edition in a folder of its own in ``site``, and its cards beside the English ones."""
    job, at = worked.job, document_time(worked.job)
    with speaking(edition.messages):
        address = f"{job.job.address.rstrip('/')}/{edition.language}" if job.job.address else ""
        make = partial(
            card_files, edition.cards, edition.header, cover, paper=paper, timestamp=at, address=address,
            failed=worked.analysis.verdict == "fail", checked=edition.checked,
        )  # fmt: skip
        printing = prepare_printing(
            lambda shown, drawn: make(shown=shown, drawn=drawn), card_texts(edition.cards, edition.header, cover),
            what=said("printed cards"), timestamp=at, aside=aside, plain=plain,
        )  # fmt: skip
        printing.begin(press)
        also = frozenset(page.id for page in edition.pages)
        build_site(edition, site / edition.language, address=address, also=also, scripts=edition.scripts)
        write_file(site / edition.cards_name, printing.data())
