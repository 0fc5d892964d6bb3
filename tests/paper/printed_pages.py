"""A printed handbook as a reader measures it: pages with their lines and words, parts, and how full each page is."""

from __future__ import annotations

import re
import subprocess
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from tempfile import mkdtemp

import pypdf

from slackloop.document.blocks import Drawing
from slackloop.document.book import Book
from slackloop.document.walk import walk
from slackloop.pipeline.editions import Copy, printed_parts
from slackloop.pipeline.handbook_folder import cover_of, document_time
from slackloop.render.typst.book import Paper

SPACE = "{http://www.w3.org/1999/xhtml}"
SIDES = ("xMin", "yMin", "xMax", "yMax")
HEAD_PT, FOOT_PT = 46.0, 42.0
WATERMARK_PT = 60.0
"""The word DRAFT behind a page is set larger than this, and nothing else is."""
"""Head and foot of a page lie this far from its edges at most."""


@dataclass(frozen=True)
class Word:
    """A word and its box in points from the page's top left; its height is its type size."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    @property
    def size(self) -> float:
        return self.bottom - self.top


@dataclass(frozen=True)
class Line:
    """Words that a reader takes for one line: one beside another, in one column or cell."""

    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        return " ".join(word.text for word in self.words)

    @property
    def left(self) -> float:
        return min(word.left for word in self.words)

    @property
    def bottom(self) -> float:
        return max(word.bottom for word in self.words)

    @property
    def top(self) -> float:
        return min(word.top for word in self.words)

    @property
    def size(self) -> float:
        return max(word.size for word in self.words)


@dataclass(frozen=True)
class PrintedPage:
    """One page: its size, and its lines without head and foot."""

    number: int
    width: float
    height: float
    lines: tuple[Line, ...]

    @property
    def fill(self) -> float:
        """How far down the room between head and foot something is written, from 0 to 1."""
        if not self.lines:
            return 0.0
        room = self.height - HEAD_PT - FOOT_PT
        return (max(line.bottom for line in self.lines) - HEAD_PT) / room


@dataclass(frozen=True)
class Handbook:
    """One PDF, its pages, and where its parts begin and end."""

    path: Path
    labels: frozenset[str] = field(default=frozenset())
    """The words that are written in its drawings."""

    @cached_property
    def reader(self) -> pypdf.PdfReader:
        return pypdf.PdfReader(self.path)

    @cached_property
    def pages(self) -> tuple[PrintedPage, ...]:
        return tuple(read_pages(self.path))

    @cached_property
    def parts(self) -> dict[str, range]:
        """The numbers of the pages of each part, the cover and contents with the first."""
        tops = [each for each in self.reader.outline if not isinstance(each, list)]
        starts = [self.reader.get_destination_page_number(each) + 1 for each in tops]  # type: ignore[arg-type]
        starts[0] = 1
        ends = [*starts[1:], len(self.pages) + 1]
        return {str(each.title): range(a, b) for each, a, b in zip(tops, starts, ends, strict=True)}

    def outline(self) -> dict[str, int]:
        """The page of each title of the second level."""
        found: dict[str, int] = {}
        for each in self.reader.outline:
            for inner in each if isinstance(each, list) else []:
                if not isinstance(inner, list):
                    found[str(inner.title)] = self.reader.get_destination_page_number(inner) + 1  # type: ignore[arg-type]
        return found


def printed(book: Book, paper: Paper, folder: Path, attached: Mapping[str, bytes] | None = None) -> Handbook:
    """The handbook of a book, printed as one document."""
    aside = Path(mkdtemp(dir=folder))
    copy = Copy(book.pages, book.header, cover_of(book.context), paper, document_time(book.job), attached or {})
    (document,) = printed_parts(book.pages, separate=False, what="printed handbook")
    path = aside / "handbook.pdf"
    path.write_bytes(document.prepare(copy, aside).data())
    return Handbook(path, labels_of(book))


def labels_of(book: Book) -> frozenset[str]:
    """The words that are written in the drawings of a book."""
    blocks = (block for page in book.pages if page.paper for block in walk(page.blocks))
    drawn = " ".join(each.svg for each in blocks if isinstance(each, Drawing))
    return frozenset(word for label in re.findall(r">([^<>]+)<", drawn) for word in label.split())


def read_pages(path: Path) -> Iterator[PrintedPage]:
    """Pages and their lines as pdftotext of poppler finds them."""
    out = path.with_suffix(".html")
    subprocess.run(["pdftotext", "-bbox-layout", str(path), str(out)], check=True, capture_output=True)
    text = "".join(mark for mark in out.read_text(encoding="utf-8") if mark >= " " or mark in "\n\t")
    for number, page in enumerate(ElementTree.fromstring(text).iter(f"{SPACE}page"), 1):
        height = float(page.get("height", "nan"))
        lines = (Line(tuple(map(_word, line.iter(f"{SPACE}word")))) for line in page.iter(f"{SPACE}line"))
        body = tuple(
            line for line in lines
            if line.top > HEAD_PT and line.bottom < height - FOOT_PT and line.size < WATERMARK_PT
        )  # fmt: skip
        yield PrintedPage(number, float(page.get("width", "nan")), height, body)


def _word(word: ElementTree.Element) -> Word:
    return Word(word.text or "", *(float(word.get(side, "nan")) for side in SIDES))
