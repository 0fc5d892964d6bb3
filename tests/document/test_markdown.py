"""Markdown of sections becomes blocks; values of a job are never read as Markdown."""

from __future__ import annotations

import pytest

from slackloop.document.blocks import Bullets, Paragraph, TableBlock
from slackloop.document.inline import Code, FileTarget, Link, PageTarget, Strong, Text, Value, WebTarget, plain
from slackloop.document.markdown import Slot, mark_of, markdown_blocks, markdown_line, without_marks
from slackloop.document.walk import words

HOSTILE = "16 *mm* | <b> [x](y) `z` {{ v }} $a$ &amp; \\ # 1. - 👷"


def test_a_value_stands_to_the_letter_whatever_it_holds() -> None:
    text = f"Leave **{mark_of(0)}** here.\n\n- {mark_of(1)}\n\n| A |\n|---|\n| {mark_of(1)} |\n"
    made = markdown_blocks(text, "method/a", (Slot(HOSTILE, measure=True), Slot(HOSTILE)))
    assert made[0] == Paragraph((Text("Leave "), Strong((Value(HOSTILE),)), Text(" here.")))
    assert made[1] == Bullets(((Paragraph((Text(HOSTILE),)),),))
    assert isinstance(made[2], TableBlock)
    assert plain(made[2].table.rows[0][0].line) == HOSTILE


def test_html_of_a_section_is_text() -> None:
    assert words(markdown_blocks("a <b onclick=x>b</b>\n\n<script>c</script>", "method/a")) == (
        "a <b onclick=x>b</b>\n<script>c</script>"
    )


@pytest.mark.parametrize(
    ("address", "target"),
    [
        ("other.md", PageTarget("method/other")),
        ("other.md#step", PageTarget("method/other", "step")),
        ("../trouble/wet-reel-end.md", PageTarget("trouble/wet-reel-end")),
        ("#here", PageTarget("method/a", "here")),
        ("../handbook.pdf", FileTarget("handbook.pdf")),
        ("https://example.org/x", WebTarget("https://example.org/x")),
    ],
)
def test_a_link_of_a_section_leads_to_a_typed_target(address: str, target: object) -> None:
    (link,) = markdown_line(f"[there]({address})", "method/a")
    assert isinstance(link, Link)
    assert link.target == target


def test_marks_in_a_sections_own_text_mark_nothing() -> None:
    text = without_marks(f"a {mark_of(7)} b")
    assert plain(markdown_line(text, "method/a")) == MARKLESS


MARKLESS = "a \ufffd7\ufffd b"


def test_code_holds_a_value() -> None:
    assert markdown_line(f"`{mark_of(0)}`", "method/a", (Slot("x"),)) == (Code("x"),)
