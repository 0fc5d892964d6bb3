"""A file of records as rows: what cannot be read is refused row by row, and every good row is kept.

The file is CSV with a head that names the columns, in any order, parted by commas or semicolons. A quote that is never
closed spoils its own row only. Records of several files are one list, the same whatever the order of the files.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from slackloop.records.result import COLUMNS, Record, Refused
from slackloop.source.source_file import UNPRINTABLE, read_regular
from slackloop.units.amount import count

LARGEST_BYTES = 50_000_000
"""Most bytes that a file of records may have: several times what 20,000 boxes take."""
MOST_ROWS = 1_000_000
MOST_REFUSED = 1_000
"""Refused rows of one file that are each told; those after them are counted."""
LONGEST_ROW = 20_000
"""Most characters of one row; a note of three pages."""
MOST_LINES = 60
"""Lines that a note may run over before its quote counts as never closed."""
LONGEST_NAME = 200
"""Most characters of a subject, a check, a unit or a name."""
FIRST_YEAR, LAST_YEAR = 2000, 2200
"""A device whose clock was never set says 1970."""
EXAMPLE = "2026-03-09T14:05:00+01:00"
_BREAK = re.compile("\r\n|\n|\r")
_NEUTRALISED = re.compile("'(?=[=+\\-@\t\r\n])")
_TIME = re.compile(r"[0-9]{4}-")
_QUOTED = re.compile(r'"(?:[^"]|"")*"')


@dataclass(frozen=True, slots=True)
class RecordFile:
    """What one file holds: its good rows in their order, and what was refused."""

    name: str
    records: tuple[Record, ...] = ()
    refused: tuple[Refused, ...] = ()
    is_read: bool = True
    """False for a file of which nothing could be read, its head among it."""


def read_records(path: Path, name: str = "") -> RecordFile:
    """Read one file; ``name`` is how messages call it."""
    name = name or str(path)
    raw, failure = read_regular(path, LARGEST_BYTES)
    if raw is None:
        return _none(name, failure.message)
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return _none(name, "the file is UTF-16, not UTF-8; save it again with the encoding UTF-8")
    return records_of(raw.decode("utf-8-sig", "surrogateescape"), name)


def records_of(text: str, name: str) -> RecordFile:
    """The rows of a text."""
    lines = _BREAK.split(text)
    if len(lines) > MOST_ROWS:
        return _none(name, f"the file has {len(lines):,} rows; at most {MOST_ROWS:,} are read")
    start = next((number for number, line in enumerate(lines) if line.strip() and not _is_hint(line)), None)
    if start is None:
        return _none(name, f"the file is empty; its first row names the columns: {','.join(COLUMNS)}")
    head = lines[start]
    delimiter = max(",;\t", key=head[:LONGEST_ROW].count)
    names = [each.strip().strip('"').casefold() for each in head[:LONGEST_ROW].split(delimiter)]
    lost = [column for column in COLUMNS if column not in names]
    if lost:
        what = f"column {lost[0]} is" if len(lost) == 1 else f"columns {', '.join(lost)} are"
        return _none(name, f"the {what} missing; the first row names the columns: {','.join(COLUMNS)}", start + 1)
    twice = next((column for column in COLUMNS if names.count(column) > 1), "")
    if twice:
        return _none(name, f"the column {twice} is there more than once", start + 1)
    reader = _Reader(name, delimiter, tuple(names.index(column) for column in COLUMNS), len(names))
    records: list[Record] = []
    refused: list[Refused] = []
    untold = 0
    for row, line in _rows(lines, start + 1, delimiter):
        try:
            if (record := reader.record(row, line)) is not None:
                records.append(record)
        except _BadRow as bad:
            untold += len(refused) >= MOST_REFUSED
            if len(refused) < MOST_REFUSED:
                refused.append(Refused(name, row, str(bad)))
    if untold:
        refused.append(Refused(name, 0, f"{count(untold, 'more row is', 'more rows are')} refused"))
    return RecordFile(name, tuple(records), tuple(refused))


class _BadRow(Exception):
    """A row that is refused; the message says why."""


def _none(name: str, message: str, row: int = 0) -> RecordFile:
    return RecordFile(name, refused=(Refused(name, row, message),), is_read=False)


def _is_hint(line: str) -> bool:
    """Whether a spreadsheet's first line says what parts the columns."""
    return line.strip().casefold() in ("sep=;", "sep=,")


def _rows(lines: Sequence[str], start: int, delimiter: str) -> Iterator[tuple[int, str]]:
    """Each row that says something, with its number; a row goes on over a line break inside quotes."""
    at, row = start, start + 1
    while at < len(lines):
        line, taken = lines[at], 1
        if _is_open(line, delimiter):
            line, taken = _whole(lines[at : at + MOST_LINES], delimiter)
        if line.strip():
            yield row, line
        at, row = at + taken, row + 1


