"""The whole book: every page is there, every link leads somewhere, and job text is never markup."""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path

import pytest

from book_samples import all_words, book_of, demonstration, html_of, page_of, page_words
from samples import chain, job_text, random_boxes
from shared import short
from slackloop.document.blocks import Caution, Steps
from slackloop.document.book import Book
from slackloop.document.boxes.stages import box_page_id
from slackloop.document.inline import plain
from slackloop.document.pages.codes_page import PAGE as CODES
from slackloop.document.walk import anchors, walk

NASTY = "<script>alert(1)</script> | **b** `c` {{ v.x }} [l](http://x) & \"q\" 'a' #h"
LEFT_OVER = re.compile(r"&#\d|&[a-z]+;|</?(?:span|br|strong|svg|p)\b|\*\*|\{\{|\{:|!!! ")
"""What would be left of markup if somebody forgot to make blocks of it."""


@cache
def demo() -> Book:
    """The book of the demonstration job."""
    return demonstration()


def write(folder: Path, text: str) -> Path:
    """A job file in a folder of its own."""
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_demo_has_a_page_for_each_box_and_the_crew_comes_first() -> None:
    book = demo()
    ids = [page.id for page in book.pages]
    assert ids[0] == "index"
    assert all(box_page_id(box.id) in ids for box in book.job.path.boxes)
    start = page_words(book, "index")
    doors = [start.index(door) for door in ("My box", "Today's steps", "Something is wrong", "Emergency", "Materials")]
    assert doors == sorted(doors)
    assert not book.header.draft


def test_no_page_holds_what_is_left_of_markup() -> None:
    pages = [page.id for page in demo().pages if page.id != CODES]  # its samples are what a person types
    left = [(page, found[0]) for page in pages if (found := LEFT_OVER.search(page_words(demo(), page)))]
    assert left == []


def test_anchors_are_on_each_page_once() -> None:
    for page in demo().pages:
        names = list(anchors(page.blocks))
        assert len(names) == len(set(names)), page.id


def test_box_page_shows_the_computed_readings() -> None:
    book = demo()
    for index in (0, len(book.analysis.network.boxes) - 1):
        words = page_words(book, box_page_id(book.analysis.network.boxes[index]))
        assert f"{math.floor(book.analysis.volts.worst_volts[index] * 10) / 10:.1f} V" in words


def test_steps_count_on_through_the_section_and_each_caution_is_in_full_once_before_them() -> None:
    page = page_of(demo(), "method/opening-the-jacket")
    numbers = [step.number for block in page.blocks if isinstance(block, Steps) for step in block.steps]
    assert numbers == [str(number) for number in range(1, len(numbers) + 1)]
    assert len(numbers) > 8
    titles = [block.title for block in walk(page.blocks) if isinstance(block, Caution)]
    assert titles
    assert len(titles) == len(set(titles))
    score = next(n for n, block in enumerate(page.blocks) if isinstance(block, Steps)
                 and any(step.anchor == "score-the-ring" for step in block.steps))  # fmt: skip
    assert any(isinstance(block, Caution) for block in page.blocks[:score])


def test_every_requirement_has_a_step_and_a_check_in_the_matrix() -> None:
    page = page_of(demo(), "tables/matrix")
    rows = [row for block in walk(page.blocks) if hasattr(block, "table") for row in block.table.rows]
    asked = [row for row in rows if plain(row[0].line).startswith("R-")]
    assert len(asked) > 50
    assert all(plain(row[2].line).strip("–") and plain(row[3].line).strip("–") for row in asked)


def nasty_job() -> str:
    """A chain of boxes with markup wherever the job may hold text."""
    quoted = "'" + NASTY.replace("'", "''") + "'"
    boxes = chain(3)
    boxes[0] = boxes[0].replace("surface", f"name: {quoted}, note: {quoted}, address: {quoted}, surface")
    text = job_text(boxes, title=quoted, site=quoted, number=quoted)
    text = text.replace("jacket: polyethylene", f"jacket: {quoted}").replace("{a: orange", f"{{a: {quoted}")
    return text.replace("title: Gel-filled sealed connector", f"title: {quoted}")


def test_job_text_is_shown_literally_and_is_never_markup(tmp_path: Path) -> None:
    book = book_of(write(tmp_path, nasty_job()))
    for page in book.pages:
        html = html_of(book, page.id)
        ours = html.replace('<script src="../assets/look/box-values.js"></script>', "")
        assert "<script" not in ours
        assert 'href="http' not in html
        assert "<strong>b</strong>" not in html
    assert NASTY in page_words(book, "boxes/b1")
    assert page_of(book, "index").title == NASTY


def test_box_ids_of_any_kind_get_pages_of_their_own(tmp_path: Path) -> None:
    text = job_text(chain(4))
    names = {"B1": "'B<1>|*'", "B2": "b 1", "B3": "'B 1'", "B4": "Ä1"}
    for old, new in names.items():
        text = re.sub(rf"(id|from): {old}\b", lambda match, new=new: f"{match[1]}: {new}", text)
    book = book_of(write(tmp_path, text))
    assert len({page.id for page in book.pages if page.kind == "box"}) == 4


def test_a_failing_job_is_a_draft_and_says_so(tmp_path: Path) -> None:
    book = book_of(write(tmp_path, job_text(chain(40), limit="0.1 A", conductor="18 AWG")))
    assert book.analysis.verdict == "fail"
    assert book.header.draft
    assert "Do not build from this copy" in page_words(book, "index")
    assert "Error. " in page_words(book, "design/findings")
    assert str(tmp_path) not in all_words(book)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_units_of_the_job_come_first(tmp_path: Path, units: str) -> None:
    book = book_of(write(tmp_path, job_text(chain(2), units=units)))
    words = page_words(book, "boxes/b2")
    assert bool(re.search(r"\b50(?:\.0)? m \(16[45] ft\)", words)) == (units == "metric")
    assert bool(re.search(r"\b16[45] ft \(50(?:\.0)? m\)", words)) == (units == "us")


@pytest.mark.parametrize("boxes", short([48, 320], 48))
def test_large_jobs_give_the_same_pages_twice(boxes: int, tmp_path: Path) -> None:
    path = write(tmp_path, job_text(random_boxes(boxes, seed=7), at_once="2", limit="9 A", conductor="8 AWG"))
    first, again = book_of(path), book_of(path)
    assert first.pages == again.pages
    assert len([page for page in first.pages if page.kind == "box"]) == boxes
