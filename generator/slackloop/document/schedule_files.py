"""The names of the files of tables that a build puts beside its pages, so that pages can link to them."""

from __future__ import annotations

FOLDER = "schedules"
WORKBOOK = f"{FOLDER}/schedules.xlsx"
JSON_FILE = f"{FOLDER}/tables.json"


def csv_file(table_id: str) -> str:
    """The address of one table as comma-separated values (CSV)."""
    return f"{FOLDER}/{table_id}.csv"
