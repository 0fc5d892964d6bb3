"""Points out of a table: CSV with a header, parted by commas, semicolons or tabs (RFC 4180 but for the delimiter).

What the files of a survey hold: rows of points with their places, and lines of trenches or pipes.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from slackloop.source.finding import Finding, Level, Placed, place_finding
from slackloop.source.source_file import read_source
from slackloop.source.suggestions import listed
from slackloop.survey.decimal_comma import parted_number, read_decimal_commas

MOST_BYTES = 16_000_000
"""Most bytes of one file of a survey: 20,000 points with all their columns take about 4 MB."""
MOST_POINTS = 20_000
"""Most points of a survey, as many as the boxes that a job file may hold in chains."""
MOST_PIECES = 10_000
"""Most straight pieces of all lines together: each is compared with every other one."""
MOST_FINDINGS = 200

COLUMNS: dict[str, tuple[str, ...]] = {
    "id": ("id", "box", "point"),
    "lon": ("lon", "longitude", "lng", "long"),
    "lat": ("lat", "latitude"),
    "x": ("x", "easting"),
    "y": ("y", "northing"),
    "unit": ("unit", "units"),
    "name": ("name", "title"),
    "stations": ("stations", "station"),
    "outputs": ("outputs",),
    "line": ("line",),
    **{
        key: (key,)
        for key in ("device", "address", "surface", "lead", "lead_cable", "cable", "connector", "solenoid", "cover",
                    "duct", "phase", "note", "electrode", "existing")
    },
}  # fmt: skip
"""Columns that are read, by the words that head them; the others are passed over."""
KEY_OF = {word: key for key, words in COLUMNS.items() for word in words}


@dataclass(frozen=True)
class SurveyFile:
    """One file by the name that messages use; its lines break where a line of CSV breaks."""

    name: str
    text: str

    @cached_property
    def lines(self) -> list[str]:
        """The lines without their breaks."""
        return [line.removesuffix("\r") for line in self.text.split("\n")]

    def place(self, finding: Finding, line: int = 1, words: str = "", column: int = 1) -> Placed:
        """A finding at a line, and where ``words`` are in it from ``column`` on; at ``column`` where they are not."""
        excerpt = self.lines[line - 1] if 0 < line <= len(self.lines) else ""
        found = excerpt.find(words, column - 1) if words else -1
        return place_finding(finding, self.name, line, found + 1 if found >= 0 else column, excerpt)


@dataclass(frozen=True)
class Row:
    """One point as its file states it; ``name`` is what messages call it, as ``row 3`` of a table, the header first."""

    file: SurveyFile
    line: int
    name: str
    cells: dict[str, str]
    """Texts by the key of their column, without outer spaces; an empty cell is left out."""
    column: int = 1
    """Where it begins in its line."""

    def wrong(self, message: str, words: str = "", expected: str = "", hint: str = "") -> Placed:
        """What is wrong with this row."""
        said = f"{self.name}: {message}"
        finding = Finding("error", "survey-row-wrong", said, expected=expected, hint=hint)
        return self.file.place(finding, self.line, words, self.column)


@dataclass
class Found:
    """What was read of some files: points, lines as lists of places, and what was found on the way."""

    rows: list[Row] = field(default_factory=list)
    lines: list[list[tuple[float, float]]] = field(default_factory=list)
    line_files: list[SurveyFile] = field(default_factory=list)
    findings: list[Placed] = field(default_factory=list)
    refused: bool = False
    """Whether a file as a whole was refused."""
    left_out: int = 0
    """How many findings were not kept."""
    said: list[str] = field(default_factory=list)
    """How files were read, where they can be read in two ways."""

    def keep(self, finding: Placed) -> None:
        """Keep a finding, while there are not too many."""
        if len(self.findings) < MOST_FINDINGS:
            self.findings.append(finding)
        else:
            self.left_out += 1

    def tell(self, file: SurveyFile, level: Level, code: str, message: str, line: int = 1, expected: str = "",
            hint: str = "", words: str = "") -> None:  # fmt: skip
        """Keep a finding at a place of a file."""
        self.keep(file.place(Finding(level, code, message, expected=expected, hint=hint), line, words))

    def refuse(self, file: SurveyFile, message: str, line: int = 1, expected: str = "", hint: str = "",
               words: str = "") -> None:  # fmt: skip
        """Refuse a file as a whole."""
        self.refused = True
        self.tell(file, "error", "survey-unreadable", message, line, expected, hint, words)

    def add_row(self, row: Row) -> bool:
        """Keep a point; false where there are too many."""
        if len(self.rows) == MOST_POINTS:
            self.refused = True
            self.tell(row.file, "error", "survey-too-large", f"{row.name}: these are more than {MOST_POINTS:,} points",
                     row.line, hint="split the survey into several jobs")  # fmt: skip
            return False
        self.rows.append(row)
        return True

    def add_line(self, file: SurveyFile, places: list[tuple[float, float]], line: int) -> bool:
        """Keep a line; false where all of them together have too many pieces."""
        if sum(len(each) - 1 for each in self.lines) + len(places) - 1 > MOST_PIECES:
            self.too_many_pieces(file, line)
            return False
        self.lines.append(places)
        if file not in self.line_files:
            self.line_files.append(file)
        return True

    def too_many_pieces(self, file: SurveyFile, line: int) -> None:
        """Refuse lines that are too much work."""
        self.refused = True
        self.tell(file, "error", "survey-too-large", f"the lines have more than {MOST_PIECES:,} straight pieces",
                  line, hint="give the lines of this job alone, or with fewer points on them")  # fmt: skip


def read_survey_file(path: Path) -> tuple[SurveyFile | None, tuple[Placed, ...]]:
    """Read a file as UTF-8 text, or say why not; characters that nothing can print are left for the rows to refuse."""
    source, findings = read_source(path, path.as_posix(), MOST_BYTES, printable_only=False)
    return (None if source is None else SurveyFile(source.name, source.text)), findings


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
    csv.field_size_limit(max(csv.field_size_limit(), len(file.text) + 1))  # a cell that is too long is told of its row
    reader = csv.reader(io.StringIO(file.text, newline=""), delimiter=delimiter)
    keys: list[str] = []
    unit, number, before, first = "", 0, 0, len(found.rows)
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
    read = "" if delimiter == "," else read_decimal_commas([row.cells for row in found.rows[first:]])
    if read:
        found.said.append(f"{Path(file.name).name}: {read}")
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
    parted = parted_number(keys, [cell.strip() for cell in cells])
    if parted or any(cell.strip() for cell in cells[len(keys) :]):
        said = f"{named}: it has {len(cells)} cells, and the first row has {len(keys)}"
        hint = "put a cell that has the delimiter in it in double quotes"
        if parted:
            key, text = parted
            said += f"; {key}: the comma of {text} parts it in two"
            hint = f"write {text.replace(',', '.')} if that is meant, or put semicolons between all columns"
        finding = Finding("error", "survey-row-wrong", said, hint=hint)
        found.keep(file.place(finding, line, parted[1] if parted else ""))
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
