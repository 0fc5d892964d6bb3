"""The one place that names the Markdown dialect of the handbook and renders it.

The website and the print stage both render here, so that a page never means one thing on a screen
and another on paper. What was rendered for the one is at hand for the other.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import count
from typing import Any

import markdown

from slackloop.publish.markup_rows import Rows
from slackloop.publish.markup_shortcuts import (
    Shortcuts,
    can_be_cut_short,
    heading_id,
    put_back,
    put_back_heading,
    set_aside,
)

EXTENSIONS: tuple[str, ...] = ("admonition", "attr_list", "def_list", "footnotes", "md_in_html", "tables", "toc")

KEPT_PAGES = 4096
"""How many rendered pages are kept; a job of 1,000 boxes has about 1,500."""


ROWS = Rows()
DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
SLOT = re.compile(r'<svg data-drawing="(\d+)"></svg>')


@dataclass(frozen=True, slots=True)
class Rendered:
    """A page as HTML with an empty mark for each drawing, its drawings, and its headings.

    Headings are nested tokens (``level``, ``id``, ``name``, ``children``).
    """

    marked: str
    drawings: tuple[str, ...]
    headings: tuple[dict[str, Any], ...]

    @property
    def html(self) -> str:
        """The whole HTML, each drawing in its place."""
        return with_drawings(self.marked, self.drawings)


@lru_cache(maxsize=KEPT_PAGES)
def render(text: str) -> Rendered:
    """Finished Markdown of one page as an HTML fragment with its headings.

    Drawings are kept out of the renderer: it would read each of their elements to no end. Links to
    other pages keep their ``.md`` addresses: whoever publishes the fragment maps them.
    """
    drawings = tuple(DRAWING.findall(text))
    numbers = count()
    marked = DRAWING.sub(lambda _: f'<svg data-drawing="{next(numbers)}"></svg>', text)
    if not can_be_cut_short(marked):
        plain = markdown.Markdown(extensions=list(EXTENSIONS), output_format="html")
        return Rendered(plain.convert(marked), drawings, tuple(getattr(plain, "toc_tokens", ())))
    made = put_back(ROWS.render(set_aside(marked), _convert))
    headings = getattr(_renderer(), "toc_tokens", ())
    return Rendered(made, drawings, tuple(put_back_heading(token) for token in headings))


def _convert(text: str) -> str:
    """The renderer's own answer to ``text``, nothing being left of the page before."""
    return _renderer().reset().convert(text)


@lru_cache(maxsize=1)
def _renderer() -> markdown.Markdown:
    """The one renderer; it is reset before each page."""
    return markdown.Markdown(
        extensions=[*EXTENSIONS, Shortcuts()],
        extension_configs={"toc": {"slugify": heading_id}},
        output_format="html",
    )


def with_drawings(html: str, drawings: Sequence[str]) -> str:
    """The HTML with each drawing back in the place of its mark."""
    return SLOT.sub(lambda slot: drawings[int(slot[1])], html)


def render_html(text: str) -> str:
    """The HTML of ``render`` alone."""
    return render(text).html
