"""Writes what a section asks for by name: computed tables, drawings, cautions and deferrals."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import TYPE_CHECKING

from slackloop.handbook.addresses import relative, table_uri
from slackloop.handbook.context import Context
from slackloop.handbook.material import Material
from slackloop.handbook.section import Insert
from slackloop.handbook.sign_mark import sign_mark
from slackloop.handbook.tables.table import Table, banner, grid, source_lines
from slackloop.handbook.text import admonition, blocks, escape, link

if TYPE_CHECKING:
    from slackloop.handbook.figures.svg import Figure

SHORT_ROWS = 8
"""Rows of a long table that a section shows before it links to the whole."""
WHOLE_ROWS = 14
"""A table of up to this many rows stands in a section whole."""

TableMaker = Callable[[Context], Table]
FigureMaker = Callable[[Context], "Figure | None"]


class InsertWriter:
    """Makes each table and drawing once and writes it wherever a section asks for it."""

    def __init__(self, context: Context, tables: Mapping[str, TableMaker], figures: Mapping[str, FigureMaker]) -> None:
        """``tables`` and ``figures`` map the names that content may use to what makes them."""
        self.context = context
        self.table_makers = tables
        self.figure_makers = figures
        self.table = cache(self._table)
        self.figure = cache(self._figure)

    def _table(self, name: str) -> Table:
        """A table by name; made once."""
        return self.table_makers[name](self.context)

    def _figure(self, name: str) -> Figure | None:
        """A drawing by name; nothing where the job has nothing to draw."""
        return self.figure_makers[name](self.context)

    def write(self, insert: Insert, page: str) -> str:
        """The insert as Markdown on the page ``page``; a name that is none writes nothing (the checker refuses it)."""
        if insert.kind == "table":
            return self.short_table(insert.name, page) if insert.name in self.table_makers else ""
        if insert.kind == "figure":
            figure = self.figure(insert.name) if insert.name in self.figure_makers else None
            return figure_markdown(figure) if figure else ""
        return self.caution(insert.name) if insert.kind == "caution" else self.deferral(insert.name)

    def short_table(self, name: str, page: str) -> str:
        """A table for a section: whole when short, else its first rows and a link to all of them."""
        table = self.table(name)
        whole = relative(table_uri(table.id), page)
        head = f"**{escape(table.title)}**"
        if len(table.rows) <= WHOLE_ROWS:
            return blocks([head, banner(table), grid(table.columns, table.rows), source_lines(table)])
        more = f"{link(f'All {len(table.rows):,} rows: {table.title}', whole)}"
        return blocks([head, banner(table), grid(table.columns, table.rows[:SHORT_ROWS]), more, source_lines(table)])

    def caution(self, name: str) -> str:
        """A standing caution as a box."""
        return standing_caution(self.context, name)

    def deferral(self, name: str) -> str:
        """Who decides, as a box."""
        return standing_deferral(self.context, name)


def standing_caution(material: Material, name: str) -> str:
    """A standing caution as a box; nothing for a name that is none (the checker refuses it)."""
    caution = material.content.words.cautions.get(name)
    if caution is None:
        return ""
    sign = f" (sign {caution.sign})" if caution.sign else ""
    text = material.renderer.render(caution.text, "words/cautions.yml", 1)
    return admonition("caution", f"Caution: {caution.title}{sign}", f"{sign_mark(caution.sign)}{text}")


def standing_deferral(material: Material, name: str) -> str:
    """Who decides, as a box; nothing for a name that is none."""
    deferral = material.content.words.deferrals.get(name)
    if deferral is None:
        return ""
    text = material.renderer.render(deferral.text, "words/deferrals.yml", 1)
    return admonition("deferral", deferral.title, text)


def figure_markdown(figure: Figure) -> str:
    """A drawing inside the page, with its caption; a tall one as its sheets, each a figure."""
    return blocks(
        [
            f'<figure markdown="0" class="drawing">\n{sheet.svg}\n'
            f"<figcaption>{escape(sheet.title)}</figcaption>\n</figure>"
            for sheet in figure.sheets or (figure,)
        ]
    )
