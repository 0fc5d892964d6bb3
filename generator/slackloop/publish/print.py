"""The printed handbook: one PDF that can be signed, archived and checked against its job file.

The PDF is PDF/A-3a (ISO 19005-3, level A: tagged, fonts embedded), so that it opens the same in
thirty years; the job file travels inside it. The same pages and the same date give the same bytes.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
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
from slackloop.publish.print_glyphs import Glyphs, glyphs_for, refused_even_so
from slackloop.publish.print_tree import parse_html, texts_of
from slackloop.reference.folder import data_folder

LOOK_FILES = ("handbook.typ", "parts.typ", "cover.typ")

WHAT = "printed handbook"
_NO_GLYPH = ("could not be displayed", "missing codepoints")
"""How Typst refuses an archival document with a text that has no glyph, or a glyph that has no text."""

_MIME_TYPES = {
    ".yml": "application/yaml", ".yaml": "application/yaml", ".json": "application/json", ".csv": "text/csv",
    ".md": "text/markdown", ".txt": "text/plain",
}  # fmt: skip


class PrintError(Exception):
    """The handbook could not be printed; the message says what Typst refused."""


class CannotShow(PrintError):
    """No font has something that the document holds."""


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
    glyphs, warnings = glyphs_for(_texts_by_page(book, texts), print_fonts(), WHAT)
    pages = tuple(RenderedPage(page, parse_html(texts[page.uri])) for page in book.pages)
    files = look_files(look)

    def set_with(shown: Glyphs) -> bytes:
        writer = DocumentWriter(book.facts, cover_of(book.job), paper=paper, families=print_fonts().families)
        made = writer.write(pages, shown, _attached(attachments), timestamp, progress).files
        say("print: setting the pages")
        return compile_pdf({**made, **files}, timestamp)

    try:
        data = set_with(glyphs)
    except CannotShow:
        warnings = [refused_even_so(WHAT)]
        data = set_with(Glyphs(nothing_odd=True))
    aside = path.with_name(path.name + ".part")
    aside.write_bytes(data)
    os.replace(aside, path)
    say(f"print: {path.name} written")
    return Printed(path, len(data), tuple(warnings))


def compile_pdf(files: Mapping[str, bytes], timestamp: datetime) -> bytes:
    """Typst source files by name, ``main.typ`` first read, as the bytes of a PDF/A-3a."""
    try:
        # The package's own types leave out that the input may be several files by name.
        compiler = typst.Compiler(input=dict(files), font_paths=print_fonts().loaded)  # type: ignore[type-var]
        data = compiler.compile(format="pdf", pdf_standards=["a-3a"], timestamp=timestamp)
    except typst.TypstError as refused:
        if any(words in str(refused) for words in _NO_GLYPH):
            raise CannotShow(f"the handbook could not be printed: {refused}") from refused
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


def _texts_by_page(book: PrintableBook, texts: Mapping[str, str]) -> dict[str, Iterable[str]]:
    """Everything that is printed, by the title of its page; what stands on the first page has no title."""
    cover = cover_of(book.job)
    facts = book.facts
    front = [
        facts.number, facts.title, facts.site, facts.revision, facts.date, facts.status, facts.fingerprint,
        facts.contractor, cover.client, cover.prepared, cover.checked, cover.approved,
        *(part for row in cover.history for part in row),
    ]  # fmt: skip
    found: dict[str, Iterable[str]] = {"": front}
    for page in book.pages:
        found[page.title] = [*found.get(page.title, ()), page.title, *page.navigation, *texts_of(texts[page.uri])]
    return found


def _attached(attachments: Mapping[str, bytes]) -> tuple[Attachment, ...]:
    return tuple(
        Attachment(name, data, _MIME_TYPES.get(Path(name).suffix.lower(), "application/octet-stream"))
        for name, data in sorted(attachments.items())
    )
