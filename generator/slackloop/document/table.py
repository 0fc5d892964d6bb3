"""A table, defined once and shown on a page, on paper, as CSV, in a workbook and as JSON.

A cell holds the line that a reader sees and, where it is a figure, the number itself in SI units. Where figures
come from follows from the rows of ``site_data`` that were used, never from a text typed here.

The line under a table that says where its figures come from: derived from what the table used.

The names of the files of tables that a build puts beside its pages, so that pages can link to them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from slackloop.document.inline import Inline, Line, Text, line
from slackloop.reference.rows import Row
from slackloop.reference.rows import Row as ReferenceRow
from slackloop.units.figure import NOT_KNOWN, Figure
from slackloop.units.ladder import Kind, System

Basis = Literal["job", "maker", "standard", "computed", "practice", "method"]
"""Where figures come from besides published rows: the job file, the makers' sheets that it gives, the firm's standard,
a formula on these, the trade, the method's text."""

ColumnKind = Kind | Literal["text", "count", "number"]
"""What a column holds: words, whole numbers, numbers whose unit stands beside them, or figures of one kind of
``units.ladder``."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: what is shown, its number inside (SI, or a count) and the figure that it is told from, if any.

    ``why_not`` says why a figure is missing. ``formula`` is how a workbook works the number out again: it names cells
    of its own row by the keys of their columns in braces, and ``{table:key}`` all of a column of another table.
    """

    line: Line
    number: float | None = None
    figure: Figure | None = None
    why_not: str = ""
    formula: str = ""
    us_number: float | None = None
    """The same in the inside unit as its source prints it in US units, where it prints both: 24 in beside 600 mm."""


NO_CELL = Cell((Text("–"),))
EMPTY_CELL = Cell(())
"""A cell to write in, or one whose row goes on from the row above."""


def cell(*parts: str | Inline | Line) -> Cell:
    """A cell of plain text, inline parts or lines; nothing to show becomes a dash."""
    if len(parts) == 1 and isinstance(parts[0], str):
        return _text_cell(parts[0])
    shown = line(*parts)
    return Cell(shown) if shown else NO_CELL


@lru_cache(maxsize=65536)
def _text_cell(text: str) -> Cell:
    """One cell for each text: rows by the hundred say the same."""
    return Cell(line(text)) if text else NO_CELL


def figure_cell(figure: Figure, units: System, *, brief: bool = False) -> Cell:
    """A cell that holds a figure in the job's units, the other system beside it unless ``brief``."""
    if math.isnan(figure.value):
        return Cell(line(NOT_KNOWN), why_not=NOT_KNOWN)
    return _figure_cell(figure, units, brief)


@lru_cache(maxsize=65536)
def _figure_cell(figure: Figure, units: System, brief: bool) -> Cell:
    text = figure.alone(units) if brief else figure.text(units)
    return Cell(line(text), figure.value, figure)


def missing_cell(why_not: str) -> Cell:
    """A cell without its figure, with the reason in words."""
    return Cell(line("–"), why_not=why_not)


def number_cell(number: float, text: str = "", *, formula: str = "") -> Cell:
    """A cell that holds a number, shown as ``text`` where that is more than the number."""
    if math.isnan(number):
        return Cell(line(NOT_KNOWN), why_not=NOT_KNOWN)
    return Cell(line(text or f"{number:,.6g}"), float(number), formula=formula)


