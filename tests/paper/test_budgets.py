"""What the printed handbook may cost its readers, measured in the PDF: pages, type sizes, lines said again, torn steps.

The budgets are those of the design; the demonstration has 40 boxes, the middle job 80 and the large one 320.
"""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path

import pytest

from book_samples import DEMONSTRATION, book_of, demonstration
from paper.printed_pages import Handbook, Line, PrintedPage, Word, labels_of, printed
from samples import job_text, random_boxes
from shared import short
from slackloop.document.blocks import TableBlock
from slackloop.document.book import Book
from slackloop.document.walk import walk
from slackloop.render.typst.book import Paper

pytestmark = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler-utils (Debian package) is not installed: no words can be placed"
)
MOST_PAGES = {"demonstration": 100, "middle": 110, "large": 170}
"""The middle one, of 80 boxes, lies on the line between the other two."""
BOXES = {"demonstration": 40, "middle": 80, "large": 320}
MOST_PART_PAGES = {"Part 1. Method": 56, "Part 2. Design": 22, "Part 3. Inspection": 22}
"""Of the demonstration on A4."""
BODY_PT, LEAST_PT = 10.0, 8.5
MOST_REPEATED = 0.05
LONG_LINE = 35
LEAST_FILL = 0.25
STEP_INDENT_PT = {False: 8 / 25.4 * 72, True: 6 / 25.4 * 72}
"""How far the words of a step stand in from their column, over the page and in a narrow column."""
HEADING_PT = {False: (13.5, 20.0, 24.0), True: (11.0, 15.0, 16.0)}


@dataclass(frozen=True)
class Made:
    """A handbook as printed, and the book that it was made from."""

    job: str
    paper: Paper
    book: Book
    handbook: Handbook


@cache
def book_of_size(job: str, folder: Path) -> Book:
    """The demonstration, or the book of a random tree."""
    if job == "demonstration":
        return demonstration()
    path = folder / f"{job}.yml"
    path.write_text(job_text(random_boxes(BOXES[job], 320), volts="56 V"), encoding="utf-8")
    return book_of(path)


EVERY = [*product(BOXES, ("a4", "us-letter"))]
CASES = short(EVERY, ("demonstration", "a4"), ("demonstration", "us-letter"))
"""The larger jobs are read in ``make proofs``."""


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("budgets")


@pytest.fixture(scope="module", params=CASES, ids="-".join)
def made(request: pytest.FixtureRequest, jobs: Path) -> Made:
    """Each job on each paper."""
    job, paper = request.param
    book = book_of_size(job, jobs)
    if job != "demonstration":
        return Made(job, paper, book, printed(book, paper, jobs))
    folder: Path = request.getfixturevalue("demo" if paper == "a4" else "letter")
    path = folder / "handbook.pdf" if paper == "a4" else folder
    copy = jobs / f"{paper}.pdf"
    copy.write_bytes(path.read_bytes())
    return Made(job, paper, book, Handbook(copy, labels_of(book)))


def test_the_jobs_are_of_the_sizes_that_the_budgets_speak_of(made: Made) -> None:
    assert DEMONSTRATION.name == "heron-fold.yml"
    assert len(made.book.analysis.network.boxes) == BOXES[made.job]


def test_the_handbook_stays_within_its_pages(made: Made) -> None:
    parts = {title: len(pages) for title, pages in made.handbook.parts.items()}
    assert list(parts) == list(MOST_PART_PAGES)
    assert len(made.handbook.pages) == sum(parts.values()) <= MOST_PAGES[made.job]
    if made.job == "demonstration" and made.paper == "a4":
        assert {title: count for title, count in parts.items() if count > MOST_PART_PAGES[title]} == {}


def test_sheets_that_stand_alone_take_one_page(made: Made) -> None:
    """Trouble sheets, job sheet, the emergency sheet that ends the method, clause index and daily sheet."""
    starts = made.handbook.outline()
    order = sorted({*starts.values(), *(pages.start for pages in made.handbook.parts.values()),
                    len(made.handbook.pages) + 1})  # fmt: skip
    alone = [page.title for page in made.book.pages if page.kind in ("trouble", "emergency") and page.paper]
    alone += ["Job sheet", "Requirements by clause", "Daily sheet"]
    assert len(alone) > 6
    for title in alone:
        assert order[order.index(starts[title]) + 1] - starts[title] == 1, title
    (emergency,) = [page.title for page in made.book.pages if page.kind == "emergency"]
    assert starts[emergency] == made.handbook.parts["Part 1. Method"][-1]


def test_safety_sheets_take_half_a_page_each_or_little_more(made: Made) -> None:
    pages = safety_pages(made)
    sheets = [page for page in made.book.pages if page.kind == "safety"]
    assert len(pages) <= len(sheets) / 2 + (2 if made.paper == "a4" else 3)


def test_no_type_is_too_small(made: Made) -> None:
    """Running text of the method 10 pt, tables and all else 8.5 pt; labels inside drawings are held to their own."""
    small = {word.text for word in words_of(made.handbook) if word.size < LEAST_PT - 0.05}
    assert small - made.handbook.labels == set()
    sizes = Counter(round(word.size, 1) for page in method_pages(made) for line in page.lines for word in line.words)
    assert sizes.most_common(1)[0][0] == BODY_PT


