"""The printed handbook: one PDF that can be signed, archived and checked against its job file.

The PDF is PDF/A-3a (ISO 19005-3, level A: tagged, fonts embedded), so that it opens the same in
thirty years; the job file travels inside it. The same pages and the same date give the same bytes.
"""

from __future__ import annotations

import html
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol

import typst

from slackloop.handbook.page import DocumentHeader, Page
from slackloop.job.finding import Finding
from slackloop.job.models import Job
from slackloop.publish.markup import render_html
from slackloop.publish.print_document import Attachment, Cover, DocumentWriter, Paper, RenderedPage
from slackloop.publish.print_fonts import print_fonts
from slackloop.publish.print_text import Glyphs, characters_of, number_of
from slackloop.publish.print_tree import parse_html
from slackloop.reference.folder import data_folder

LOOK_FILES = ("handbook.typ", "parts.typ", "cover.typ")

_MIME_TYPES = {
    ".yml": "application/yaml", ".yaml": "application/yaml", ".json": "application/json", ".csv": "text/csv",
    ".md": "text/markdown", ".txt": "text/plain",
}  # fmt: skip


class PrintError(Exception):
    """The handbook could not be printed; the message says what Typst refused."""


class PrintableBook(Protocol):
    """What printing needs of a handbook."""

    @property
    def pages(self) -> tuple[Page, ...]:
        """All pages in printed order."""

    @property
    def facts(self) -> DocumentHeader:
        """What stands on every page."""

    @property
    def job(self) -> Job | None:
        """The job that the handbook was made from; nothing for a firm's standard."""


@dataclass(frozen=True, slots=True)
class Printed:
    """What was written, and what the reader of the PDF will not see as it was typed."""

    path: Path
    size_bytes: int
    warnings: tuple[Finding, ...]


def build_pdf(
    book: PrintableBook, path: Path, *, timestamp: datetime, attachments: Mapping[str, bytes],
    paper: Paper = "a4", progress: Callable[[str], None] | None = None, look: Path | None = None,
    rendered: Mapping[str, str] | None = None,
) -> Printed:  # fmt: skip
    """Write the PDF of ``book`` to ``path``, aside first and then swapped in whole.

    ``timestamp`` must name its time zone and should be the document's own date: it is the only
    time in the file. ``attachments`` are files by name, kept inside the PDF as its source.
    ``look`` is a folder of ``.typ`` files that stand in for ours of the same name; ``rendered``
    gives the HTML of pages by ``uri`` where it is already at hand. Raises ``PrintError``.
    """
    if timestamp.tzinfo is None:
        raise PrintError("the time stamp of the PDF names no time zone")
    say = progress or (lambda message: None)
    ready = rendered or {}
    texts = {page.uri: ready.get(page.uri) or render_html(page.markdown) for page in book.pages}
    say(f"print: {len(texts)} pages read")
    glyphs, warnings = _glyphs(book, texts)
    pages = tuple(RenderedPage(page, parse_html(texts[page.uri])) for page in book.pages)
    writer = DocumentWriter(book.facts, cover_of(book.job), paper=paper, families=print_fonts().families)
    files = writer.write(pages, glyphs, _attached(attachments), timestamp, progress).files
    files.update(look_files(look))
    say("print: setting the pages")
    data = compile_pdf(files, timestamp)
    aside = path.with_name(path.name + ".part")
    aside.write_bytes(data)
    os.replace(aside, path)
    say(f"print: {path.name} written")
    return Printed(path, len(data), warnings)


def compile_pdf(files: Mapping[str, bytes], timestamp: datetime) -> bytes:
    """Typst source files by name, ``main.typ`` first read, as the bytes of a PDF/A-3a."""
    try:
        # The package's own types leave out that the input may be several files by name.
        compiler = typst.Compiler(input=dict(files), font_paths=print_fonts().loaded)  # type: ignore[type-var]
        data = compiler.compile(format="pdf", pdf_standards=["a-3a"], timestamp=timestamp)
    except typst.TypstError as refused:
        raise PrintError(f"the handbook could not be printed: {refused}") from refused
    if not isinstance(data, bytes):
        raise PrintError("the handbook could not be printed: no document came back")
    return data


def cover_of(job: Job | None) -> Cover:
    """What the first page says, from the job; without one, the signatures stand open."""
    if job is None:
        return Cover(client="", prepared="", checked="", approved="", history=())
    document = job.document
    return Cover(
        client=job.job.client, prepared=document.prepared, checked=document.checked, approved=document.approved,
        history=tuple((entry.revision, str(entry.date), entry.change) for entry in document.history),
    )  # fmt: skip


def look_files(own: Path | None = None) -> dict[str, bytes]:
    """The ``.typ`` files of the look; a file of the same name in the folder ``own`` stands in for ours."""
    ours = data_folder("content") / "print"
    found = {}
    for name in LOOK_FILES:
        place = own / name if own is not None and (own / name).is_file() else ours / name
        found[name] = place.read_bytes()
    return found


def _glyphs(book: PrintableBook, texts: Mapping[str, str]) -> tuple[Glyphs, tuple[Finding, ...]]:
    """Which characters of the book cannot be printed, with a warning for each page they stand on."""
    cover = cover_of(book.job)
    facts = book.facts
    front = [
        facts.number, facts.title, facts.site, facts.revision, facts.date, facts.status, facts.fingerprint,
        facts.contractor, cover.client, cover.prepared, cover.checked, cover.approved,
        *(part for row in cover.history for part in row),
    ]  # fmt: skip
    by_page = {
        page.title: characters_of([html.unescape(texts[page.uri]), page.title, *page.navigation]) for page in book.pages
    }
    everything = characters_of(front).union(*by_page.values())
    missing = print_fonts().missing(everything)
    warnings = []
    for mark in sorted(missing):
        where = next((title for title, marks in by_page.items() if mark in marks), "the first page")
        warnings.append(
            Finding(
                level="warning",
                code="print-character",
                message=f"No font of the printed handbook has {number_of(mark)[1:-1]}, first seen on “{where}”; "
                f"it is printed as {number_of(mark)}.",
                hint="Write it in letters that the fonts have, or install the package manimgx-fonts.",
            )
        )
    return Glyphs(missing), tuple(warnings)


def _attached(attachments: Mapping[str, bytes]) -> tuple[Attachment, ...]:
    return tuple(
        Attachment(name, data, _MIME_TYPES.get(Path(name).suffix.lower(), "application/octet-stream"))
        for name, data in sorted(attachments.items())
    )
