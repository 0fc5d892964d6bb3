"""A table as comma-separated values (RFC 4180, UTF-8): its source and the document's facts end each row."""

from __future__ import annotations

import csv
import io

from slackloop.document.page import DocumentHeader
from slackloop.document.source_line import sources_text
from slackloop.document.table import Table
from slackloop.render.workbook.sheet import Value, file_columns, file_rows, guarded
from slackloop.units.ladder import System

SHORT_FINGERPRINT = 12


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