def count_cell(number: int) -> Cell:
    """A cell that holds a whole number."""
    return Cell(line(f"{number:,}"), float(number))


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name in files, its heading, and what it holds."""

    key: str
    heading: str
    kind: ColumnKind = "text"
    in_files_only: bool = False
    """True for a column that a spreadsheet needs and a page does not."""
    on_pages_only: bool = False
    total: bool = False
    """Whether a workbook adds the column up."""
    share: int = 0
    """How much of the width it takes on paper, beside the other columns that say so; 0 for as wide as its words."""

    @property
    def is_figure(self) -> bool:
        """Whether the column holds figures, which stand to the right."""
        return self.kind != "text"


@dataclass(frozen=True, slots=True)
class Part:
    """Rows that stand together, such as those of one branch; ``title`` is empty when there is one part."""

    title: str
    rows: tuple[tuple[Cell, ...], ...]
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """One table. ``rows_used`` are the rows of ``site_data`` that its figures rest on.

    ``banner`` says what is wrong with it; a table with a banner is never shown as good.
    """

    id: str
    title: str
    columns: tuple[Column, ...]
    parts: tuple[Part, ...]
    basis: tuple[Basis, ...]
    rows_used: tuple[ReferenceRow, ...] = ()
    intro: Line = ()
    notes: tuple[Line, ...] = ()
    banner: str = ""
    landscape: bool = False
    row_anchors: tuple[str, ...] = ()
    """An anchor for each row, where links lead to rows; else none."""
    stacks: bool = False
    """Whether a phone, for which it is too wide, shows each row as a list of its values."""

    def __post_init__(self) -> None:
        """Refuse a row that has not one cell a column, and a table that rests on nothing."""
        if not self.basis and not self.rows_used:
            raise ValueError(f"table '{self.id}' does not say where its figures come from")
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"table '{self.id}': a row of {len(row)} in {len(self.columns)} columns")
        if self.row_anchors and len(self.row_anchors) != len(self.rows):
            raise ValueError(f"table '{self.id}': {len(self.row_anchors)} anchors for {len(self.rows)} rows")

    @property
    def rows(self) -> tuple[tuple[Cell, ...], ...]:
        """Every row of every part."""
        return tuple(row for part in self.parts for row in part.rows)

    @property
    def page_columns(self) -> tuple[int, ...]:
        """Positions of the columns that pages show."""
        return tuple(n for n, column in enumerate(self.columns) if not column.in_files_only)

    @property
    def file_columns(self) -> tuple[int, ...]:
        """Positions of the columns that files hold."""
        return tuple(n for n, column in enumerate(self.columns) if not column.on_pages_only)

    def first(self, count: int) -> Table:
        """This table with its first rows only."""
        anchors = self.row_anchors[:count]
        return replace(self, parts=(Part("", self.rows[:count]),), intro=(), notes=(), row_anchors=anchors)


def one_part(rows: Iterable[Sequence[Cell]]) -> tuple[Part, ...]:
    """Rows that need no grouping."""
    return (Part("", tuple(tuple(row) for row in rows)),)


def table_lines(table: Table) -> Iterator[Line]:
    """Every line that pages show of a table, its source line aside."""
    yield from (line(table.title), line(table.banner), table.intro)
    shown = table.page_columns
    yield from (line(table.columns[n].heading) for n in shown)
    for part in table.parts:
        yield line(part.title)
        for row in part.rows:
            yield from (row[n].line for n in shown)
    yield from table.notes


BASIS_WORDS: dict[Basis, str] = {
    "job": "job specification",
    "maker": "the makers' sheets",
    "standard": "the firm's standing standard",
    "computed": "computed from the job file",
    "practice": "common practice, no published source",
    "method": "the method of this handbook",
}


def source_line(table: Table) -> Line:
    """Where the figures of ``table`` come from, in one line; how each source was checked is on the sources page."""
    names = [*cited(table.rows_used), *(BASIS_WORDS[each] for each in table.basis)]
    return line(f"Source: {'; '.join(names)}.") if names else ()


def cited(rows: Iterable[Row]) -> tuple[str, ...]:
    """The sources of rows, each once, in the order in which they were used."""
    return tuple(dict.fromkeys(row.source for row in rows))


def sources_text(table: Table) -> str:
    """Where the figures come from, with how each source was checked: for files, which travel without the pages."""
    rows = dict.fromkeys((row.source, row.checked) for row in table.rows_used)
    names = [f"{source} ({checked})" for source, checked in rows]
    words = "; ".join([*names, *(BASIS_WORDS[each] for each in table.basis)])
    return words[:1].upper() + words[1:]


FOLDER = "schedules"
WORKBOOK = f"{FOLDER}/schedules.xlsx"
JSON_FILE = f"{FOLDER}/tables.json"


def csv_file(table_id: str) -> str:
    """The address of one table as comma-separated values (CSV)."""
    return f"{FOLDER}/{table_id}.csv"
