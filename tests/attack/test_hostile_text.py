"""Job text is shown letter by letter: it never becomes markup, script, template code, a formula or a request."""

from __future__ import annotations

import csv
import html.parser
import json
import re
from pathlib import Path

import pytest

from book_samples import book_of, build_handbook
from pdf_text import text_of
from samples import job_text
from slackloop.document.book import PRINTED, book_files
from slackloop.render.html.site import build_site

TEXTS = (
    "<b>B</b>|*x* {{ 7*7 }} `tick`",
    "{% raw %} $x$ #import <lab> @lab",
    "=cmd|' /C calc'!A0",
    "'\"><img src=//e.example/x onerror=a()>",
    "![a](http://e.example/a.png) [^1] [TOC]",
    "../../etc/passwd",
    "CON",
    "&amp;&#60; {: .a #b} *[B]: x",
)
ALIKE = ("B-1", "B 1", "b_1", "b-1")
"""Ids that differ only in case or in punctuation."""


class Seen(html.parser.HTMLParser):
    """The elements of a page with the names of their attributes, its addresses and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.shapes: set[tuple[str, ...]] = set()
        self.addresses: list[str] = []
        self.text = ""
        self._silent = 0
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.shapes.add((tag, *sorted({name for name, _ in attrs if name not in ("stroke-dasharray",)})))
        self.addresses += [value or "" for name, value in attrs if name in ("src", "href", "srcset", "action", "data")]
        self._silent += tag in ("script", "style")

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in ("script", "style")

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.text += data


def _job(ids: tuple[str, ...], texts: tuple[str, ...]) -> str:
    boxes = []
    for number, (box, text) in enumerate(zip(ids, texts, strict=True)):
        before = ids[number - 1] if number else "controller"
        boxes.append(
            "{" + f"id: {json.dumps(box)}, from: {json.dumps(before)}, run: 40 m, surface: lawn, device: two, "
            f"stations: [{number + 1}], name: {json.dumps(text)}, note: {json.dumps(text)}, "
            f"address: {json.dumps(f'{number} {text}')}" + "}"
        )
    every = " ".join(texts)
    job = job_text(boxes, number=json.dumps(texts[0]), title=json.dumps(every), site=json.dumps(every), units="us")
    for old in ("Example Groundworks", "Site engineer", "Two-output decoder", "Gel-filled sealed connector", "UL 486D",
                "polyethylene"):  # fmt: skip
        job = job.replace(old, json.dumps(every))
    return job.replace("{a: orange, b: grey}", f"{{a: {json.dumps(texts[0])}, b: {json.dumps(texts[1])}}}")


def _written(folder: Path, ids: tuple[str, ...], texts: tuple[str, ...]) -> Path:
    folder.mkdir()
    (folder / "job.yml").write_text(_job(ids, texts), encoding="utf-8")
    return folder / "job.yml"


def _pages(book: Path) -> dict[str, Seen]:
    return {str(path.relative_to(book)): Seen(path.read_text("utf-8")) for path in sorted(book.rglob("*.html"))}


@pytest.mark.slow
def test_hostile_text_is_shown_and_does_nothing(tmp_path: Path) -> None:
    ids = (*TEXTS[:-2], *ALIKE)
    texts = (*TEXTS[2:], "-1+1", "@SUM(A1)", TEXTS[0], TEXTS[1])
    hostile = tmp_path / "hostile" / "book"
    build_handbook(_written(tmp_path / "hostile", ids, texts), hostile)
    count = len(ids)
    plain_texts = ("orange", "grey", *(f"word {number}" for number in range(2, count)))
    tame = tmp_path / "tame" / "book"
    tame_job = _written(tmp_path / "tame", tuple(f"B{number:02}" for number in range(count)), plain_texts)
    build_site(book_of(tame_job), tame, files=dict.fromkeys((*PRINTED, *book_files()), b""))
    pages, plain = _pages(hostile), _pages(tame)
    assert len(pages) == len(plain)
    shapes = set().union(*(page.shapes for page in plain.values()))
    for name, page in pages.items():
        assert page.shapes <= shapes, (name, page.shapes - shapes)
        assert not [each for each in page.addresses if re.match(r"(?i)\s*(https?:|//|javascript:|data:)", each)], name
    shown = " ".join(" ".join(page.text.split()) for page in pages.values())
    for text in (*ids, *texts):
        assert text in shown
    printed = text_of(hostile / "handbook.pdf")
    for text in (*ids, *texts):
        assert re.sub(r"\s", "", text) in re.sub(r"\s", "", printed)
    for path in sorted((hostile / "schedules").glob("*.csv")):
        for row in csv.reader(path.read_text("utf-8").splitlines()):
            assert not [cell for cell in row if cell[:1] in ("=", "+", "@")], path
