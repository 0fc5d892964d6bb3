"""A table whose cells are still texts, as a table of typed cells.

Texts that are marked as our own may hold a link or bold words; everything else is shown to the letter.
"""

from __future__ import annotations

import re

from slackloop.document.inline import Break, Line, line
from slackloop.document.markdown import markdown_line
from slackloop.document.table import Basis, Cell, Column, Part, Table, cell
from slackloop.document.tables import table as old
from slackloop.sections.text import Trusted

_NAMED_PLACE = re.compile(r'<span id="[^"]*">(.*?)</span>')
"""A place that a link named; no link names one now."""
WIDE_COLUMNS = 8
"""A table with as many columns or more stands across the long side of the paper."""


def typed_table(given: old.Table) -> Table:
    """``given`` with typed cells; the sources that it names stand in its notes."""
    page = f"tables/{given.id}"
    parts = tuple(
        Part(part.title, tuple(tuple(_cell(text, page) for text in row) for row in part.rows)) for part in given.parts
    )
    columns = tuple(
        Column(f"c{n}", f"{column.heading}, {column.unit}" if column.unit else column.heading,
               "count" if column.align == "right" else "text")
        for n, column in enumerate(given.columns)
    )  # fmt: skip
    basis: tuple[Basis, ...] = ("method",)
    return Table(
        given.id, given.title, columns, parts, basis, intro=_line(given.intro, page),
        notes=(*(_line(note, page) for note in given.notes), _line("Source: " + " ".join(given.sources), page)),
        banner=given.banner, landscape=len(columns) >= WIDE_COLUMNS,
    )  # fmt: skip


def _cell(text: str, page: str) -> Cell:
    return cell(_line(text, page))


def _line(text: str, page: str) -> Line:
    if not isinstance(text, Trusted):
        return line(text)
    first, *more = _NAMED_PLACE.sub(r"\1", text).split("<br>")
    return line(markdown_line(first, page), *(part for each in more for part in (Break(), markdown_line(each, page))))
