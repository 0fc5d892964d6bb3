"""What the search looks in: the words of a page under their headings, as the least HTML that the search reads."""

from __future__ import annotations

from markupsafe import Markup

from slackloop.document.blocks import Block, Form, Heading
from slackloop.document.inline import plain
from slackloop.document.page import Page
from slackloop.document.walk import inside, own_lines
from slackloop.render.html.tag import tag


def searchable(page: Page) -> Markup:
    """The words of a page under its title and its headings.

    The checks on a box page are the method's own: they are left out, so that a search for one leads to the method.
    """
    parts = [tag("h1", page.title, id="_title")]
    for block in page.blocks:
        if page.kind == "box" and isinstance(block, Form):
            continue
        _add(block, parts)
    return Markup("").join(parts)


def _add(block: Block, parts: list[Markup]) -> None:
    """A heading opens an entry of its own; all else is words under the one before."""
    if isinstance(block, Heading):
        parts.append(tag(f"h{block.level}", plain(block.line), id=block.anchor))
        return
    words = " ".join(text for line in own_lines(block) if (text := plain(line)))
    if words:
        parts.append(tag("p", words))
    for each in inside(block):
        _add(each, parts)
