"""The Table Schema of records: its words are those of the specification, and it takes good rows and no bad ones.

Checked here by our own reading of the specification's few rules that it uses: a reader of its own would bring some
forty packages.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from datetime import datetime
from pathlib import Path

import pytest

from slackloop.records.result import COLUMNS
from slackloop.render.json.results_record import RECORD_SCHEMA, record_schema

FIELD_KEYS = {"name", "type", "format", "title", "description", "constraints"}
CONSTRAINTS = {"required", "pattern"}
GOOD = {
    "box": "run:B012-B001", "check": "AB-LENGTH", "value": "38.5", "unit": "m", "by": "Ann",
    "when": "2026-03-09T14:05:00+01:00", "note": "",
}  # fmt: skip


def faults(rows: Iterable[Mapping[str, str]]) -> list[str]:
    """What the schema finds wrong in rows of a file; empty for a file that fits."""
    found = []
    for number, row in enumerate(rows, 2):
        for field in record_schema()["fields"]:
            cell, asked = row[field["name"]], field.get("constraints", {})
            if cell == "":
                found += [f"{number} {field['name']} is missing"] if asked.get("required") else []
            elif field["type"] == "datetime":
                try:
                    datetime.strptime(cell, field["format"])
                except ValueError:
                    found.append(f"{number} {field['name']} is no time with a zone")
            elif "pattern" in asked and not re.fullmatch(asked["pattern"], cell):
                found.append(f"{number} {field['name']} does not fit")
    return found


def test_the_schema_names_the_columns_in_their_order_in_words_of_the_specification() -> None:
    schema = record_schema()
    assert [field["name"] for field in schema["fields"]] == list(COLUMNS)
    assert set(schema) == {"$schema", "title", "fields", "missingValues"}
    for field in schema["fields"]:
        assert set(field) <= FIELD_KEYS
        assert field["type"] in ("string", "datetime")
        assert set(field.get("constraints", {})) <= CONSTRAINTS
        assert field["title"]
        assert field["description"].endswith(".")


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({}, []), ({"when": "2026-03-09T14:05:00Z"}, []), ({"value": "", "by": ""}, []),
        ({"box": ""}, ["2 box is missing"]), ({"check": ""}, ["2 check is missing"]),
        ({"check": "C 1"}, ["2 check does not fit"]), ({"when": ""}, ["2 when is missing"]),
        ({"when": "2026-03-09T14:05:00"}, ["2 when is no time with a zone"]),
        ({"when": "2026-03-09 14:05"}, ["2 when is no time with a zone"]),
    ],
)  # fmt: skip
def test_it_takes_good_rows_and_no_bad_ones(change: dict[str, str], found: list[str]) -> None:
    assert faults([{**GOOD, **change}]) == found


@pytest.mark.browser
def test_it_lies_beside_the_site(demo: Path) -> None:
    assert json.loads((demo / RECORD_SCHEMA).read_text(encoding="utf-8")) == record_schema()
