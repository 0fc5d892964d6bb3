"""Any text of a job is shown literally, wherever a page puts it."""

from __future__ import annotations

import html
import re

import markdown
from hypothesis import given
from hypothesis import strategies as st

from slackloop.sections.text import END_OF_ISOLATE, ISOLATE, Trusted, admonition, escape, one_line

EXTENSIONS = ["admonition", "attr_list", "def_list", "footnotes", "md_in_html", "tables", "toc"]
NASTY = st.text(
    alphabet=st.one_of(st.sampled_from("|<>*_`{}[]()#+-.!&'\"\\~:;%=$^@/ \nB1"), st.characters()), max_size=40
)
TAG = re.compile(r"<[^>]*>")
NOT_SEEN = re.compile(f"[{ISOLATE}{END_OF_ISOLATE}]")


def shown(page: str) -> str:
    """The words that a browser shows of a Markdown page; what sets right-to-left text apart is not seen."""
    return one_line(NOT_SEEN.sub("", html.unescape(TAG.sub("", markdown.markdown(page, extensions=EXTENSIONS)))))


@given(NASTY)
def test_text_in_a_paragraph_is_shown_literally(text: str) -> None:
    assert shown(f"Before {escape(text)} after") == one_line(f"Before {one_line(text)} after")


@given(NASTY)
def test_text_in_a_heading_and_a_box_makes_no_markup(text: str) -> None:
    page = f"# {escape(text)}x\n\n{admonition('note', text, escape(text) + 'y')}"
    tags = set(re.findall(r"</?([a-z0-9]+)", markdown.markdown(page, extensions=EXTENSIONS)))
    assert tags <= {"h1", "div", "p"}


def test_escaping_twice_is_escaping_once() -> None:
    assert escape(escape("a*b")) == "a&#42;b"
    assert isinstance(escape("a"), Trusted)


def test_script_and_template_code_are_only_text() -> None:
    assert escape("<script>{{ v }}</script>") == ("&#60;script&#62;&#123;&#123; v &#125;&#125;&#60;&#47;script&#62;")
