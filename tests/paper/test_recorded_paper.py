"""What results and the part for the owner cost on paper: twelve pages and one line a box, the other parts as before."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from paper.printed_pages import Handbook, printed
from paper.test_budgets import LEAST_FILL, LEAST_PT, MOST_PAGES, MOST_PART_PAGES
from pdf_text import texts_of
from records.record_samples import due, file_of, good_rows, judge
from records.recorded_book import LEFT_OUT, recorded_demonstration, with_results
from samples import job_text, random_boxes
from shared import short
from slackloop.document.book import Book
from slackloop.document.worked import work
from slackloop.render.typst.book import Paper

pytestmark = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler-utils (Debian package) is not installed: no words can be placed"
)
HANDOVER = "Part 4. Handover"
HANDOVER_PAGES = 12
LINES_A_PAGE = {"a4": 30, "us-letter": 30}
"""Boxes that a page of the list holds for certain."""


def most_pages(book: Book, paper: Paper) -> int:
    return HANDOVER_PAGES + -(-len(book.analysis.network.boxes) // LINES_A_PAGE[paper])


@pytest.fixture(scope="module", params=short(["a4", "us-letter"], "a4"))
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Paper, Handbook]:
    paper: Paper = request.param
    return paper, printed(recorded_demonstration(), paper, tmp_path_factory.mktemp("recorded"))


def test_the_demonstration_keeps_the_budgets_of_its_parts(made: tuple[Paper, Handbook]) -> None:
    paper, handbook = made
    parts = {title: len(pages) for title, pages in handbook.parts.items()}
    assert list(parts) == [*MOST_PART_PAGES, HANDOVER]
    assert parts.pop(HANDOVER) <= most_pages(recorded_demonstration(), paper)
    assert sum(parts.values()) <= MOST_PAGES["demonstration"]
    if paper == "a4":
        assert {title: count for title, count in parts.items() if count > MOST_PART_PAGES[title]} == {}


def test_the_part_for_the_owner_is_as_well_set_as_the_others(made: tuple[Paper, Handbook]) -> None:
    _, handbook = made
    pages = [handbook.pages[number - 1] for number in handbook.parts[HANDOVER]]
    words = [word for page in pages for line in page.lines for word in line.words]
    assert {word.text for word in words if word.size < LEAST_PT - 0.05} - handbook.labels == set()
    assert [page.number for page in pages[:-1] if page.fill < LEAST_FILL] == []


def test_each_box_has_one_line_and_every_page_says_that_it_holds_results(made: tuple[Paper, Handbook]) -> None:
    _, handbook = made
    pages = [handbook.pages[number - 1] for number in handbook.parts[HANDOVER]]
    text = [" ".join(word.text for word in line.words) for page in pages for line in page.lines]
    assert sum(line.startswith(f"{LEFT_OUT} ") and "no record" in line for line in text) <= 1
    statement = recorded_demonstration().header.results
    shown = texts_of(handbook.path.read_bytes())
    assert sum(" ".join(statement.split()) in " ".join(page.split()) for page in shown) >= len(shown) - 1


@pytest.mark.proof
def test_a_long_job_is_handed_over_in_its_budget(tmp_path: Path) -> None:
    path = tmp_path / "large.yml"
    path.write_text(job_text(random_boxes(320, 320), volts="56 V"), encoding="utf-8")
    worked = work(path)
    book = with_results(worked, judge(file_of(good_rows(due(path))), job=path))
    handbook = printed(book, "a4", tmp_path)
    assert len(handbook.parts[HANDOVER]) <= most_pages(book, "a4")
