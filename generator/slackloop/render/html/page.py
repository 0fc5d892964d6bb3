"""One page as HTML: its title and its blocks."""

from __future__ import annotations

from markupsafe import Markup

from slackloop.document.blocks import Form, Heading
from slackloop.document.inline import line
from slackloop.document.page import Page
from slackloop.document.walk import headings
from slackloop.language.messages import language, said
from slackloop.render.html.blocks import blocks_html
from slackloop.render.html.forms import writer_html
from slackloop.render.html.inline import Place, line_html
from slackloop.render.html.tag import tag, together

NOT_KEPT = "What you write on this page is lost when it closes. Write it on the card."
"""Said before the first field; the page's script says otherwise where the device keeps entries."""


def page_html(page: Page) -> Markup:
    """The content of a page."""
    place = Place(page.id)
    title = tag("h1", line_html(page.heading or line(page.title), place))
    first = next((number for number, block in enumerate(page.blocks) if isinstance(block, Form)), len(page.blocks))
    before, forms = page.blocks[:first], page.blocks[first:]
    kept = writer_html(said(NOT_KEPT)) if forms else Markup("")
    shown = together([title, blocks_html(before, place), kept, blocks_html(forms, place)])
    return shown if page.language == language() else tag("div", shown, lang=page.language)


def page_parts(page: Page) -> tuple[Heading, ...]:
    """The second-level headings of a page."""
    return tuple(heading for heading in headings(page.blocks) if heading.level == 2)
