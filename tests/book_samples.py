"""Books for tests: that of a job file, its pages by id, and what a page says as words or as HTML."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from slackloop.document.book import Book, make_book
from slackloop.document.inline import plain
from slackloop.document.page import Page
from slackloop.document.table import Table, source_line
from slackloop.document.tables.registry import table_of
from slackloop.document.walk import words
from slackloop.document.worked import Worked, work
from slackloop.output.folder import check_output, whole_folder
from slackloop.pipeline.handbook_folder import context_of, prepare_handbook
from slackloop.render.html.adapter import Pages
from slackloop.render.html.page import page_html

DEMONSTRATION = Path(__file__).parents[1] / "site_data" / "jobs" / "heron-fold.yml"
LINKS = Path(__file__).parent / "compute" / "jobs" / "links.yml"
RING = Path(__file__).parent / "witness" / "jobs" / "ring.yml"


def book_of(path: Path) -> Book:
    """The book of a job file, made anew."""
    return make_book(context_of(work(path)))


def build_handbook(job: Path, folder: Path) -> None:
    """Read, compute and publish one job in this process, which the command does in one of its own."""
    check_output(folder)
    prepared = prepare_handbook(job, folder, paper=None, strict=False, progress=lambda _: None)
    with whole_folder(folder, prepared.owner) as output:
        prepared.publish(output.fresh)


def book_of_worked(worked: Worked) -> Book:
    """The book of a job that was read and computed."""
    return make_book(context_of(worked))


def pages_of(book: Pages) -> dict[str, str]:
    """What every page says, by its id."""
    return {page.id: f"{page.title}\n{words(page.blocks)}" for page in book.pages}


def table_in(path: Path, name: str) -> Table:
    """One table of a job file, without the book around it."""
    table = table_of(context_of(work(path)), name)
    assert table is not None
    return table


def first_boxes(job: Path, count: int, folder: Path) -> Path:
    """A job of the first so many boxes of another one, in a folder of its own."""
    text = job.read_text(encoding="utf-8")
    head, boxes = text.split("  boxes:\n")
    lines = boxes.splitlines(keepends=True)
    assert all(line.startswith("    - {id: ") for line in lines)
    path = folder / job.name
    path.write_text(head + "  boxes:\n" + "".join(lines[:count]), encoding="utf-8")
    return path


@cache
def standing(path: Path) -> Book:
    """The book of a job file that no test changes, made once for all tests of a process."""
    return book_of(path)


def demonstration() -> Book:
    """The book of the demonstration job."""
    return standing(DEMONSTRATION)


def page_of(book: Pages, id: str) -> Page:
    """A page by its id; raises ``KeyError`` for one that is not there."""
    found = {page.id: page for page in book.pages}
    return found[id]


def page_words(book: Pages, id: str) -> str:
    """What a page says, without anything that marks it."""
    page = page_of(book, id)
    return f"{page.title}\n{words(page.blocks)}"


def html_of(book: Pages, id: str) -> str:
    """The HTML of a page's content."""
    return str(page_html(page_of(book, id)))


def all_words(book: Pages) -> str:
    """What all pages say."""
    return "\n".join(page_words(book, page.id) for page in book.pages)


def rows_of(table: Table) -> list[tuple[str, ...]]:
    """The words of every cell of a table, a row each."""
    return [tuple(plain(cell.line) for cell in row) for row in table.rows]


def said_by(table: Table) -> str:
    """What a table says around its rows: its intro, its notes and where its figures come from."""
    return " ".join(plain(each) for each in (table.intro, *table.notes, source_line(table)))
