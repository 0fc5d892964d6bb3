"""A page for each table; a long one is split, so that a page stays readable on a phone."""

from __future__ import annotations

import math
from collections.abc import Sequence

from slackloop.handbook.addresses import relative, table_uri
from slackloop.handbook.format import count
from slackloop.handbook.page import Page, PageKind
from slackloop.handbook.tables.table import Table, TablePart, banner, notes, source_lines, table_markdown
from slackloop.handbook.text import blocks, escape, link, one_line

MOST_ROWS = 60
"""A table with more rows than this gets pages of its parts."""


def table_pages(table: Table, files: str = "") -> list[Page]:
    """The table's page, and pages of whole parts where it is long; ``files`` links it to what it is also given as."""
    menu = (table.door,) if table.own_place else (table.door, "Tables")
    if len(table.rows) <= MOST_ROWS or len(table.parts) < 2:
        markdown = blocks([f"# {escape(table.title)}", table_markdown(table), files])
        return [_page(table, table_uri(table.id), table.title, markdown, menu, True)]
    pages: list[Page] = []
    links: list[str] = []
    for number, parts in enumerate(_batches(table.parts), start=1):
        uri = f"tables/{table.id}-{number}.md"
        names = parts[0].title if len(parts) == 1 else f"{parts[0].title} to {parts[-1].title}"
        title = f"{table.title}. {names}"
        back = link(f"All of {table.title}", relative(table_uri(table.id), uri))
        markdown = blocks([f"# {escape(title)}", back, table_markdown(table.only(*parts))])
        pages.append(_page(table, uri, title, markdown, menu, False))
        rows = sum(len(part.rows) for part in parts)
        links.append(f"- {link(names, relative(uri, table_uri(table.id)))}: {count(rows, 'row', 'rows')}")
    whole = [f"# {escape(table.title)}", banner(table), escape(table.intro), "\n".join(links)]
    markdown = blocks([*whole, notes(table), source_lines(table), files])
    return [_page(table, table_uri(table.id), table.title, markdown, menu, True), *pages]


def _batches(parts: Sequence[TablePart]) -> list[list[TablePart]]:
    """Whole parts gathered, in order, into pages of about equal length and at most ``MOST_ROWS`` rows.

    A part that is longer by itself stands alone.
    """
    total = sum(len(part.rows) for part in parts)
    even = total / math.ceil(total / MOST_ROWS)
    batches: list[list[TablePart]] = []
    rows = 0
    for part in parts:
        if not batches or rows >= even or rows + len(part.rows) > MOST_ROWS:
            batches.append([])
            rows = 0
        batches[-1].append(part)
        rows += len(part.rows)
    return batches


def _page(table: Table, uri: str, title: str, markdown: str, menu: tuple[str, ...], listed: bool) -> Page:
    """One page of a table."""
    kind: PageKind = "register" if table.door == "Inspect" else "table"
    description = one_line(table.intro or table.title)
    return Page(uri, one_line(title), markdown, menu, kind, {"table": table.id}, listed, description)
