"""Points out of a table: CSV with a header, parted by commas, semicolons or tabs (RFC 4180 but for the delimiter)."""

from __future__ import annotations

import csv
import io
import re

from slackloop.source.finding import Finding
from slackloop.source.suggestions import listed
from slackloop.survey.rows import KEY_OF, Found, Row, SurveyFile

MOST_CELL = 4_000
"""Most characters of a cell, more than any text of a job may have."""
UNITS = {
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "ft": "ft", "foot": "ft", "feet": "ft", "us-ft": "us-ft", "us_ft": "us-ft", "ftus": "us-ft",
}  # fmt: skip
"""Units of x and y by the words for them: metre, foot, US survey foot."""
_HEADING = re.compile(r"(?P<word>.+?)[\s_]*[\[(_ ]\s*(?P<unit>us[-_]ft|[a-z]+)\s*[\])]?")
_EXPECTED = "a first row that names the columns: id with lon and lat, or id with x and y"


def read_csv(file: SurveyFile, found: Found) -> None:
    """Read every row of a table into ``found``."""
    heading_line = next((line for line in file.lines if line.strip()), "")
    delimiter = max(",;\t", key=heading_line.count)
    csv.field_size_limit(len(file.text) + 1)  # a cell that is too long is told of its row
    reader = csv.reader(io.StringIO(file.text, newline=""), delimiter=delimiter)
    keys: list[str] = []
    unit, number, before = "", 0, 0
    while True:
        start = before + 1
        try:
            cells = next(reader)
        except StopIteration:
            break
        except csv.Error as problem:
            number += 1
            found.refuse(file, f"row {number}: {str(problem).replace('field', 'cell')}", start, _EXPECTED)
            return
        before, number = reader.line_num, number + 1
        if not any(cell.strip() for cell in cells):
            continue
        if not keys:
            keys, unit = _keys(file, cells, start, found)
            if not keys:
                return
            continue
        row = _row(file, keys, cells, unit, start, number, found)
        if row is not None and not found.add_row(row):
            return
    if not keys and not found.refused:
        found.refuse(file, "the file is empty", expected=_EXPECTED)


def _keys(file: SurveyFile, heading: list[str], line: int, found: Found) -> tuple[list[str], str]:
    """The key of each column, empty for one that is passed over, and the unit of x and y where the header names one."""
    keys: list[str] = []
    units: set[str] = set()
    for cell in heading:
        word = cell.strip().casefold()
        match = _HEADING.fullmatch(word)
        if word not in KEY_OF and match and KEY_OF.get(match["word"]) in ("x", "y") and match["unit"] in UNITS:
            word = match["word"]
            units.add(UNITS[match["unit"]])
        key = KEY_OF.get(word, "")
        if key and key in keys:
            found.refuse(file, f"two columns give the {key} of a point", line, words=cell.strip())
            return [], ""
        keys.append(key)
    if not ({"lon", "lat"} <= set(keys) or {"x", "y"} <= set(keys)):
        found.refuse(file, "no columns give the place of a point", line, _EXPECTED)
        return [], ""
    if {"lon", "lat"} <= set(keys):  # a table with both is taken by longitude and latitude
        keys = ["" if key in ("x", "y", "unit") else key for key in keys]
    elif len(units) > 1:
        found.refuse(file, "x and y have different units", line, "one unit, as x_m and y_m")
        return [], ""
    over = [cell.strip()[:40] for cell, key in zip(heading, keys, strict=True) if not key and cell.strip()]
    if over:
        said = f"columns that are not read: {listed(over)}"
        found.tell(file, "note", "survey-passed-over", said, line, words=over[0])
    return keys, next(iter(units), "")


def _row(
    file: SurveyFile, keys: list[str], cells: list[str], unit: str, line: int, number: int, found: Found
) -> Row | None:
    """One row; a row with more cells than the header has is refused."""
    named = f"row {number}"
    if any(cell.strip() for cell in cells[len(keys) :]):
        finding = Finding("error", "survey-row-wrong", f"{named}: it has more cells than the first row",
                          hint="put a cell that has the delimiter in it in double quotes")  # fmt: skip
        found.keep(file.place(finding, line))
        return None
    broken = next((cell for cell in cells if "\n" in cell.strip() or "\r" in cell.strip()), None)
    if broken is not None or any(len(cell) > MOST_CELL for cell in cells):
        wrong = f"a cell has more than {MOST_CELL:,} characters" if broken is None else "a cell runs over several lines"
        hint = "see whether a double quote is left open: the lines after it are lost with this row" if broken else ""
        found.keep(file.place(Finding("error", "survey-row-wrong", f"{named}: {wrong}", hint=hint), line))
        return None
    known = {key: cell.strip() for key, cell in zip(keys, cells, strict=False) if key and cell.strip()}
    if unit and "x" in keys:
        known.setdefault("unit", unit)
    return Row(file, line, named, known)
