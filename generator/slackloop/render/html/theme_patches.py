"""Mends of the theme's own HTML and script: what it leaves undone for a screen reader and for a memory stick.

Each mend must find its place, so that a new theme release that moved it is noticed at once and not by a reader.
"""

from __future__ import annotations

import re

from slackloop.language.messages import said

# The theme's own translation gives its words.
PAGE_MENDS = (
    ('data-md-component="search" role="dialog"', 'data-md-component="search" role="dialog" aria-label="Search"'),
    ('<nav class="md-search__options" aria-label="Search">', '<div class="md-search__options">'),
    ('alt="logo"', 'alt=""'),
)

SEARCH_SCRIPT = re.compile(r'location\.protocol==="file:"\?(?=\w+\(`\$\{new URL\("search/search_index\.js")')


class ThemeChanged(Exception):
    """The theme's HTML no longer holds a place that must be mended; the message quotes it."""


def mend_page(html: str) -> str:
    """A whole page with the theme's stock faults mended; raises ``ThemeChanged`` where one is not found."""
    for stock in PAGE_MENDS:
        found, mended = (each.replace('"Search"', f'"{said("Search")}"') for each in stock)
        if found not in html:
            raise ThemeChanged(f"The theme's page no longer holds {found!r}.")
        html = html.replace(found, mended)
    if "<pre" not in html:
        # A fifth of each page was the indent of the theme's templates.
        html = "\n".join(map(str.strip, html.splitlines()))
    options = html.index('<div class="md-search__options">')
    end = html.index("</nav>", options)
    return html[:end] + "</div>" + html[end + len("</nav>") :]


def mend_search_script(script: str) -> tuple[str, bool]:
    """The theme's script reading the search index as a script everywhere, and whether that could be done.

    The stock script reads ``search_index.js`` from a folder and ``search_index.json`` from a host. With
    this mend one file serves both; without it a host needs the second file.
    """
    mended, found = SEARCH_SCRIPT.subn("!0?", script)
    return mended, found == 1
