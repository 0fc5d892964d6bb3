"""The columns of a file of records as a Table Schema, so that any tool that knows one can check the file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slackloop.records.result import COLUMNS

RECORD_SCHEMA = "records-schema.json"
_WORDS: Mapping[str, dict[str, Any]] = {
    "box": {
        "type": "string", "title": "Box", "constraints": {"required": True, "pattern": r"\S.*"},
        "description": "The id of a box, or run:ID, reel:NUMBER, crossing:ID, day:YEAR-MONTH-DAY, job.",
    },
    "check": {
        "type": "string", "title": "Check", "constraints": {"required": True, "pattern": r"\S+"},
        "description": "The id of the check, as on the card and the page.",
    },
    "value": {
        "type": "string", "title": "Value",
        "description": "A number with a point, yes or no for a tick, a name for a signature, or text. Nothing: taken "
        "away. A text that a spreadsheet would work out begins with an apostrophe, which is no part of it.",
    },
    "unit": {"type": "string", "title": "Unit", "description": "The unit of a number, as beside its field."},
    "by": {"type": "string", "title": "By", "description": "The person who wrote it."},
    "when": {
        "type": "datetime", "format": "%Y-%m-%dT%H:%M:%S%z", "title": "When", "constraints": {"required": True},
        "description": "The time with its distance from UTC, as 2026-03-09T14:05:00+01:00.",
    },
    "note": {"type": "string", "title": "Note", "description": "What more there is to say."},
}  # fmt: skip


def record_schema() -> dict[str, Any]:
    """The schema: a field for each column, in the order of the file."""
    return {
        "$schema": "https://specs.frictionlessdata.io/schemas/table-schema.json",
        "title": "Records of an installation",
        "fields": [{"name": name, **_WORDS[name]} for name in COLUMNS],
        "missingValues": [""],
    }
