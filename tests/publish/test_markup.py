"""The Markdown dialect that the website and the print stage share."""

from __future__ import annotations

from itertools import count
from pathlib import Path
from typing import Any

import markdown
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from samples import DEMO, REPOSITORY
from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.text import escape
from slackloop.publish.markup import DRAWING, EXTENSIONS, render, render_html


@pytest.mark.parametrize(
    ("markdown", "html"),
    [
        ('!!! reject "Stop"\n    Text.', '<div class="admonition reject">'),
        ("| A |\n|---|\n| 1 |", "<table>"),
        ("Slack\n: 1.5 m", "<dd>1.5 m</dd>"),
        ("Text.[^1]\n\n[^1]: Note.", 'class="footnote"'),
        ("Text\n{: .box-way }", '<p class="box-way">Text</p>'),
        ('<div class="doors" markdown="1">\n**x**\n</div>', "<strong>x</strong>"),
        ("&#42;not strong&#42;", "<p>&#42;not strong&#42;</p>"),
    ],
)
def test_each_extension_is_on(markdown: str, html: str) -> None:
    assert html in render_html(markdown)


def test_headings_come_with_their_ids() -> None:
    rendered = render("# Title\n\n## Part one {#one}\n\nText.")
    assert rendered.html.startswith('<h1 id="title">Title</h1>')
    assert [(token["id"], token["level"]) for token in rendered.headings[0]["children"]] == [("one", 2)]


def plainly(text: str) -> tuple[str, list[dict[str, Any]]]:
    """HTML and headings as the renderer gives them with none of our shortcuts."""
    numbers = count()
    marked = DRAWING.sub(lambda _: f'<svg data-drawing="{next(numbers)}"></svg>', text)
    renderer = markdown.Markdown(extensions=list(EXTENSIONS), output_format="html")
    return renderer.convert(marked), renderer.toc_tokens  # type: ignore[attr-defined]  # set by an extension


@pytest.mark.parametrize("job", [DEMO, REPOSITORY / "site_data" / "jobs" / "kiln-court.yml"])
def test_shortcuts_change_no_page_of_a_handbook(job: Path) -> None:
    pages = book_from_job(job).pages
    assert len(pages) > 50
    for page in pages:
        rendered = render(page.markdown)
        html, headings = plainly(page.markdown)
        assert rendered.marked == html, page.uri
        assert list(rendered.headings) == headings, page.uri


ROW = "| {} | [C&#45;1](a.md#c-1) | <span class=\"tick\"></span> | `code` | **strong** _em_ |\n"
HEAD = "| A | B | C | D | E |\n|---|:---|---:|---|---|\n"
TABLES = [
    HEAD + ROW.format("one") + ROW.format("two") + ROW.format("one"),
    HEAD + "| short row |\n| a | b | c | d | e | too long |\n",
    HEAD + ROW.format("one") + "\n" + HEAD + ROW.format("one") + "\nWords.\n\n" + HEAD + ROW.format("three"),
    "Words.\n\n" + HEAD + ROW.format("one") + "Words that follow at once.\n",
    "- in a list\n\n    | A | B |\n    |---|---|\n    | 1 | 2 |\n\n" + HEAD + ROW.format("x"),
    "!!! note\n\n    | A | B |\n    |---|---|\n    | 1 | 2 |\n",
    '<div class="door" markdown="1">\n\n' + HEAD + ROW.format("in a frame") + "\n</div>\n",
    HEAD + ROW.format("a note[^1]") + "\n[^1]: The note.\n",
    HEAD + ROW.format("[by name][n]") + "\n[n]: page.md\n",
    HEAD + ROW.format("{: .x }") + "{: .y }\n",
    HEAD + ROW.format("&#124; &#96;x&#96; &amp;#44; &#44;"),
    HEAD.replace("|---|:---|---:|---|---|", "|---|---|") + ROW.format("not a table"),
    HEAD + ROW.format("a \\| pipe") + ROW.format("<b>raw</b> &lt;i&gt;"),
    HEAD,
]


@pytest.mark.parametrize("text", TABLES)
def test_shortcuts_change_no_table(text: str) -> None:
    for _ in range(2):
        render.cache_clear()
        assert render(text).marked == plainly(text)[0]


@settings(max_examples=60, deadline=None)
@given(
    cells=st.lists(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12), min_size=1, max_size=4),
    raw=st.text(st.sampled_from("ab|*_`[](){}<>&#4;!\\ :.\n-"), max_size=40),
)
def test_shortcuts_change_no_words(cells: list[str], raw: str) -> None:
    """Escaped words of any kind in a heading, a paragraph and a table, and markup that a firm may have typed."""
    words = [str(escape(cell)) for cell in cells]
    row = "| " + " | ".join(words) + " |\n"
    text = f"# {words[0]}\n\n{words[-1]} {raw}\n\n" + row + "|" + "---|" * len(words) + "\n" + row + row + f"\n{raw}\n"
    html, headings = plainly(text)
    rendered = render(text)
    assert rendered.marked == html
    assert list(rendered.headings) == headings