def _whole(lines: Sequence[str], delimiter: str) -> tuple[str, int]:
    """A row that goes on over line breaks, and of how many lines; the first line alone where its quote never closes."""
    for taken in range(2, len(lines) + 1):
        if '"' in lines[taken - 1]:
            line = "\n".join(lines[:taken])
            if not _is_open(line, delimiter) and _is_csv(line, delimiter):
                return line, taken
    return lines[0], 1


def _is_csv(line: str, delimiter: str) -> bool:
    """Whether a strict reader takes the line: a quote that is left open must not take the rows after it along."""
    try:
        next(csv.reader([line], delimiter=delimiter, strict=True), [])
    except csv.Error:
        return False
    return True


def _is_open(line: str, delimiter: str) -> bool:
    """Whether a row ends inside quotes."""
    if '"' not in line or len(line) > LONGEST_ROW:
        return False
    rest = _QUOTED.sub("", line)
    return '"' in rest and any(cell.lstrip().startswith('"') for cell in rest.split(delimiter))


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads rows of one file; ``places`` are those of the columns among ``width`` cells."""

    name: str
    delimiter: str
    places: tuple[int, ...]
    width: int

    def record(self, row: int, line: str) -> Record | None:
        """One row; nothing for a row of empty cells. Raises ``_BadRow``."""
        cells = self._cells(line)
        if not any(cells):
            return None
        subject, check, value, unit, by, when, note = (cells[place] for place in self.places)
        for column, text in (("box", subject), ("check", check)):
            if not text:
                raise _BadRow(f"the cell {column} is empty, so nobody knows what was recorded")
        for column, text in (("box", subject), ("check", check), ("unit", unit), ("by", by)):
            if len(text) > LONGEST_NAME:
                raise _BadRow(f"the cell {column} has {len(text):,} characters; at most {LONGEST_NAME} are read")
        return Record(subject, check, value, unit, by, self._when(when), note, self.name, row)

    def _cells(self, line: str) -> list[str]:
        if len(line) > LONGEST_ROW:
            raise _BadRow(f"the row has {len(line):,} characters; at most {LONGEST_ROW:,} are read")
        bad = UNPRINTABLE.search(line)
        if bad is not None:
            code = ord(bad[0])
            if 0xDC80 <= code <= 0xDCFF:
                raise _BadRow(f"byte 0x{code - 0xDC00:02X} is not UTF-8 text; save the file again as UTF-8")
            raise _BadRow(f"the character U+{code:04X} cannot be part of a record")
        if _is_open(line, self.delimiter):
            raise _BadRow("a quote is opened and never closed")
        try:
            cells = line.split(self.delimiter)
            if '"' in line:
                cells = next(csv.reader([line], delimiter=self.delimiter), [])
        except csv.Error as wrong:
            raise _BadRow(f"the row is no CSV: {wrong}") from wrong
        cells = [(_NEUTRALISED.sub("", cell, count=1) if cell[:1] == "'" else cell).strip() for cell in cells]
        if any(cells[self.width :]) or (len(cells) > self.width and not _TIME.match(cells[self.places[5]])):
            raise _BadRow(
                f"the row has {count(len(cells), 'cell', 'cells')} and the first row {self.width}; "
                "put quotes round a cell that has the separator in it"
            )
        if len(cells) < self.width and any(cells) and len(cells) <= max(self.places[:-1]):
            raise _BadRow(f"the row has {count(len(cells), 'cell', 'cells')} and the first row {self.width}")
        return [*cells, *[""] * (self.width - len(cells))]

    def _when(self, text: str) -> datetime:
        """The time of a record, with its zone. Raises ``_BadRow``."""
        try:
            when = datetime.fromisoformat(text)
        except ValueError:
            what = f"{text[:40]} is no time" if text else "the time is missing"
            raise _BadRow(f"{what}; write it as {EXAMPLE}") from None
        if when.tzinfo is None:
            raise _BadRow(f"the time {text[:40]} has no time zone; write it as {EXAMPLE}")
        if not FIRST_YEAR <= when.year <= LAST_YEAR:
            raise _BadRow(f"the time {text[:40]} cannot be true; was the clock of the device set?")
        return when


Said = tuple[str, str, str, str, str, str, str]


def merged(records: Iterable[Record]) -> tuple[Record, ...]:
    """Every record once, by its time; of two that say the same at the same moment the first by file and row is kept.

    A record is the same one where all that it says is the same, so a file that is saved twice, or that two devices
    hold, changes nothing. The order does not rest on the order of the files.
    """
    kept: dict[Said, Record] = {}
    for each in records:
        same = what_it_says(each)
        other = kept.get(same)
        if other is None or (each.file, each.row) < (other.file, other.row):
            kept[same] = each
    return tuple(record for _, record in sorted(kept.items()))


def what_it_says(record: Record) -> Said:
    """What a record says, its time first and as one instant."""
    return (
        _instant(record), record.subject, record.check, record.value, record.unit, record.by, record.note,
    )  # fmt: skip


def _instant(record: Record) -> str:
    """The time in seconds since the epoch, as text that sorts."""
    return f"{record.when.timestamp():020.6f}"
