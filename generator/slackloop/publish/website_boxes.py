"""A box found by typing its id: the field for it, and the list of ids that the field looks in.

The list is one script of plain data, so that it is read from a folder as well as from a host. The
field stays hidden where scripts are off; the lists of boxes are then the way.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from slackloop.handbook.page import Page
from slackloop.publish.website_menu import html_address

BOX_LIST = "assets/look/boxes.js"
FIELD_KINDS = ("start", "index")
"""Kinds of page that carry the field."""

LISTS = ('<div class="doors"', "<h2", '<div class="table-scroll"')
"""The field stands before the first of these."""

FIELD = (
    '<form class="go-to-box" data-top="{top}" hidden>'
    '<label for="box-id">Go to box</label>'
    '<span class="go-to-box-line"><input id="box-id" type="text" autocomplete="off" autocapitalize="off" '
    'spellcheck="false" enterkeyhint="go" aria-describedby="box-id-said">'
    '<button type="submit">Open</button></span>'
    '<p id="box-id-said" role="status"></p><ul class="go-to-box-found"></ul></form>'
    '<script src="{top}' + BOX_LIST + '"></script>'
)


def box_list(pages: Sequence[Page]) -> str:
    """The script that names every box and its page, in path order; empty without boxes.

    Ids may hold any character: they stand in JSON of ASCII letters only.
    """
    boxes = [[page.meta["box"], html_address(page.uri)] for page in pages if page.kind == "box" and "box" in page.meta]
    return f"window.boxPages = {json.dumps(boxes, separators=(',', ':'))};\n" if boxes else ""


def with_box_field(html: str, page: Page) -> str:
    """The content of ``page`` with the field under its title, before the first list or table."""
    if page.kind not in FIELD_KINDS:
        return html
    field = FIELD.format(top="../" * page.uri.count("/"))
    title_end = html.find("</h1>") + 1
    places = [place for mark in LISTS if (place := html.find(mark, title_end)) >= 0]
    place = min(places, default=len(html))
    return html[:place] + field + html[place:]
