"""The schedules as one workbook (XLSX): a sheet each, totals and orders live, the document's facts on every sheet.

The same schedules give the same bytes: times come from the document, and each formula carries the value that it
comes to, so that a reader which does not calculate shows it too.
"""

from __future__ import annotations

import io
import math
import re
import zipfile
from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.cell.cell import MergedCell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.styles.cell_style import StyleArray
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from slackloop.handbook.page import DocumentHeader
from slackloop.publish.schedule import FORMULA_STARTS, Cell, Formula, Schedule, document_line, plain_text

HEAD_ROW = 5
"""Row of the headings: title, document and note stand above it."""
NARROWEST, WIDEST = 9, 48
LONGEST_TEXT = 32_767
"""Most characters that a cell holds."""
DOCUMENT_SHEET = "Document"

_PLACE = re.compile(r"\{(?:([a-z-]+):)?([^}]+)\}")
_FORMULA_CELL = re.compile(r'(<c r="([A-Z]+[0-9]+)"[^>]*><f>[^<]*</f>)<v ?/>')
_MODIFIED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*(<)")
_HEAD_FILL = PatternFill("solid", start_color="FFE3E7EA", end_color="FFE3E7EA")
_LINE = Side(style="thin", color="FF6B7780")


@dataclass
class _Sheet:
    """One sheet being written, and the values that its formulas come to."""

    schedule: Schedule
    sheet: Worksheet
    values: dict[str, float] = field(default_factory=dict)

    @property
    def first(self) -> int:
        """First row of data."""
        return HEAD_ROW + 1

    @property
    def last(self) -> int:
        """Last row of data; before the first where there is none."""
        return HEAD_ROW + len(self.schedule.rows)

    def letter(self, title: str) -> str:
        """Letter of a column by its heading with unit."""
        return get_column_letter(self.schedule.titles.index(title) + 1)

    def cells(self, title: str) -> str:
        """All data of a column, for use in a formula of another sheet."""
        letter = self.letter(title)
        return f"'{self.schedule.title}'!${letter}${self.first}:${letter}${max(self.last, self.first)}"


def workbook_bytes(schedules: Sequence[Schedule], facts: DocumentHeader, *, paper: Literal["a4", "letter"]) -> bytes:
    """A workbook of ``schedules`` with a sheet for the document before them."""
    book = Workbook()
    front = book.active
    assert isinstance(front, Worksheet)
    front.title = DOCUMENT_SHEET
    sheets = {each.name: _Sheet(each, book.create_sheet(each.title)) for each in schedules}
    _document(front, schedules, facts)
    for each in sheets.values():
        _head(each, facts)
        _body(each, sheets)
        _totals(each)
        _widths(each)
    for sheet in book.worksheets:
        _page(sheet, facts, paper)
    when = datetime.fromisoformat(facts.date)
    book.properties.creator = plain_text(facts.contractor)
    book.properties.title = plain_text(f"{facts.number} {facts.title}: schedules")
    book.properties.created = when
    raw = io.BytesIO()
    book.save(raw)
    names = {f"xl/worksheets/sheet{n}.xml": each for n, each in enumerate(sheets.values(), start=2)}
    return _fixed(raw.getvalue(), when, {name: each.values for name, each in names.items()})


