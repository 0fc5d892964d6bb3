"""Tables as one workbook (XLSX): a sheet each, totals and orders live, the document's facts on every sheet.

The same tables give the same bytes: times come from the document, and each formula carries the value that it comes
to, so that a reader which does not calculate shows it too.

Every table of a handbook that is given as a file: one CSV each, a workbook of all, and all as data (JSON).
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import Worksheet

from slackloop.document.book import Book
from slackloop.document.handover.box_list import BOXES_FILE, MAP_FILE
from slackloop.document.page import DocumentHeader
from slackloop.document.table import JSON_FILE, WORKBOOK, Table, csv_file, sources_text
from slackloop.document.tables.registry import file_tables
from slackloop.render.json.json_text import tables_json
from slackloop.render.workbook.sheet import (
    FORMULA_STARTS,
    FileColumn,
    Value,
    csv_bytes,
    document_line,
    file_columns,
    file_rows,
    map_bytes,
)
from slackloop.sections.text import one_line
from slackloop.units.ladder import System

HEAD_ROW = 5
"""Row of the headings, counted from 1: title, document, note and source stand above it."""
NARROWEST, WIDEST = 9, 48
LONGEST_TEXT = 32_767
"""Most characters that a cell holds."""
DOCUMENT_SHEET = "Document"
Paper = Literal["a4", "letter"]
PAPER_CODES: dict[Paper, int] = {"letter": 1, "a4": 9}
"""Numbers of paper sizes (ECMA-376 part 1, section 18.3.1.63, from memory)."""
_PLACE = re.compile(r"\{(?:([a-z-]+):)?([a-z-_]+)\}")
_FORBIDDEN = re.compile(r"[\[\]:*?/\\]")
LONGEST_NAME = 31
"""Most characters of the name of a sheet."""


@dataclass(frozen=True)
class _Sheet:
    """One table on its sheet."""

    table: Table
    columns: tuple[FileColumn, ...]
    rows: tuple[tuple[Value, ...], ...]
    name: str

    @property
    def last(self) -> int:
        """Last row of data, counted from 1; that of the headings where there is none."""
        return HEAD_ROW + len(self.rows)

    def letter(self, key: str) -> str:
        """Letter of the column that formulas call ``key``: the one in SI units."""
        return str(
            xl_col_to_name(next(n for n, each in enumerate(self.columns) if each.is_si and each.column.key == key))
        )

    def cells(self, key: str) -> str:
        """All data of a column, for use in a formula of another sheet."""
        letter = self.letter(key)
        return f"'{self.name}'!${letter}${HEAD_ROW + 1}:${letter}${max(self.last, HEAD_ROW + 1)}"


class _Looks:
    """The looks of cells, each made once."""

    def __init__(self, book: xlsxwriter.Workbook) -> None:
        self._book = book
        self._made: dict[tuple[tuple[str, object], ...], Format] = {}

    def __call__(self, **look: object) -> Format:
        key = tuple(look.items())
        if key not in self._made:
            self._made[key] = self._book.add_format(look)
        return self._made[key]


def workbook_bytes(tables: Sequence[Table], facts: DocumentHeader, units: System) -> bytes:
    """A workbook of ``tables`` with a sheet for the document before them; on Letter paper for a job in US units."""
    out = io.BytesIO()
    options = {
        "in_memory": True, "strings_to_formulas": False, "strings_to_numbers": False, "strings_to_urls": False,
    }  # fmt: skip
    book = xlsxwriter.Workbook(out, options)
    looks, paper = _Looks(book), PAPER_CODES["letter" if units == "us" else "a4"]
    book.set_properties(
        {
            "author": one_line(facts.contractor), "title": one_line(f"{facts.number} {facts.title}: schedules"),
            "created": datetime.fromisoformat(facts.date),
        }
    )  # fmt: skip
    front = book.add_worksheet(DOCUMENT_SHEET)
    sheets = {table.id: _sheet(table, units) for table in tables}
    _document(front, list(sheets.values()), facts, looks)
    _page(front, DOCUMENT_SHEET, facts, paper)
    for each in sheets.values():
        sheet = book.add_worksheet(each.name)
        _head(sheet, each, facts, looks)
        _body(sheet, each, sheets, looks)
        _totals(sheet, each, looks)
        _column_widths(sheet, each)
        _page(sheet, each.name, facts, paper)
    book.close()
    return out.getvalue()


def _sheet(table: Table, units: System) -> _Sheet:
    columns = file_columns(table, units)
    return _Sheet(table, columns, tuple(file_rows(table, columns)), _FORBIDDEN.sub(" ", table.title)[:LONGEST_NAME])


def _document(sheet: Worksheet, sheets: Sequence[_Sheet], facts: DocumentHeader, looks: _Looks) -> None:
    """The facts of the document, and every sheet by name."""
    rows = [
        ("Number", facts.number), ("Title", facts.title), ("Site", facts.site), ("Contractor", facts.contractor),
        ("Revision", facts.revision), ("Date", facts.date), ("Status", facts.status),
        ("Fingerprint", facts.fingerprint),
        ("Good for", "Draft: do not order or build from this copy" if facts.draft else "Ordering and checking"),
    ]  # fmt: skip
    _text(sheet, 0, 0, "Schedules", looks, bold=True, font_size=14)
    for n, (label, value) in enumerate(rows, start=2):
        _text(sheet, n, 0, label, looks, bold=True)
        _text(sheet, n, 1, value, looks)
    start = len(rows) + 3
    _text(sheet, start, 0, "Sheets", looks, bold=True)
    for n, each in enumerate(sheets):
        look = looks(underline=1, font_color="#0B5394")
        sheet.write_url(start + n, 1, f"internal:'{each.name}'!A1", look, each.name)
    note = (
        "Figures are computed from the job file. Quantities are before waste and spares; orders are in whole reels and "
        "packs. Colours, limits and device data are those of the job file. The makers' sheets come before this file."
    )
    _text(sheet, start + len(sheets), 0, note, looks)
    sheet.set_column(0, 0, 16)
    sheet.set_column(1, 1, 70)


def _head(sheet: Worksheet, each: _Sheet, facts: DocumentHeader, looks: _Looks) -> None:
    """Title, document, what is wrong and source over the headings."""
    table = each.table
    _text(sheet, 0, 0, table.title, looks, bold=True, font_size=14)
    about = f"{document_line(facts)}. {facts.title}, {facts.site}. {facts.date}, {facts.status}."
    _text(sheet, 1, 0, about, looks, **({"bold": True, "font_color": "#B00020"} if facts.draft else {}))
    if table.banner:
        _text(sheet, 2, 0, f"Do not build from this table. {table.banner}", looks, bold=True, font_color="#B00020")
    _text(sheet, 3, 0, f"Source: {sources_text(table)}.", looks, italic=True)
    for n, column in enumerate(each.columns):
        _text(sheet, HEAD_ROW - 1, n, column.heading, looks, bold=True, bg_color="#E3E7EA", text_wrap=True,
              valign="bottom", top=1, bottom=1)  # fmt: skip
    sheet.freeze_panes(HEAD_ROW, 1)
    sheet.autofilter(HEAD_ROW - 1, 0, max(each.last, HEAD_ROW + 1) - 1, len(each.columns) - 1)
    sheet.repeat_rows(HEAD_ROW - 1)


def _body(sheet: Worksheet, each: _Sheet, sheets: Mapping[str, _Sheet], looks: _Looks) -> None:
    """Every row: numbers as numbers, text as text, formulas live."""
    number_looks = [_number_look(looks, column) for column in each.columns]
    for at, (row, cells) in enumerate(zip(each.rows, each.table.rows, strict=True), start=HEAD_ROW):
        for n, (value, column) in enumerate(zip(row, each.columns, strict=True)):
            formula = cells[column.position].formula
            if value is None:
                continue
            if isinstance(value, str):
                _text(sheet, at, n, value, looks, valign="top", text_wrap=len(value) > WIDEST)
            elif formula and column.is_si:
                sheet.write_formula(at, n, _resolved(formula, each, sheets, at + 1), number_looks[n], value)
            else:
                sheet.write_number(at, n, value, number_looks[n])


def _number_look(looks: _Looks, column: FileColumn, **more: object) -> Format:
    shape = {} if not column.digits else {"num_format": f"#,##0.{'0' * column.digits}"}
    return looks(valign="top", **shape, **more)


def _resolved(text: str, each: _Sheet, sheets: Mapping[str, _Sheet], row: int) -> str:
    """A formula with the cells it names by key: ``{key}`` of its own row, ``{table:key}`` all of a column."""

    def place(found: re.Match[str]) -> str:
        other, key = found.groups()
        return sheets[other].cells(key) if other else f"{each.letter(key)}{row}"

    return _PLACE.sub(place, text)


def _totals(sheet: Worksheet, each: _Sheet, looks: _Looks) -> None:
    """A row of live sums under the data."""
    if not each.rows or not any(column.column.total for column in each.columns):
        return
    line = {"bold": True, "top": 1, "bottom": 1}
    _text(sheet, each.last, 0, "In all", looks, **line)
    for n, column in enumerate(each.columns):
        if not column.column.total:
            if n:
                sheet.write_blank(each.last, n, None, looks(**line))
            continue
        letter = xl_col_to_name(n)
        total = math.fsum(row[n] for row in each.rows if isinstance(row[n], int | float))  # type: ignore[misc]
        formula = f"=SUM({letter}{HEAD_ROW + 1}:{letter}{each.last})"
        sheet.write_formula(each.last, n, formula, _number_look(looks, column, **line), round(total, 9))


def _text(sheet: Worksheet, row: int, column: int, text: str, looks: _Looks, **look: object) -> None:
    """Write text; it stays text whatever it starts with."""
    clean = one_line(text)[:LONGEST_TEXT]
    if clean.startswith(FORMULA_STARTS):
        look["quote_prefix"] = True
    if clean:
        sheet.write_string(row, column, clean, looks(**look))


def _column_widths(sheet: Worksheet, each: _Sheet) -> None:
    """Columns as wide as their longest word or figure, within limits."""
    for n, column in enumerate(each.columns):
        longest = max((len(text) for row in each.rows if isinstance(text := row[n], str)), default=0)
        word = max(len(part) for part in column.heading.split())
        sheet.set_column(n, n, min(max(NARROWEST, longest, word, (len(column.heading) + 1) // 2) + 2, WIDEST))


def _page(sheet: Worksheet, name: str, facts: DocumentHeader, paper: int) -> None:
    """Paper, one page wide, with the document's facts at the foot of each sheet."""
    sheet.set_landscape()
    sheet.set_paper(paper)
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.4, right=0.4)
    line = one_line(document_line(facts)).replace("&", "&&")[:120]
    sheet.set_footer(f"&L{line}&C{name.replace('&', '&&')}&RPage &P of &N")


def table_files(book: Book) -> dict[str, bytes]:
    """The files of a book by their address in the site."""
    tables, units, header = file_tables(book.context), book.context.units, book.header
    files = {csv_file(table.id): csv_bytes(table, header, units) for table in tables}
    if book.handover.boxes is not None:
        files[BOXES_FILE] = csv_bytes(book.handover.boxes, header, units)
    if book.handover.boxes is not None and MAP_FILE in book.handover.files and book.context.recorded is not None:
        files[MAP_FILE] = map_bytes(book.handover.boxes, book.context.recorded.as_built.lon_lat, header)
    return files | {WORKBOOK: workbook_bytes(tables, header, units), JSON_FILE: tables_json(tables, header)}
