"""One schedule: raw figures in columns, to be written as comma-separated values or as a sheet of a workbook."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from slackloop.handbook.page import DocumentHeader
from slackloop.handbook.text import one_line
from slackloop.units.rounding import Rounding, rounded
from slackloop.units.unit_table import CUBIC_METRES_PER_CUBIC_YARD, METRES_PER_FOOT

COMPUTED = "Computed from the job file"
Cell = str | int | float | None
Units = Literal["metric", "us"]


FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""A spreadsheet reads text that starts with one of these as a formula."""
SHORT_FINGERPRINT = 12
METRIC_DIGITS, US_DIGITS = 3, 2
"""Decimals of a measured column."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the unit that stands in it, and how many decimals are shown."""

    heading: str
    unit: str = ""
    digits: int | None = None

    @property
    def title(self) -> str:
        """Heading with its unit, as ``Length (m)``."""
        return f"{self.heading} ({self.unit})" if self.unit else self.heading


@dataclass(frozen=True, slots=True)
class Formula:
    """A cell that stays live in a workbook: ``text`` names cells of its own row as ``{Heading}``; ``value`` is
    what it comes to."""

    text: str
    value: float


Row = tuple[Cell | Formula, ...]


@dataclass(frozen=True, slots=True)
class Schedule:
    """Rows under columns; ``totals`` are headings (with unit) whose columns are added up in the workbook."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    totals: tuple[str, ...] = ()
    note: str = ""
    widths: Mapping[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse a row that has not one cell a column."""
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"schedule {self.name!r}: a row of {len(row)} in {len(self.columns)} columns")

    @property
    def titles(self) -> tuple[str, ...]:
        """Headings with their units."""
        return tuple(column.title for column in self.columns)


@dataclass(frozen=True, slots=True)
class Measure:
    """A measured column: metric, and the US unit before it where the job is in US units.

    Both are rounded to the decimals that a sheet shows, to the side of ``rounding``, so that no sheet rounds again;
    what has no side keeps all its decimals, so that sums stay true.
    """

    heading: str
    kind: Literal["length", "volume"]
    units: Units
    rounding: Rounding

    @property
    def columns(self) -> tuple[Column, ...]:
        """One column, or two with the US unit first."""
        metric, us = ("m", "ft") if self.kind == "length" else ("m3", "yd3")
        own = Column(self.heading, metric, METRIC_DIGITS)
        return (own,) if self.units == "metric" else (Column(self.heading, us, US_DIGITS), own)

    @property
    def titles(self) -> tuple[str, ...]:
        """Headings of its columns."""
        return tuple(column.title for column in self.columns)

    def cells(self, value: float | None) -> tuple[float | None, ...]:
        """The value in each of its columns."""
        if value is None:
            return (None,) * len(self.columns)
        per = METRES_PER_FOOT if self.kind == "length" else CUBIC_METRES_PER_CUBIC_YARD
        own = limited(value, METRIC_DIGITS, self.rounding)
        return (own,) if self.units == "metric" else (limited(value / per, US_DIGITS, self.rounding), own)


def limited(value: float, digits: int, rounding: Rounding) -> float:
    """A figure with ``digits`` decimals, rounded to the side that its reader is safe on; whole where it has none."""
    return round(value, 9) if rounding == "nearest" else rounded(value, 10.0**-digits, rounding)


def number(value: float | None) -> float | None:
    """A figure without the last bits of floating point: 9 decimals."""
    return None if value is None else round(value, 9)


def plain_text(text: str) -> str:
    """Text on one line, without control characters; what a spreadsheet must show as it is."""
    return one_line(text)


def guarded(text: str) -> str:
    """Text with an apostrophe before it where a spreadsheet would read it as a formula (common practice)."""
    clean = plain_text(text)
    return f"'{clean}" if clean.startswith(FORMULA_STARTS) else clean


def document_line(facts: DocumentHeader) -> str:
    """Number, revision, short fingerprint and whether the copy is a draft, on one line."""
    draft = ", DRAFT" if facts.draft else ""
    return f"{facts.number}, revision {facts.revision}, {facts.fingerprint[:SHORT_FINGERPRINT]}{draft}"


def csv_bytes(schedule: Schedule, facts: DocumentHeader) -> bytes:
    """The schedule as comma-separated values (RFC 4180, UTF-8), the document's facts in the last column."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([*schedule.titles, "Document"])
    line = guarded(document_line(facts))
    for row in schedule.rows:
        writer.writerow([*(_csv_cell(cell) for cell in row), line])
    return out.getvalue().encode("utf-8", "replace")


def _csv_cell(cell: Cell | Formula) -> str | int | float:
    value = cell.value if isinstance(cell, Formula) else cell
    if value is None:
        return ""
    if isinstance(value, str):
        return guarded(value)
    return int(value) if float(value).is_integer() else value