def _document(sheet: Worksheet, schedules: Sequence[Schedule], facts: DocumentHeader) -> None:
    """The facts of the document, and every sheet by name."""
    rows = [
        ("Number", facts.number), ("Title", facts.title), ("Site", facts.site), ("Contractor", facts.contractor),
        ("Revision", facts.revision), ("Date", facts.date), ("Status", facts.status),
        ("Fingerprint", facts.fingerprint),
        ("Good for", "Draft: do not order or build from this copy" if facts.draft else "Ordering and checking"),
    ]  # fmt: skip
    _put(_cell(sheet, 1, 1), "Schedules").font = Font(bold=True, size=14)
    for n, (label, value) in enumerate(rows, start=3):
        _put(_cell(sheet, n, 1), label).font = Font(bold=True)
        _put(_cell(sheet, n, 2), value)
    start = len(rows) + 4
    _put(_cell(sheet, start, 1), "Sheets").font = Font(bold=True)
    for n, each in enumerate(schedules):
        cell = _put(_cell(sheet, start + n, 2), each.title)
        cell.hyperlink = f"#'{each.title}'!A1"
        cell.font = Font(underline="single", color="FF0B5394")
    note = (
        "Figures are computed from the job file. Quantities are before waste and spares; orders are in whole reels and "
        "packs. Colours, limits and device data are those of the job file. The makers' sheets come before this file."
    )
    _put(_cell(sheet, start + len(schedules) + 1, 1), note)
    sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 16, 70


def _head(each: _Sheet, facts: DocumentHeader) -> None:
    """Title, document and note over the headings."""
    sheet = each.sheet
    _put(_cell(sheet, 1, 1), each.schedule.title).font = Font(bold=True, size=14)
    _put(_cell(sheet, 2, 1), f"{document_line(facts)}. {facts.title}, {facts.site}. {facts.date}, {facts.status}.")
    if facts.draft:
        _cell(sheet, 2, 1).font = Font(bold=True, color="FFB00020")
    _put(_cell(sheet, 3, 1), each.schedule.note).font = Font(italic=True)
    for n, title in enumerate(each.schedule.titles, start=1):
        cell = _put(_cell(sheet, HEAD_ROW, n), title)
        cell.font, cell.fill = Font(bold=True), _HEAD_FILL
        cell.alignment = Alignment(wrap_text=True, vertical="bottom")
        cell.border = Border(bottom=_LINE, top=_LINE)
    sheet.freeze_panes = _cell(sheet, HEAD_ROW + 1, 2)
    end = get_column_letter(len(each.schedule.columns))
    sheet.auto_filter.ref = f"A{HEAD_ROW}:{end}{max(each.last, each.first)}"
    sheet.print_title_rows = f"{HEAD_ROW}:{HEAD_ROW}"


def _body(each: _Sheet, sheets: Mapping[str, _Sheet]) -> None:
    """Every row: numbers as numbers, text as text, formulas live.

    A look is made once and copied: making it anew for each cell takes longer than all the rest.
    """
    looks: dict[tuple[bool, int | None], StyleArray] = {}
    for at, row in enumerate(each.schedule.rows, start=each.first):
        for n, (value, column) in enumerate(zip(row, each.schedule.columns, strict=True), start=1):
            if value is None:
                continue
            cell, text = _cell(each.sheet, at, n), isinstance(value, str)
            look = isinstance(value, str) and len(value) > WIDEST, None if text else column.digits
            if look not in looks:
                cell.alignment = Alignment(vertical="top", wrap_text=look[0])
                if look[1] is not None:
                    cell.number_format = f"#,##0.{'0' * look[1]}"
                looks[look] = copy(cell._style)  # type: ignore[attr-defined]  # the stubs leave it out
            cell._style = copy(looks[look])  # type: ignore[attr-defined]  # as above
            if isinstance(value, Formula):
                _live(each, cell, _resolved(value.text, each, sheets, at), value.value)
            else:
                _put(cell, value)


def _resolved(text: str, each: _Sheet, sheets: Mapping[str, _Sheet], row: int) -> str:
    """A formula with the cells it names by heading: ``{Heading}`` of its own row, ``{schedule:Heading}`` all."""

    def place(found: re.Match[str]) -> str:
        other, title = found.groups()
        return sheets[other].cells(title) if other else f"{each.letter(title)}{row}"

    return _PLACE.sub(place, text)


