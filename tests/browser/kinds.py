"""Which pages are looked at: one of each kind of the demonstration, the likeliest to be too long; and in what sizes."""

from __future__ import annotations

from collections.abc import Callable
from itertools import takewhile

from slackloop.document.blocks import Form, Steps
from slackloop.document.book import Book
from slackloop.document.page import Page
from slackloop.document.walk import walk, words

PAGES = {
    "start": "index.html",
    "section": "method/opening-the-jacket.html",
    "safety": "safety/excavation.html",
    "trouble": "trouble/nicked-core.html",
    "emergency": "safety/emergency-plan.html",
    "table": "tables/boxes.html",
    "register": "tables/matrix.html",
    "box": "boxes/b13.html",
    "all boxes": "boxes/all.html",
    "sections": "method/all.html",
    "sheet": "sheets/hold-points.html",
    "day": "sheets/daily.html",
    "crossings": "sheets/crossings.html",
    "path": "design/path.html",
    "document": "design/document.html",
    "findings": "design/findings.html",
    "codes": "design/codes.html",
}

KEPT = (
    "start", "section", "emergency", "table", "register", "box", "all boxes", "sheet", "crossings", "path", "findings",
    "codes",
)  # fmt: skip
"""Kinds that every run of the tests looks at; the others are made as one of these is, and ``make proofs`` has them."""

SIZES = {"phone": (390, 844), "desk": (1280, 900), "zoomed": (640, 450)}
"""Width and height in CSS pixels. A desk of 1,280 at 200 % zoom shows 640 (WCAG 2.2, success criterion 1.4.4)."""

Choice = Callable[[Book], list[Page]]


def boxes_of(book: Book) -> list[Page]:
    """Pages of boxes."""
    return [page for page in book.pages if page.box]


def sections(book: Book) -> list[Page]:
    """Pages with steps."""
    return [page for page in book.pages if page.screen and any(isinstance(each, Steps) for each in walk(page.blocks))]


def before_steps(page: Page) -> int:
    """Letters that stand on a page before its first step."""
    lead = takewhile(lambda block: not isinstance(block, Steps), page.blocks)
    return len(words(tuple(lead)))


def steps_of(page: Page) -> int:
    return sum(len(block.steps) for block in walk(page.blocks) if isinstance(block, Steps))


def likeliest_sections(book: Book) -> list[Page]:
    """Those with most before their first step, with most steps, and one in ten of all."""
    every = sections(book)
    chosen = [*sorted(every, key=before_steps)[-3:], max(every, key=steps_of), *every[::10]]
    return [each for each in every if each in chosen]


def likeliest_boxes(book: Book) -> list[Page]:
    """The box with most fields, the one with most to read, and the last."""
    boxes = boxes_of(book)
    fields = max(boxes, key=lambda page: sum(len(each.fields) for each in page.blocks if isinstance(each, Form)))
    chosen = (fields, max(boxes, key=lambda page: len(words(page.blocks))), boxes[-1])
    return [each for each in boxes if each in chosen]
