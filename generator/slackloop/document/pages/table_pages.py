"""A page for each table; the parts of a long one are folded on a screen, so that it stays readable on a phone."""

from __future__ import annotations

from collections.abc import Sequence

from slackloop.document.blocks import Block, Paragraph, TableBlock
from slackloop.document.inline import joined, line, link, plain
from slackloop.document.page import BookPart, Page, PageKind
from slackloop.document.table import Table
from slackloop.document.target import FileTarget

MOST_ROWS = 60
"""The parts of a table with more rows than this are folded on a screen."""


def table_page_id(table_id: str) -> str:
    """The id of the page of a table."""
    return f"tables/{table_id}"


def table_page(table: Table, part: BookPart, menu: tuple[str, ...], files: Sequence[tuple[str, str]] = (), *,
               paper: bool = True) -> Page:  # fmt: skip
    """The page of a table; ``files`` are what it is also given as: words and the name of a file."""
    kind: PageKind = "register" if part == "inspection" else "table"
    about = plain(table.intro) or table.title
    long = len(table.rows) > MOST_ROWS and len(table.parts) > 1
    blocks: tuple[Block, ...] = (TableBlock(table, folded=long), *_files(files))
    return Page(table_page_id(table.id), table.title, blocks, kind, part, menu, about, paper=paper)


def _files(files: Sequence[tuple[str, str]]) -> tuple[Paragraph, ...]:
    """A line that links a table to its files."""
    if not files:
        return ()
    words = (line(link(text, FileTarget(name))) for text, name in files)
    return (Paragraph(line("As a file: ", joined(words), "."), "screen"),)
