"""Every table of a handbook that is given as a file: one CSV each, a workbook of all, and all as data (JSON)."""

from __future__ import annotations

from slackloop.document.book import Book
from slackloop.document.handover.box_list import BOXES_FILE, MAP_FILE
from slackloop.document.schedule_files import JSON_FILE, WORKBOOK, csv_file
from slackloop.document.tables.registry import file_tables
from slackloop.render.json.table_record import tables_json
from slackloop.render.workbook.csv_file import csv_bytes
from slackloop.render.workbook.map_file import map_bytes
from slackloop.render.workbook.workbook import workbook_bytes


def table_files(book: Book) -> dict[str, bytes]:
    """The files of a book by their address in the site."""
    tables, units, header = file_tables(book.context), book.context.units, book.header
    files = {csv_file(table.id): csv_bytes(table, header, units) for table in tables}
    if book.handover.boxes is not None:
        files[BOXES_FILE] = csv_bytes(book.handover.boxes, header, units)
    if book.handover.boxes is not None and MAP_FILE in book.handover.files and book.context.recorded is not None:
        files[MAP_FILE] = map_bytes(book.handover.boxes, book.context.recorded.as_built.lon_lat, header)
    return files | {WORKBOOK: workbook_bytes(tables, header, units), JSON_FILE: tables_json(tables, header)}
