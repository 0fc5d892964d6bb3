"""How a job stands by its records, as data for other programs.

The columns of a file of records as a Table Schema, so that any tool that knows one can check the file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from slackloop.records.report import NAMES, counted_by
from slackloop.records.result import COLUMNS, STATUSES, NonConformance, Record, Refused, Result, Results
from slackloop.render.json.check_record import number

FORMAT = 1


def results_record(
    results: Results, fingerprint: str, suspects: Sequence[dict[str, Any]] = ()
) -> dict[str, Any]:
    """Verdict, every result with the records before it, what was refused, what failed and whether it was closed.

    ``suspects`` are the places that loop readings outside their limits point at.
    """
    found = results.counts()
    return {
        "format": FORMAT,
        "fingerprint": fingerprint,
        "verdict": results.verdict,
        "counts": {status: found[status] for status in STATUSES},
        "by": {what: counted_by(results, what) for what in NAMES},
        "results": [_result(each) for each in results.results],
        "non_conformances": [_non_conformance(each) for each in results.non_conformances],
        "suspects": list(suspects),
        "rows_refused": rows_refused(results.refused),
        "notes": list(results.notes),
    }


def unread_record(refused: Iterable[Refused]) -> dict[str, Any]:
    """The record where nothing could be read."""
    return {
        "format": FORMAT, "fingerprint": None, "verdict": "refused", "counts": dict.fromkeys(STATUSES, 0), "by": {},
        "results": [], "non_conformances": [], "suspects": [], "rows_refused": rows_refused(refused), "notes": [],
    }  # fmt: skip


def rows_refused(refused: Iterable[Refused]) -> list[dict[str, Any]]:
    """Each refused row; row 0 is the file itself."""
    return [{"file": each.file, "row": each.row, "message": each.message} for each in refused]


def _result(result: Result) -> dict[str, Any]:
    due, record = result.due, result.record
    said = _record(record) if record is not None else dict.fromkeys(_NO_RECORD)
    return {
        "box": due.subject,
        "check": record.check if record is not None else due.ids[0],
        "checks": list(due.ids),
        "title": due.title,
        "stage": due.stage,
        "hold": due.hold,
        "requirements": list(due.requirements),
        **said,
        "unit": (record.unit if record is not None else "") or due.unit,
        "status": result.status,
        "number": number(result.number),
        "limit": result.limit,
        "least": number(result.least),
        "most": number(result.most),
        "limit_unit": due.unit,
        "why": result.why,
        "to_do": result.to_do,
        "earlier": [_record(each) for each in result.earlier],
    }


_NO_RECORD = "value", "unit", "by", "when", "note", "file", "row"


def _record(record: Record) -> dict[str, Any]:
    return {
        "value": record.value, "unit": record.unit, "by": record.by, "when": record.when.isoformat(),
        "note": record.note, "file": record.file, "row": record.row,
    }  # fmt: skip


def _non_conformance(each: NonConformance) -> dict[str, Any]:
    return {
        "box": each.due.subject, "check": each.record.check, "title": each.due.title, "status": each.status,
        **_record(each.record), "why": each.why, "to_do": each.to_do,
        "closed_by": _record(each.closed_by) if each.closed_by is not None else None,
    }  # fmt: skip


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
