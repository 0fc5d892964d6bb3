"""Tables as data: numbers in SI units beside the words that are shown, each table with the rows it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from slackloop.document.inline import plain
from slackloop.document.page import DocumentHeader
from slackloop.document.table import Cell, Column, Table
from slackloop.render.json.json_text import json_text
from slackloop.units.ladder import SI_UNITS


def tables_json(tables: Sequence[Table], header: DocumentHeader) -> bytes:
    """The document's facts and every table, as UTF-8."""
    record = {
        "document": {
            "number": header.number, "revision": header.revision, "date": header.date, "status": header.status,
            "fingerprint": header.fingerprint, "draft": header.draft,
            **({"results": header.results} if header.results else {}),
        },
        "tables": [table_record(table) for table in tables],
    }  # fmt: skip
    return (json_text(record) + "\n").encode("utf-8", "replace")


def table_record(table: Table) -> dict[str, Any]:
    """One table: columns with their units, rows by key of column, sources with how each was checked."""
    columns = [(n, table.columns[n]) for n in table.file_columns]
    sources = dict.fromkeys((row.source, row.checked) for row in table.rows_used)
    return {
        "id": table.id,
        "title": table.title,
        **({"not_good": table.banner} if table.banner else {}),
        "columns": [_column(column) for _, column in columns],
        "rows": [{column.key: _cell(row[n]) for n, column in columns} for row in table.rows],
        "basis": list(table.basis),
        "sources": [{"source": source, "checked": checked} for source, checked in sources],
    }


def _column(column: Column) -> dict[str, str]:
    unit = SI_UNITS.get(column.kind, "")
    return {"key": column.key, "heading": column.heading, "kind": column.kind} | ({"unit": unit} if unit else {})


def _cell(cell: Cell) -> Any:
    """A figure with its words, words alone, or nothing with the reason."""
    words = plain(cell.line).strip()
    if cell.number is not None:
        return {"number": cell.number, "text": words}
    if cell.why_not:
        return {"number": None, "why_not": cell.why_not}
    return None if words in ("", "–") else words
