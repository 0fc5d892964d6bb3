"""Points out of a table: CSV with a header, parted by commas, semicolons or tabs (RFC 4180 but for the delimiter).

Numbers with a decimal comma are read where no comma parts the columns, and told where one may part a number.

What the files of a survey hold: rows of points with their places, and lines of trenches or pipes.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations
from pathlib import Path

from slackloop.source.finding import Finding, Level, Placed, place_finding
from slackloop.source.source_file import read_source
from slackloop.source.suggestions import listed
from slackloop.units.amount import with_point

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
        finding = Finding("error", "survey-row-wrong", f"{self.name}: {message}", expected=expected, hint=hint)
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
               words: str = "", too_large: bool = False) -> bool:  # fmt: skip
        """Refuse a file as a whole; false, as nothing more of it is kept."""
        self.refused = True
        self.tell(file, "error", "survey-too-large" if too_large else "survey-unreadable", message, line, expected,
                  hint, words)  # fmt: skip
        return False

    def add_row(self, row: Row) -> bool:
        """Keep a point; false where there are too many."""
        if len(self.rows) == MOST_POINTS:
            return self.refuse(row.file, f"{row.name}: these are more than {MOST_POINTS:,} points", row.line,
                               hint="split the survey into several jobs", too_large=True)  # fmt: skip
        self.rows.append(row)
        return True

    def add_line(self, file: SurveyFile, places: list[tuple[float, float]], line: int) -> bool:
        """Keep a line; false where all of them together have too many pieces."""
        if sum(len(each) - 1 for each in self.lines) + len(places) - 1 > MOST_PIECES:
            return self.too_many_pieces(file, line)
        self.lines.append(places)
        if file not in self.line_files:
            self.line_files.append(file)
        return True

    def too_many_pieces(self, file: SurveyFile, line: int) -> bool:
        """Refuse lines that are too much work."""
        said = f"the lines have more than {MOST_PIECES:,} straight pieces"
        hint = "give the lines of this job alone, or with fewer points on them"
        return self.refuse(file, said, line, hint=hint, too_large=True)


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
    delimiter = max(",;\t", key=next((line for line in file.lines if line.strip()), "").count)
    csv.field_size_limit(max(csv.field_size_limit(), len(file.text) + 1))  # a cell that is too long is told of its row
    reader = csv.reader(io.StringIO(file.text, newline=""), delimiter=delimiter)
    keys: list[str] = []
    unit, number, before, first = "", 0, 0, len(found.rows)
    try:
        for number, cells in enumerate(reader, 1):
            start, before = before + 1, reader.line_num
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
    except csv.Error as problem:
        found.refuse(file, f"row {number + 1}: {str(problem).replace('field', 'cell')}", before + 1, _EXPECTED)
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
        if (key := KEY_OF.get(word, "")) and key in keys:
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


def _row(file: SurveyFile, keys: list[str], cells: list[str], unit: str, line: int, number: int,
         found: Found) -> Row | None:  # fmt: skip
    """One row; a row with more cells than the header has is refused."""
    row = Row(file, line, f"row {number}", {})
    parted = parted_number(keys, [cell.strip() for cell in cells])
    if parted or any(cell.strip() for cell in cells[len(keys) :]):
        said = f"it has {len(cells)} cells, and the first row has {len(keys)}"
        hint = "put a cell that has the delimiter in it in double quotes"
        if parted:
            key, text = parted
            said += f"; {key}: the comma of {text} parts it in two"
            hint = f"write {text.replace(',', '.')} if that is meant, or put semicolons between all columns"
        found.keep(row.wrong(said, parted[1] if parted else "", hint=hint))
        return None
    broken = next((cell for cell in cells if "\n" in cell.strip() or "\r" in cell.strip()), None)
    if broken is not None or any(len(cell) > MOST_CELL for cell in cells):
        wrong = f"a cell has more than {MOST_CELL:,} characters" if broken is None else "a cell runs over several lines"
        hint = "see whether a double quote is left open: the lines after it are lost with this row" if broken else ""
        found.keep(row.wrong(wrong, hint=hint))
        return None
    row.cells.update({key: cell.strip() for key, cell in zip(keys, cells, strict=False) if key and cell.strip()})
    if unit and "x" in keys:
        row.cells.setdefault("unit", unit)
    return row


PLACE_KEYS, LENGTH_KEYS = ("lon", "lat", "x", "y"), ("lead", "cover", "duct")
_WHOLE, _PART = re.compile(r"[-+]?[0-9]+"), re.compile(r"[0-9]+")
_DECIMAL_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")


def read_decimal_commas(rows: Sequence[dict[str, str]]) -> str:
    """Write the comma of ``40,5`` as a point in rows of one table, and say so; nothing where no place has one.

    Where other places have a point, a comma may set thousands apart: it is left, and the row is refused.
    """
    for row in rows:
        for key in LENGTH_KEYS:
            if "," in row.get(key, ""):
                row[key] = with_point(row[key])
    places = [(row, key) for row in rows for key in PLACE_KEYS if key in row]
    commas = [(row, key) for row, key in places if _DECIMAL_COMMA.fullmatch(row[key])]
    if not commas or any("." in row[key] for row, key in places):
        return ""
    text = max((row[key] for row, key in commas), key=lambda each: bool(each.strip("+-0,")))
    for row, key in commas:
        row[key] = row[key].replace(",", ".")
    return f"the comma in a number is read as a decimal comma: {text} is {text.replace(',', '.')}"


def parted_number(keys: Sequence[str], cells: Sequence[str]) -> tuple[str, str] | None:
    """The first number of a place that its own decimal comma may have parted in two, with its key.

    A row has too many cells then, and the numbers of its place are all there once some of them are joined again.
    """
    extra = len(cells) - len(keys)
    places = [at for at, key in enumerate(keys) if key in PLACE_KEYS]
    if not 0 < extra <= len(places):
        return None
    for joined in combinations(places, extra):
        numbers = _joined(cells, places, joined)
        if all(numbers.values()):
            return keys[joined[0]], numbers[joined[0]]
    return None


def _joined(cells: Sequence[str], places: Sequence[int], joined: Sequence[int]) -> dict[int, str]:
    """The numbers at some columns when two cells make one at each of ``joined``; empty where they are no number."""
    numbers: dict[int, str] = {}
    for at in places:
        first = at + sum(other < at for other in joined)
        whole, part = cells[first], cells[first + 1] if at in joined else ""
        good = _WHOLE.fullmatch(whole) and (at not in joined or _PART.fullmatch(part))
        numbers[at] = f"{whole},{part}".rstrip(",") if good else ""
    return numbers