def test_few_lines_are_said_more_than_twice(made: Made) -> None:
    """The heads of tables stand again on each of their pages, as heads and feet of pages do."""
    heads = " | ".join(
        " ".join(column.heading for column in block.table.columns if not column.in_files_only)
        for page in made.book.pages if page.paper for block in walk(page.blocks) if isinstance(block, TableBlock)
    )  # fmt: skip
    every = (line.text for page in made.handbook.pages for line in page.lines)
    lines = Counter(text for text in every if len(text) > LONG_LINE and text not in heads)
    again = {text: count for text, count in lines.items() if count > 2}
    assert sum(lines.values()) > 1000
    assert sum(again.values()) <= MOST_REPEATED * sum(lines.values()), again


def test_no_step_is_torn_over_pages(made: Made) -> None:
    pages = method_pages(made)
    assert [page.number for page in pages if is_torn(page, page in safety_pages(made))] == []


def test_no_heading_stands_last_on_a_page(made: Made) -> None:
    narrow = {page.number for page in safety_pages(made)}
    wrong = [
        (page.number, line.text) for page in made.handbook.pages for line in last_lines(page, page.number in narrow)
        if is_heading(line, page.number in narrow)
    ]  # fmt: skip
    assert wrong == []


def test_no_page_is_less_than_a_quarter_full_but_the_last_of_a_part(made: Made) -> None:
    last = {pages[-1] for pages in made.handbook.parts.values()}
    empty = [(page.number, round(page.fill, 2)) for page in made.handbook.pages if page.fill < LEAST_FILL]
    assert [each for each in empty if each[0] not in last] == []


def test_the_measures_find_what_they_look_for() -> None:
    """A torn step, a stranded heading and a page of one line, each made up, are found."""
    torn = page_of(words("end of a step", 45.4 + STEP_INDENT_PT[False], 60, 10))
    whole = page_of(words("12", 45.4, 60, 13) + words("Do it", 45.4 + STEP_INDENT_PT[False], 60, 10))
    assert is_torn(torn, False)
    assert not is_torn(whole, False)
    stranded = page_of(words("Text", 45.4, 60, 10), words("Leave it safe", 45.4, 700, 13.5))
    assert [is_heading(line, False) for line in last_lines(stranded, False)] == [True]
    assert not any(is_heading(line, False) for line in last_lines(page_of(words("7", 45.4, 700, 13.5)), False))
    assert page_of(words("one line", 45.4, 60, 10)).fill < LEAST_FILL


def words(text: str, left: float, top: float, size: float) -> tuple[Word, ...]:
    """One line of words, each as wide as its letters."""
    made, at = [], left
    for word in text.split():
        made.append(Word(word, at, top, at + 5 * len(word), top + size))
        at += 5 * len(word) + 3
    return tuple(made)


def page_of(*lines: tuple[Word, ...]) -> PrintedPage:
    return PrintedPage(1, 595.28, 841.89, tuple(map(Line, lines)))


def words_of(handbook: Handbook) -> Iterator[Word]:
    return (word for page in handbook.pages for line in page.lines for word in line.words)


def method_pages(made: Made) -> list[PrintedPage]:
    """The pages of sections, from the first one on to the last page before the emergency sheet."""
    starts = made.handbook.outline()
    sections = [page.title for page in made.book.pages if page.kind in ("section", "safety", "trouble") and page.paper]
    first = min(starts[title] for title in sections)
    return [page for page in made.handbook.pages if first <= page.number < made.handbook.parts["Part 1. Method"][-1]]


def safety_pages(made: Made) -> list[PrintedPage]:
    """The pages of safety sheets, which are set in two columns."""
    starts = made.handbook.outline()
    first = min(starts[page.title] for page in made.book.pages if page.kind == "safety")
    after = min(starts[page.title] for page in made.book.pages if page.kind in ("trouble", "emergency"))
    return [page for page in made.handbook.pages if first <= page.number < after]


def columns(page: PrintedPage, narrow: bool) -> list[list[Line]]:
    """The lines of each column, none of them empty."""
    middle = page.width / 2
    if not narrow:
        return [list(page.lines)] if page.lines else []
    sides = [[line for line in page.lines if (line.left < middle) == left] for left in (True, False)]
    return [side for side in sides if side]


def is_torn(page: PrintedPage, narrow: bool) -> bool:
    """Whether a column begins within the words of a step, without its number."""
    margin = min(line.left for line in page.lines)
    for number, lines in enumerate(columns(page, narrow)):
        start = margin if number == 0 else min(line.left for line in lines)
        top = min(line.top for line in lines)
        first = min((line for line in lines if line.top < top + 5), key=lambda line: line.left)
        # The one line that a page begins with may be all that is left of a step: its column's edge is then unknown.
        edges = {round(start), round(margin), 45}
        if any(abs(first.left - edge - STEP_INDENT_PT[narrow]) < 1.5 for edge in edges):
            return True
    return False


def last_lines(page: PrintedPage, narrow: bool) -> list[Line]:
    """The lowest line of each column."""
    return [max(lines, key=lambda line: line.bottom) for lines in columns(page, narrow)]


def is_heading(line: Line, narrow: bool) -> bool:
    """Whether a line has the size of a heading and is not the number of a step."""
    sized = any(abs(line.size - size) < 0.2 for size in HEADING_PT[narrow])
    return sized and not line.words[0].text.isdigit()