def _totals(each: _Sheet) -> None:
    """A row of live sums under the data."""
    if not (each.schedule.totals and each.schedule.rows):
        return
    at = each.last + 1
    _put(_cell(each.sheet, at, 1), "In all")
    for title in each.schedule.totals:
        n = each.schedule.titles.index(title)
        letter, cells = get_column_letter(n + 1), [row[n] for row in each.schedule.rows]
        total = math.fsum(_figure(cell) for cell in cells)
        _live(each, _cell(each.sheet, at, n + 1), f"=SUM({letter}{each.first}:{letter}{each.last})", total)
        digits = each.schedule.columns[n].digits
        _cell(each.sheet, at, n + 1).number_format = f"#,##0.{'0' * digits}" if digits else "#,##0"
    for n in range(1, len(each.schedule.columns) + 1):
        cell = _cell(each.sheet, at, n)
        cell.font, cell.border = Font(bold=True), Border(top=_LINE, bottom=_LINE)


def _figure(cell: Cell | Formula) -> float:
    """What a cell adds to a sum: text and nothing add nothing."""
    value = cell.value if isinstance(cell, Formula) else cell
    return float(value) if isinstance(value, int | float) else 0.0


def _live(each: _Sheet, cell: SheetCell, formula: str, value: float) -> None:
    cell.value = formula
    each.values[cell.coordinate] = round(value, 9)


def _cell(sheet: Worksheet, row: int, column: int) -> SheetCell:
    """A cell to write; no sheet here has merged cells."""
    cell = sheet.cell(row, column)
    assert not isinstance(cell, MergedCell)
    return cell


def _put(cell: SheetCell, value: Cell) -> SheetCell:
    """Write a value; text is text whatever it starts with."""
    if isinstance(value, str):
        text = plain_text(value)[:LONGEST_TEXT]
        cell.value = text or None
        if text.startswith(FORMULA_STARTS):
            cell.data_type, cell.quotePrefix = "s", True
    else:
        cell.value = value
    return cell


def _widths(each: _Sheet) -> None:
    """Columns as wide as their longest word or figure, within limits."""
    for n, column in enumerate(each.schedule.columns):
        texts = [row[n] for row in each.schedule.rows if isinstance(row[n], str)]
        longest = max((len(str(text)) for text in texts), default=0)
        word = max(len(part) for part in column.title.split())
        width = min(max(NARROWEST, longest, word, (len(column.title) + 1) // 2) + 2, WIDEST)
        each.sheet.column_dimensions[get_column_letter(n + 1)].width = width


def _page(sheet: Worksheet, facts: DocumentHeader, paper: Literal["a4", "letter"]) -> None:
    """Paper, one page wide, with the document's facts at the foot of each sheet."""
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = int(sheet.PAPERSIZE_A4 if paper == "a4" else sheet.PAPERSIZE_LETTER)
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_margins.left = sheet.page_margins.right = 0.4
    foot = HeaderFooterItem()
    foot.left.text = document_line(facts).replace("&", "&&")[:120]
    foot.center.text = sheet.title
    foot.right.text = "Page &P of &N"
    sheet.oddFooter = foot


def _fixed(raw: bytes, when: datetime, values: Mapping[str, Mapping[str, float]]) -> bytes:
    """The file with fixed times, and with the value of each formula beside it."""
    stamp = (max(when.year, 1980), when.month, when.day, 0, 0, 0)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for name in source.namelist():
            data = source.read(name)
            if name == "docProps/core.xml":
                data = _MODIFIED.sub(rb"\g<1>" + f"{when:%Y-%m-%dT%H:%M:%SZ}".encode() + rb"\2", data)
            if name in values:
                data = _with_values(data.decode(), values[name]).encode()
            entry = zipfile.ZipInfo(name, stamp)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            target.writestr(entry, data)
    return out.getvalue()


def _with_values(xml: str, values: Mapping[str, float]) -> str:
    """A sheet's XML with what each formula comes to."""
    return _FORMULA_CELL.sub(lambda cell: f"{cell[1]}<v>{escape(f'{values[cell[2]]:.12g}')}</v>", xml)
