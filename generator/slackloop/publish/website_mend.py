"""Mends of HTML: what the Markdown renderer and the theme leave undone for a crew and for a screen reader.

Each mend of the theme's own HTML must find its place, so that a new theme release that moved it is
noticed at once and not by a reader.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from slackloop.publish.website_tables import mend_tables

KINDS = {
    "caution": "Caution",
    "warning": "Warning",
    "danger": "Danger",
    "deferral": "Comes before this handbook",
    "why": "Why",
    "reject": "Reject",
}
"""The word that stands before the title of each box, so that its meaning never rests on colour."""

PERMALINK_TITLE = "Link to this place"
LEAST_PARTS = 4
"""A page with fewer parts needs no list of them."""

BOX_TITLE = re.compile(r'(<div class="admonition ([\w-]+)[^"]*"[^>]*>\s*<p class="admonition-title">)(.*?)(?=</p>)')
HEADING = re.compile(r'(<h([2-6]) id="([^"]+)"[^>]*>)(.*?)(?=</h\2>)', re.DOTALL)

PAGE_LINK = re.compile(r'(\bhref=")(?![a-zA-Z][a-zA-Z0-9+.-]*:|//|/|#)([^"#?]*)\.md(?=[#"])')

PAGE_MENDS = (
    ('data-md-component="search" role="dialog"', 'data-md-component="search" role="dialog" aria-label="Search"'),
    ('<nav class="md-search__options" aria-label="Search">', '<div class="md-search__options">'),
    ('alt="logo"', 'alt=""'),
)
PATH_MEND = ('class="md-path" aria-label="Navigation"', 'class="md-path" aria-label="You are here"')
"""Two parts of a page must not have one name; a page at the top has no path."""

INDENT = re.compile(r"\n\s+")

SEARCH_SCRIPT = re.compile(r'location\.protocol==="file:"\?(?=\w+\(`\$\{new URL\("search/search_index\.js")')


class ThemeChanged(Exception):
    """The theme's HTML no longer holds a place that must be mended; the message quotes it."""


def mend_content(html: str) -> str:
    """The content of a page with tables in scrolling frames, named boxes and HTML links between pages."""
    html = mend_tables(html)
    html = BOX_TITLE.sub(_name_box, html)
    html = HEADING.sub(_with_permalink, html)
    return PAGE_LINK.sub(r"\1\2.html", html)


def with_contents(html: str, headings: Sequence[tuple[str, str]], *, at_any_width: bool = False) -> str:
    """The content with a folded list of its parts under the title, where a page has many.

    ``headings`` are (anchor, HTML of the title) of its second-level headings. Shown on a narrow screen
    only, unless asked for ``at_any_width``: a wide one has the list beside the text.
    """
    if len(headings) < LEAST_PARTS:
        return html
    lines = "".join(f'<li><a href="#{anchor}">{title}</a></li>' for anchor, title in headings)
    kind = "page-contents at-any-width" if at_any_width else "page-contents"
    listed = f'<details class="{kind}"><summary>On this page</summary><ul>{lines}</ul></details>'
    end = html.find("</h1>")
    place = end + len("</h1>") if end >= 0 else 0
    return html[:place] + listed + html[place:]


def _with_permalink(heading: re.Match[str]) -> str:
    return f'{heading[1]}{heading[4]}<a class="headerlink" href="#{heading[3]}" title="{PERMALINK_TITLE}">¶</a>'


def _name_box(box: re.Match[str]) -> str:
    word = KINDS.get(box[2], "")
    if not word or box[3].strip().lower().startswith(word.lower()):
        return box[0]
    return f'{box[1]}<span class="box-kind">{word}</span> {box[3]}'


def mend_links(html: str) -> str:
    """Links between pages lead to their HTML, in raw HTML and in drawings too."""
    return PAGE_LINK.sub(r"\1\2.html", html)


def mend_page(html: str) -> str:
    """A whole page with the theme's stock faults mended; raises ``ThemeChanged`` where one is not found."""
    for found, mended in PAGE_MENDS:
        if found not in html:
            raise ThemeChanged(f"The theme's page no longer holds {found!r}.")
        html = html.replace(found, mended)
    html = html.replace(*PATH_MEND)
    if "<pre" not in html:
        html = INDENT.sub("\n", html)  # a fifth of each page was the indent of the theme's templates
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
