"""A page for each table; the parts of a long one are folded on a screen, so that it stays readable on a phone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from slackloop.document.blocks import Block, Folded, Paragraph, TableBlock
from slackloop.document.inline import joined, line, link, plain
from slackloop.document.page import BookPart, Page, PageKind
from slackloop.document.table import Part, Table
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
    blocks = (*_shown(table), *_files(files))
    return Page(table_page_id(table.id), table.title, blocks, kind, part, menu, about, paper=paper)


def _shown(table: Table) -> tuple[Block, ...]:
    """The table whole, or its parts one by one."""
    if len(table.rows) <= MOST_ROWS or len(table.parts) < 2:
        return (TableBlock(table),)
    blocks: list[Block] = []
    for number, part in enumerate(table.parts):
        last = number == len(table.parts) - 1
        some = replace(
            table, parts=(replace(part, title=""),), row_anchors=_anchors(table, number),
            intro=() if number else table.intro, banner="" if number else table.banner,
            notes=table.notes if last else (), basis=table.basis,
        )  # fmt: skip
        blocks.append(Folded(part.title, (TableBlock(some, sourced=last),)))
    return tuple(blocks)


def _anchors(table: Table, number: int) -> tuple[str, ...]:
    """The anchors of the rows of one part."""
    if not table.row_anchors:
        return ()
    start = sum(len(part.rows) for part in table.parts[:number])
    part: Part = table.parts[number]
    return table.row_anchors[start : start + len(part.rows)]


def _files(files: Sequence[tuple[str, str]]) -> tuple[Paragraph, ...]:
    """A line that links a table to its files."""
    if not files:
        return ()
    words = (line(link(text, FileTarget(name))) for text, name in files)
    return (Paragraph(line("As a file: ", joined(words), "."), "screen"),)
