"""Which pages are looked at: one of each kind of the demonstration, the likeliest to be too long; and in what sizes."""

from __future__ import annotations

from collections.abc import Callable
from itertools import takewhile

from slackloop.document.blocks import BoxFinder, Folded, Paragraph, SignRow, Steps
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
LETTERS_A_LINE = 40


def boxes_of(book: Book) -> list[Page]:
    """Pages of boxes."""
    return [page for page in book.pages if page.box]


def sections(book: Book) -> list[Page]:
    """Pages with steps."""
    return [page for page in book.pages if page.screen and any(isinstance(each, Steps) for each in walk(page.blocks))]


def before_steps(page: Page) -> int:
    """About as many letters as stand in sight before the first step of a page; what is one line counts as one."""
    total = 0
    for block in takewhile(lambda each: not isinstance(each, Steps), page.blocks):
        if isinstance(block, BoxFinder):
            total += LETTERS_A_LINE * (2 + len(block.values))
        elif isinstance(block, Folded | SignRow) or (isinstance(block, Paragraph) and block.role == "bring"):
            total += LETTERS_A_LINE
        else:
            total += max(len(words((block,))), LETTERS_A_LINE)
    return total


def steps_of(page: Page) -> int:
    return sum(len(block.steps) for block in walk(page.blocks) if isinstance(block, Steps))


def likeliest_sections(book: Book) -> list[Page]:
    """Those with most before their first step, the one with most steps, and one in ten of all."""
    every = sections(book)
    chosen = [*sorted(every, key=before_steps)[-5:], max(every, key=steps_of), *every[::10]]
    return [each for each in every if each in chosen]


def likeliest_boxes(book: Book) -> list[Page]:
    """The two boxes with most to read, and the last."""
    boxes = boxes_of(book)
    chosen = [*sorted(boxes, key=lambda page: len(words(page.blocks)))[-2:], boxes[-1]]
    return [each for each in boxes if each in chosen]
