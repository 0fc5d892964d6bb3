"""Writes what a section asks for by name into a standard's document, which has no site to compute for."""

from __future__ import annotations

from functools import cache

from slackloop.handbook.inserts import standing_caution, standing_deferral
from slackloop.handbook.section import Insert
from slackloop.handbook.standard_context import StandardContext
from slackloop.handbook.standard_tables import STANDARD_TABLES
from slackloop.handbook.tables.table import Table, grid, source_lines
from slackloop.handbook.text import blocks, escape

IN_THE_JOB = "The handbook of each job shows its own {kind} here."
KINDS = {"table": "table", "figure": "drawing"}


class StandardInserts:
    """Makes each table once; a table or drawing that only a job has is named in a plain line."""

    def __init__(self, context: StandardContext) -> None:
        """``context`` gives the standard and its words."""
        self.context = context
        self.table = cache(self._table)

    def _table(self, name: str) -> Table:
        """A table by name; made once."""
        return STANDARD_TABLES[name](self.context)

    def write(self, insert: Insert, page: str) -> str:
        """The insert as Markdown."""
        if insert.kind == "caution":
            return self.caution(insert.name)
        if insert.kind == "deferral":
            return self.deferral(insert.name)
        if insert.kind == "table" and insert.name in STANDARD_TABLES and (table := self.table(insert.name)).rows:
            return blocks([f"**{escape(table.title)}**", grid(table.columns, table.rows), source_lines(table)])
        return f'<p class="in-the-job">{escape(IN_THE_JOB.format(kind=KINDS[insert.kind]))}</p>'

    def caution(self, name: str) -> str:
        """A standing caution as a box."""
        return standing_caution(self.context, name)

    def deferral(self, name: str) -> str:
        """Who decides, as a box."""
        return standing_deferral(self.context, name)
