"""JSON as text that every reader takes, whatever the encoding of the output it goes to.

Tables as data: numbers in SI units beside the words that are shown, each table with the rows it rests on.

Two revisions compared, as data for other programs.
"""

from __future__ import annotations

import codecs
import json
import re
from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any

from slackloop.control.comparison import Change, Comparison
from slackloop.control.snapshot import Told
from slackloop.document.inline import plain
from slackloop.document.page import DocumentHeader
from slackloop.document.table import Cell, Column, Table
from slackloop.units.ladder import SI_UNITS

DEEPEST_LINES = 4
"""Levels of a record whose things have lines of their own: a table, its rows, each row."""
_AS_IT_IS, _ESCAPED = json.JSONEncoder(ensure_ascii=False).encode, json.JSONEncoder().encode
_STEERING = re.compile("[\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]")


def _escaped(mark: re.Match[str]) -> str:
    return f"\\u{ord(mark[0]):04x}"


def _in_lines(value: Any, encode: Callable[[Any], str], depth: int = 0) -> str:
    """JSON with a line for each thing of the first ``DEEPEST_LINES`` levels; what lies deeper goes on in its line.

    The encoder's own indent is many times slower, and gives each word of a table a line.
    """
    if depth == DEEPEST_LINES or not value or not isinstance(value, dict | list):
        return encode(value)
    space = "\n" + " " * depth
    if isinstance(value, list):
        return "[" + ",".join(f"{space} {_in_lines(each, encode, depth + 1)}" for each in value) + f"{space}]"
    named = (f"{encode(str(key))}: {_in_lines(each, encode, depth + 1)}" for key, each in value.items())
    return "{" + ",".join(f"{space} {each}" for each in named) + f"{space}}}"


def json_text(record: Any, encoding: str | None = "utf-8") -> str:
    """The record in lines, a row of a table or a finding on one.

    JSON is read as UTF-8. Where the output is in another encoding, or a file name holds bytes that are no text,
    JSON's own escapes stand for every character outside ASCII. They stand everywhere for marks that turn the
    direction of writing and for controls, which would steer a terminal.
    """
    text = _STEERING.sub(_escaped, _in_lines(record, _AS_IT_IS))
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return _in_lines(record, _ESCAPED)
    if codecs.lookup(encoding or "utf-8").name == "utf-8":
        return text
    return _in_lines(record, _ESCAPED)


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


FORMAT = 1


def changes_record(comparison: Comparison) -> dict[str, Any]:
    """Both revisions, every change with its readers and boxes, and every card that is void, new or gone, with why."""
    return {
        "format": FORMAT,
        "old": asdict(comparison.old),
        "new": asdict(comparison.new),
        "changes": [_change(each) for each in comparison.changes],
        "cards": {
            each.box: {
                "state": each.state,
                "why": [{"line": why.label, "old": why.old or None, "new": why.new or None} for why in each.why],
            }
            for each in comparison.cards
        },
        "void_cards": list(comparison.cards_that_are("void")),
    }


def _change(change: Change) -> dict[str, Any]:
    return {
        "kind": change.kind,
        "what": change.subject,
        "place": change.place,
        "old": _told(change.old),
        "new": _told(change.new),
        "boxes": list(change.boxes),
        "readers": list(change.readers),
        "key": change.key,
    }


def _told(told: Told) -> dict[str, Any] | None:
    """A text with its number and unit, where it is a figure; nothing where there was or is none."""
    if not told.text:
        return None
    return {"text": told.text} | ({"number": told.number, "unit": told.unit} if told.number is not None else {})
