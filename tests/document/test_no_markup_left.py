"""No page shows what was meant as markup: a reader sees words, never tags, entities, stars or template code."""

from __future__ import annotations

import re

import pytest

from book_samples import demonstration, html_of, pages_of
from slackloop.document.pages.codes_page import PAGE as CODES

LEFT = re.compile(
    r"&#\w+;|&(?:amp|lt|gt|nbsp|quot);|</?(?:span|br|p|div|a|svg|b|i|em|strong)\b|\*\*|\{\{|\{%|\]\(|\{[:#]"
)


@pytest.mark.parametrize("text", ["&#45;", "a<br>b", '<span id="x">', "**bold**", "{{ v.x }}", "[a](b.md)", "{: .x }"])
def test_markup_is_known_where_it_stands(text: str) -> None:
    assert LEFT.search(text)


def test_no_page_of_the_demonstration_shows_markup() -> None:
    shown = pages_of(demonstration())
    assert len(shown) > 80
    del shown[CODES]  # its samples are what a person types, template code among it
    found = [f"{id}: {text[max(0, hit.start() - 30) : hit.end() + 30]!r}" for id, text in shown.items()
             for hit in LEFT.finditer(text)]  # fmt: skip
    assert found == []


@pytest.mark.parametrize("id", ["index", "method/trench", "boxes/b02", "tables/hazards", "tables/matrix"])
def test_no_text_is_escaped_twice(id: str) -> None:
    assert not re.search(r"&amp;(?:#\w+|amp|lt|gt|nbsp|quot);", html_of(demonstration(), id))
