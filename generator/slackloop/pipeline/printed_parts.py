"""The handbook on paper: one document of all its parts, or each part as a document of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from slackloop.document.book import PART_FILES, PARTS, PDF_NAME
from slackloop.document.page import BookPart, DocumentHeader, Page
from slackloop.render.typst.book import Cover, Paper, book_files, book_texts
from slackloop.render.typst.printed import Printing, prepare_printing


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
        return prepare_printing(
            lambda shown, drawn: make(shown=shown, drawn=drawn), book_texts(pages, copy.header, copy.cover),
            what=self.what, timestamp=copy.timestamp, aside=aside,
            plain=plain,
        )  # fmt: skip


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
