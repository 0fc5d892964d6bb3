"""The whole book: every page is there, every link leads somewhere, and job text is never markup."""

from __future__ import annotations

import html
import math
import re
from functools import cache
from pathlib import Path

import markdown
import pytest

from samples import DEMO, chain, job_text, random_boxes
from slackloop.handbook.addresses import box_uri
from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.book import Book
from slackloop.handbook.schedule_files import SCHEDULES, WORKBOOK, csv_file
from slackloop.handbook.text import escape

EXTENSIONS = ["admonition", "attr_list", "def_list", "footnotes", "md_in_html", "tables", "toc"]
FILES = {WORKBOOK, *(csv_file(name) for name in SCHEDULES)}
NASTY = "<script>alert(1)</script> | **b** `c` {{ v.x }} [l](http://x) & \"q\" 'a' #h"
TAG = re.compile(r"<[^>]*>")


@cache
def demo() -> Book:
    """The book of the demonstration job."""
    return book_from_job(DEMO)


def write(folder: Path, text: str) -> Path:
    """A job file in a folder of its own."""
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return path


def as_html(text: str) -> str:
    """A page as the publishers render it."""
    return markdown.markdown(text, extensions=EXTENSIONS)


def broken_links(book: Book) -> list[str]:
    """Links of every page that lead to no page, or to a place that is not on it."""
    rendered = {page.uri: as_html(page.markdown) for page in book.pages}
    places = {uri: set(re.findall(r'\bid="([^"]+)"', text)) for uri, text in rendered.items()}
    wrong = []
    for uri, text in rendered.items():
        for target in re.findall(r'<a href="([^"]+)"', text):
            path, _, place = html.unescape(target).partition("#")
            page = uri if not path else str((Path("/") / uri).parent.joinpath(path).resolve().relative_to("/"))
            if page in FILES:
                continue
            if page not in places or (place and place not in places[page]):
                wrong.append(f"{uri}: {target}")
    return wrong


def test_every_link_of_the_demo_leads_somewhere() -> None:
    assert broken_links(demo()) == []


def test_the_demo_has_a_page_for_each_box_and_three_doors() -> None:
    book = demo()
    uris = [page.uri for page in book.pages]
    assert uris[0] == "index.md"
    assert all(box_uri(box.id) in uris for box in book.job.path.boxes)
    start = book.pages[0].markdown
    assert [start.count(f"## {door} ") for door in ("Issue", "Install", "Inspect")] == [1, 1, 1]
    assert {page.navigation[0] for page in book.pages if page.navigation} == {"Issue", "Install", "Inspect"}
    assert not book.facts.draft


def test_ids_stand_once_on_each_page() -> None:
    for page in demo().pages:
        ids = re.findall(r'\bid="([^"]+)"', as_html(page.markdown))
        assert len(ids) == len(set(ids)), page.uri


def test_box_page_shows_the_computed_readings() -> None:
    book = demo()
    for index in (0, len(book.analysis.network.boxes) - 1):
        page = next(p for p in book.pages if p.uri == box_uri(book.analysis.network.boxes[index]))
        words = html.unescape(page.markdown)
        limits = book.analysis.loops.closed[index].limits
        assert 3 <= len(limits) <= 5
        for limit in limits:
            least, most = math.ceil(limit.low_ohms * 100) / 100, math.floor(limit.high_ohms * 100) / 100
            assert f"{least:.2f} to {most:.2f} Ω" in words
            assert f"{limit.expected_ohms:.2f} Ω" in words
        assert f"{math.floor(book.analysis.volts.worst_volts[index] * 10) / 10:.1f} V" in words, "lowest volts are cut"


def test_steps_count_on_through_the_section_and_cautions_stand_before_them() -> None:
    page = next(p for p in demo().pages if p.uri == "method/opening-the-jacket.md")
    lists = re.findall(r'<ol class="steps" start="(\d+)" markdown="1">(.*?)</ol>', page.markdown, re.DOTALL)
    number = 1
    for start, items in lists:
        assert int(start) == number
        number += items.count("<li id=")
    assert number > 8
    score = page.markdown.index('id="score-the-ring"')
    assert page.markdown.rindex("!!! caution", 0, score) > page.markdown.rindex("</ol>", 0, score)


