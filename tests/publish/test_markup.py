"""The Markdown dialect that the website and the print stage share."""

from __future__ import annotations

import pytest

from slackloop.publish.markup import render, render_html


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
