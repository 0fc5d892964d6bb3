"""A table as plain columns of values for files: units in the headings, the job's unit first and SI beside it.

A table as comma-separated values (RFC 4180, UTF-8): its source and the document's facts end each row.

Boxes as a file for maps (GeoJSON, RFC 7946): a point for each box whose longitude and latitude were recorded.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from slackloop.document.boxes.card import SHORT_FINGERPRINT
from slackloop.document.inline import plain
from slackloop.document.page import DocumentHeader
from slackloop.document.table import Cell, Column, Table, sources_text
from slackloop.render.json.json_text import json_text
from slackloop.sections.text import one_line
from slackloop.units.ladder import Kind, System, rounded
from slackloop.units.unit_table import CUBIC_METRES_PER_CUBIC_YARD, METRES_PER_FOOT

Value = str | float | None
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""A spreadsheet reads text that starts with one of these as a formula."""
KILOGRAMS_PER_POUND = 0.45359237
"""Exact (NIST SP 811, Appendix B)."""
DECIMALS = 7
"""Of a degree: about a centimetre (RFC 7946, section 11.2)."""


@dataclass(frozen=True, slots=True)
class FileUnit:
    """A unit in files: inside value = ``per`` × number + ``offset``; numbers are shown with ``digits`` decimals."""

    name: str
    digits: int
    per: float = 1.0
    offset: float = 0.0


SI: dict[Kind, FileUnit] = {
    "length": FileUnit("m", 3), "run": FileUnit("m", 3), "volts": FileUnit("V", 2), "current": FileUnit("A", 4),
    "resistance": FileUnit("ohm", 2), "resistivity": FileUnit("ohm m", 1), "temperature": FileUnit("degC", 1),
    "volume": FileUnit("m3", 3), "area": FileUnit("mm2", 2), "mass": FileUnit("kg", 1),
    "percent": FileUnit("%", 2, 0.01),
}  # fmt: skip
US: dict[Kind, FileUnit] = {
    "length": FileUnit("ft", 2, METRES_PER_FOOT), "run": FileUnit("ft", 2, METRES_PER_FOOT),
    "temperature": FileUnit("degF", 1, 5.0 / 9.0, -160.0 / 9.0),
    "volume": FileUnit("yd3", 3, CUBIC_METRES_PER_CUBIC_YARD), "mass": FileUnit("lb", 1, KILOGRAMS_PER_POUND),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class FileColumn:
    """A column of a file: which column of the table it shows, and in which unit, if any."""

    position: int
    column: Column
    unit: FileUnit | None = None
    is_si: bool = True
    """Whether formulas that name the column's key mean this one."""

    @property
    def heading(self) -> str:
        """Heading with its unit, as ``Length (m)``."""
        return f"{self.column.heading} ({self.unit.name})" if self.unit else self.column.heading

    @property
    def digits(self) -> int | None:
        """How many decimals are shown; None for text and for numbers whose unit stands beside them."""
        return self.unit.digits if self.unit else None

    def value(self, cell: Cell) -> Value:
        """What a cell holds in this column: a number on the safe side of what is shown, else its words."""
        if self.column.is_figure and cell.number is not None:
            return self._number(cell, cell.number)
        words = one_line(plain(cell.line))
        return None if words in ("", "–") else words

    def _number(self, cell: Cell, inside: float) -> float:
        unit = self.unit
        if unit is None:
            return round(inside, 9)
        if cell.us_number is not None and not self.is_si:
            inside = cell.us_number
        elif cell.figure is not None:
            inside = cell.figure.earned
        number = (inside - unit.offset) / unit.per
        if cell.figure is None or cell.figure.rounding == "nearest":
            return round(number, 9)
        return rounded(number, 10.0**-unit.digits, cell.figure.rounding)


def file_columns(table: Table, units: System) -> tuple[FileColumn, ...]:
    """The columns of a table in files; a measured one twice in a job in US units, feet first and metres beside."""
    made: list[FileColumn] = []
    for position in table.file_columns:
        column = table.columns[position]
        kind = column.kind
        if kind in ("text", "count", "number"):
            made.append(FileColumn(position, column))
            continue
        if units == "us" and kind in US:
            made.append(FileColumn(position, column, US[kind], is_si=False))
        made.append(FileColumn(position, column, SI[kind]))  # type: ignore[index]
    return tuple(made)


def file_rows(table: Table, columns: tuple[FileColumn, ...]) -> Iterator[tuple[Value, ...]]:
    """The values of every row."""
    for row in table.rows:
        yield tuple(each.value(row[each.position]) for each in columns)


def guarded(text: str) -> str:
    """Text with an apostrophe before it where a spreadsheet would read it as a formula (common practice)."""
    clean = one_line(text)
    return f"'{clean}" if clean.startswith(FORMULA_STARTS) else clean




def document_line(facts: DocumentHeader) -> str:
    """Number, revision, short fingerprint and whether the copy is a draft, on one line."""
    draft = ", DRAFT" if facts.draft else ""
    results = f", {facts.results}" if facts.results else ""
    return f"{facts.number}, revision {facts.revision}, {facts.fingerprint[:SHORT_FINGERPRINT]}{draft}{results}"


def csv_bytes(table: Table, facts: DocumentHeader, units: System) -> bytes:
    """The rows of ``table`` under headings with their units."""
    columns = file_columns(table, units)
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([*(each.heading for each in columns), "Source", "Document"])
    wrong = f", NOT GOOD: {table.banner}" if table.banner else ""
    ends = guarded(sources_text(table)), guarded(document_line(facts) + wrong)
    for row in file_rows(table, columns):
        writer.writerow([*(_written(value) for value in row), *ends])
    return out.getvalue().encode("utf-8", "replace")


def _written(value: Value) -> str | int | float:
    if value is None:
        return ""
    if isinstance(value, str):
        return guarded(value)
    return int(value) if float(value).is_integer() else value


def map_bytes(table: Table, places: Mapping[str, tuple[float, float]], header: DocumentHeader) -> bytes:
    """The rows of ``table`` whose first column names a box of ``places`` (longitude, latitude on WGS 84), in SI units.

    Text is data here as everywhere: JSON escapes it, and what a map shows of it is the map's business.
    """
    columns = file_columns(table, "metric")
    features: list[dict[str, Any]] = []
    for values in file_rows(table, columns):
        place = places.get(str(values[0]))
        if place is not None:
            told = {each.heading: value for each, value in zip(columns, values, strict=True) if value is not None}
            point = {"type": "Point", "coordinates": [round(part, DECIMALS) for part in place]}
            features.append({"type": "Feature", "id": str(values[0]), "geometry": point, "properties": told})
    record = {"type": "FeatureCollection", "document": document_line(header), "features": features}
    return (json_text(record) + "\n").encode("utf-8", "replace")