def test_every_table_names_its_source() -> None:
    book = demo()
    for table in book.tables.values():
        assert all(source.strip() for source in table.sources)
        for page in book.pages:
            if page.meta.get("table") == table.id:
                assert '<p class="table-source">' in page.markdown


def test_every_requirement_has_a_step_and_a_check_in_the_register() -> None:
    rows = demo().tables["requirements"].rows
    assert len(rows) > 50
    assert all(row[3] and row[4] for row in rows)


def nasty_job() -> str:
    """A chain of boxes with markup wherever the job may hold text."""
    quoted = "'" + NASTY.replace("'", "''") + "'"
    boxes = chain(3)
    boxes[0] = boxes[0].replace("surface", f"name: {quoted}, note: {quoted}, address: {quoted}, surface")
    text = job_text(boxes, title=quoted, site=quoted, number=quoted)
    text = text.replace("jacket: polyethylene", f"jacket: {quoted}").replace("{a: orange", f"{{a: {quoted}")
    return text.replace("title: Gel-filled sealed connector", f"title: {quoted}")


def test_job_text_is_shown_literally_and_is_never_markup(tmp_path: Path) -> None:
    book = book_from_job(write(tmp_path, nasty_job()))
    assert broken_links(book) == []
    for page in book.pages:
        rendered = as_html(page.markdown)
        assert "<script" not in rendered
        assert 'href="http' not in rendered
        assert "<strong>b</strong>" not in rendered
    box = next(page for page in book.pages if page.uri == "boxes/b1.md")
    words = html.unescape(TAG.sub("", as_html(box.markdown)))
    assert NASTY in " ".join(words.split())
    assert book.pages[0].markdown.startswith(f"# {escape(NASTY)}")


def test_box_ids_of_any_kind_get_pages_of_their_own(tmp_path: Path) -> None:
    text = job_text(chain(4))
    names = {"B1": "'B<1>|*'", "B2": "b 1", "B3": "'B 1'", "B4": "Ä1"}
    for old, new in names.items():
        text = re.sub(rf"(id|from): {old}\b", lambda match, new=new: f"{match[1]}: {new}", text)
    book = book_from_job(write(tmp_path, text))
    assert len({page.uri for page in book.pages if page.kind == "box"}) == 4
    assert broken_links(book) == []


def test_a_failing_job_is_a_draft_and_says_so(tmp_path: Path) -> None:
    book = book_from_job(write(tmp_path, job_text(chain(40), limit="0.1 A", conductor="18 AWG")))
    assert book.analysis.verdict == "fail"
    assert book.facts.draft
    assert '!!! danger "Draft"' in book.pages[0].markdown
    volts = next(page for page in book.pages if page.uri == "tables/volts.md")
    assert '!!! danger "Not good' in volts.markdown
    findings = next(page for page in book.pages if page.uri == "issue/findings.md")
    assert "level-error" in findings.markdown
    assert str(tmp_path) not in "".join(page.markdown for page in book.pages)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_units_of_the_job_come_first(tmp_path: Path, units: str) -> None:
    book = book_from_job(write(tmp_path, job_text(chain(2), units=units)))
    page = html.unescape(next(page for page in book.pages if page.uri == "boxes/b2.md").markdown)
    assert ("50 m (165 ft)" in page) == (units == "metric")
    assert ("165 ft (50 m)" in page) == (units == "us")


def test_large_jobs_are_grouped(tmp_path: Path) -> None:
    path = write(tmp_path, job_text(random_boxes(320, seed=7), at_once="2", limit="9 A", conductor="8 AWG"))
    first = book_from_job(path)
    again = book_from_job(path)
    assert first.pages == again.pages
    groups = [page for page in first.pages if page.uri.startswith("boxes-by-arm/group-")]
    boxes = [page for page in first.pages if page.kind == "box"]
    assert len(boxes) == 320
    assert max(sum(box.navigation[-1] == group.title for box in boxes) for group in groups) <= 40
    for page in first.pages:
        if page.kind in ("table", "register") and page.meta["table"] in ("boxes", "runs", "volts", "slack"):
            assert page.markdown.count("\n| ") <= 62, page.uri
