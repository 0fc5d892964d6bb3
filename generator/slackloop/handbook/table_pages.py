"""A page for each table; a long one is split, so that a page stays readable on a phone."""

from __future__ import annotations

from slackloop.handbook.addresses import relative, table_uri
from slackloop.handbook.page import Page, PageKind
from slackloop.handbook.tables.table import Table, banner, notes, source_lines, table_markdown
from slackloop.handbook.text import blocks, escape, link, one_line

MOST_ROWS = 60
"""A table with more rows than this gets a page a part."""


def table_pages(table: Table) -> list[Page]:
    """The table's page, and a page for each part where it is long."""
    menu = (table.door,) if table.own_place else (table.door, "Tables")
    if len(table.rows) <= MOST_ROWS or len(table.parts) < 2:
        markdown = blocks([f"# {escape(table.title)}", table_markdown(table)])
        return [_page(table, table_uri(table.id), table.title, markdown, menu, True)]
    pages: list[Page] = []
    links: list[str] = []
    for number, part in enumerate(table.parts, start=1):
        uri = f"tables/{table.id}-{number}.md"
        title = f"{table.title}. {part.title}"
        back = link(f"All of {table.title}", relative(table_uri(table.id), uri))
        markdown = blocks([f"# {escape(title)}", back, table_markdown(table.only(part))])
        pages.append(_page(table, uri, title, markdown, menu, False))
        links.append(f"- {link(part.title, relative(uri, table_uri(table.id)))}: {len(part.rows)} rows")
    parts = [f"# {escape(table.title)}", banner(table), escape(table.intro), "\n".join(links)]
    markdown = blocks([*parts, notes(table), source_lines(table)])
    return [_page(table, table_uri(table.id), table.title, markdown, menu, True), *pages]


def _page(table: Table, uri: str, title: str, markdown: str, menu: tuple[str, ...], listed: bool) -> Page:
    """One page of a table."""
    kind: PageKind = "register" if table.door == "Inspect" else "table"
    description = one_line(table.intro or table.title)
    return Page(uri, one_line(title), markdown, menu, kind, {"table": table.id}, listed, description)
