"""The one place that names the Markdown dialect of the handbook.

The website and the print stage both read their extensions from here, so that a page never means
one thing on a screen and another on paper.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import markdown

EXTENSIONS: tuple[str, ...] = ("admonition", "attr_list", "def_list", "footnotes", "md_in_html", "tables", "toc")

PERMALINK_TITLE = "Link to this place"


def extension_options(*, permalinks: bool) -> dict[str, dict[str, Any]]:
    """Options of each extension; ``permalinks`` adds the mark beside a heading that links to itself."""
    contents: Mapping[str, Any] = {
        "permalink": "¶" if permalinks else False,
        "permalink_title": PERMALINK_TITLE,
    }
    return {"toc": dict(contents)}


def render_html(text: str, *, permalinks: bool = False) -> str:
    """Finished Markdown of one page as an HTML fragment.

    Links to other pages keep their ``.md`` addresses: whoever publishes the fragment maps them.
    """
    renderer = markdown.Markdown(
        extensions=list(EXTENSIONS), extension_configs=extension_options(permalinks=permalinks), output_format="html"
    )
    return renderer.convert(text)
