"""The Markdown dialect that the website and the print stage share."""

from __future__ import annotations

import pytest

from slackloop.publish.markup import PERMALINK_TITLE, render_html


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


def test_permalinks_are_for_the_screen_only() -> None:
    assert PERMALINK_TITLE in render_html("# Title", permalinks=True)
    assert render_html("# Title") == '<h1 id="title">Title</h1>'
