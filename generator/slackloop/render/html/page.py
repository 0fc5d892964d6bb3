"""One page as HTML: its title and its blocks.

The menu of the website: groups stand where their first page stands.

What the search looks in: the words of a page under their headings.
"""

from __future__ import annotations

import html
import posixpath
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from slackloop.document.blocks import Block, Form, Heading
from slackloop.document.inline import line, plain
from slackloop.document.page import Page
from slackloop.document.walk import headings, inside, own_lines
from slackloop.language.messages import language, said
from slackloop.render.html.blocks import blocks_html
from slackloop.render.html.inline import Place, line_html, tag, together
from slackloop.render.html.tables import writer_html

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


START = "index"
START_TITLE = "Start"
"""The first page in the menu: its own title is that of the job, which the head of the page has."""


def source_name(page: Page) -> str:
    """The name under which MkDocs knows a page."""
    return f"{page.id}.md"


def menu(pages: Sequence[Page]) -> list[dict[str, Any]]:
    """The menu as MkDocs reads it, titles escaped; the ``index`` page of a group leads its group."""
    top: list[dict[str, Any]] = []
    groups: dict[tuple[str, ...], list[dict[str, Any]]] = {(): top}
    for page in pages:
        if not page.listed:
            continue
        entries = _group(groups, page.navigation)
        entry: dict[str, Any] = {escaped(said(START_TITLE) if page.kind == "start" else page.title): source_name(page)}
        if posixpath.basename(page.id) == START and _lacks_index(entries):
            entries.insert(0, entry)
        else:
            entries.append(entry)
    return top


def escaped(text: str) -> Markup:
    """Plain text made safe for HTML, marked so that no template escapes it again."""
    return escape(str(text))


def _lacks_index(entries: list[dict[str, Any]]) -> bool:
    first = next(iter(entries[0].values())) if entries else ""
    return not (isinstance(first, str) and posixpath.basename(first) == f"{START}.md")


def _group(groups: dict[tuple[str, ...], list[dict[str, Any]]], path: tuple[str, ...]) -> list[dict[str, Any]]:
    if path not in groups:
        groups[path] = []
        _group(groups, path[:-1]).append({escaped(path[-1]): groups[path]})
    return groups[path]


@dataclass(slots=True)
class Searched:
    """What the search finds under one heading; ``anchor`` is empty for the page itself. Both texts are HTML."""

    anchor: str
    title: str
    text: str = ""


def searched(page: Page) -> list[Searched]:
    """The words of a page under its title and its headings.

    The checks on a box page are the method's own: they are left out, so that a search for one leads to the method.
    """
    parts = [Searched("", html.escape(page.title, quote=False).strip())]
    for block in page.blocks:
        if page.kind == "box" and isinstance(block, Form):
            continue
        _add(block, parts)
    return parts


def _add(block: Block, parts: list[Searched]) -> None:
    """A heading opens an entry of its own; all else is words under the one before."""
    if isinstance(block, Heading):
        parts.append(Searched(block.anchor, html.escape(plain(block.line), quote=False).strip()))
        return
    words = " ".join(text for line in own_lines(block) if (text := plain(line))).replace("\n", " ")
    if words:
        parts[-1].text += f"<p>{html.escape(words, quote=False)}</p>"
    for each in inside(block):
        _add(each, parts)
