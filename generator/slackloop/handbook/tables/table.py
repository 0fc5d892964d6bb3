"""A table: typed columns, rows in parts, and where its figures come from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from slackloop.handbook.text import Trusted, admonition, blocks, escape

JOB = "The job file: job specification."
COMPUTED = "Computed from the job file; every formula is in the sources."
PRACTICE = "Common practice, no published source."


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the unit under which its figures stand, and how it is set."""

    heading: str
    unit: str = ""
    align: Literal["left", "right"] = "left"


Row = tuple[str, ...]
"""One text a column; text that is not ``Trusted`` is escaped when the table is written."""


@dataclass(frozen=True, slots=True)
class TablePart:
    """Rows that stand together, such as those of one arm; ``title`` is empty when there is one part."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """One computed table; ``sources`` says from where, a line each, and ``banner`` what is wrong with it."""

    id: str
    title: str
    intro: str
    columns: tuple[Column, ...]
    parts: tuple[TablePart, ...]
    sources: tuple[str, ...]
    notes: tuple[str, ...] = ()
    banner: str = ""
    door: Literal["Issue", "Install", "Inspect"] = "Issue"
    own_place: bool = False
    """True for a table that its reader comes for first: it stands right under the door."""

    omit_when_empty: bool = False
    """Whether a table without rows gets no page."""

    def __post_init__(self) -> None:
        """Refuse a row that has not one text a column, and a table without a source."""
        if not self.sources:
            raise ValueError(f"table '{self.id}' names no source")
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"table '{self.id}': a row of {len(row)} in {len(self.columns)} columns")

    @property
    def rows(self) -> tuple[Row, ...]:
        """Every row of every part."""
        return tuple(row for part in self.parts for row in part.rows)

    def only(self, *parts: TablePart) -> Table:
        """This table with some of its parts; a single one needs no title."""
        return replace(self, parts=(replace(parts[0], title=""),) if len(parts) == 1 else parts)

    def first(self, count: int) -> Table:
        """This table with its first rows only."""
        return replace(self, parts=(TablePart("", self.rows[:count]),), intro="", notes=())


def one_part(rows: Sequence[Row]) -> tuple[TablePart, ...]:
    """Rows that need no grouping."""
    return (TablePart("", tuple(rows)),)


def table_markdown(table: Table) -> str:
    """The whole table as Markdown: banner, intro, parts with their titles, notes, sources."""
    parts = []
    for part in table.parts:
        if part.title:
            parts.append(f"## {escape(part.title)}")
        parts.append(grid(table.columns, part.rows))
    return blocks([banner(table), escape(table.intro), *parts, notes(table), source_lines(table)])


def banner(table: Table) -> str:
    """A plain banner over a table whose inputs failed a check."""
    if not table.banner:
        return ""
    return admonition("danger", "Not good: do not build from this table", escape(table.banner))


def grid(columns: tuple[Column, ...], rows: tuple[Row, ...]) -> str:
    """Rows as a Markdown table; a plain sentence when there are none."""
    if not rows:
        return "Nothing to list on this job."
    heads = " | ".join(_heading(column) for column in columns)
    rules = " | ".join("---:" if column.align == "right" else ":---" for column in columns)
    lines = [f"| {heads} |", f"| {rules} |"]
    lines += ["| " + " | ".join(escape(cell) or "–" for cell in row) + " |" for row in rows]
    return "\n".join(lines)


def _heading(column: Column) -> Trusted:
    """A heading with its unit."""
    unit = f", {escape(column.unit)}" if column.unit else ""
    return Trusted(f"{escape(column.heading)}{unit}")


def notes(table: Table) -> str:
    """Notes under a table, a paragraph each."""
    return "\n\n".join(escape(note) for note in table.notes)


def source_lines(table: Table) -> str:
    """Where the figures come from, as one small paragraph."""
    return f'<p class="table-source">Source: {" ".join(escape(source) for source in table.sources)}</p>'
