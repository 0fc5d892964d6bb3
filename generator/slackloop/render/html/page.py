"""One page as HTML: its title, its blocks, and the list of its parts that a narrow screen folds away."""

from __future__ import annotations

from markupsafe import Markup

from slackloop.document.blocks import Heading
from slackloop.document.inline import line, plain
from slackloop.document.page import Page
from slackloop.document.walk import headings
from slackloop.render.html.blocks import blocks_html
from slackloop.render.html.inline import Place, line_html
from slackloop.render.html.tag import tag, together

LEAST_PARTS = 4
"""A page with fewer parts needs no list of them."""
LISTED_KINDS = frozenset({"section", "safety", "trouble", "document"})


def page_html(page: Page) -> Markup:
    """The content of a page."""
    place = Place(page.id)
    title = tag("h1", line_html(page.heading or line(page.title), place))
    return together([title, _contents(page), blocks_html(page.blocks, place)])


def page_parts(page: Page) -> tuple[Heading, ...]:
    """The second-level headings of a page."""
    return tuple(heading for heading in headings(page.blocks) if heading.level == 2)


def _contents(page: Page) -> Markup:
    parts = page_parts(page) if page.kind in LISTED_KINDS else ()
    if len(parts) < LEAST_PARTS:
        return Markup("")
    lines = [tag("li", tag("a", plain(part.line), href=f"#{part.anchor}")) for part in parts]
    return tag("details", tag("summary", "On this page"), tag("ul", *lines), class_="page-contents")
