"""How deep lists and quotes of a section may stand in each other: what is deeper, the parser passes over."""

from __future__ import annotations

from functools import lru_cache

from markdown_it import MarkdownIt

MOST_NESTED = 20
"""Levels that are read: a quote is one, a list two (the list and its item)."""
_HOLDS_MORE = ("blockquote_open", "list_item_open")


@lru_cache(maxsize=2)
def parser(raw_html: bool) -> MarkdownIt:
    """The one parser of sections: CommonMark with tables."""
    return MarkdownIt("commonmark", {"html": raw_html, "maxNesting": MOST_NESTED}).enable("table")


def too_deep(text: str) -> int | None:
    """The line, from 0, of the first list or quote whose content would be passed over; nothing where all is read."""
    for token in parser(False).parse(text):
        if token.type in _HOLDS_MORE and token.level >= MOST_NESTED - 1:
            return token.map[0] if token.map else 0
    return None
