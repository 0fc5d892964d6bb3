"""A record in lines is the same record to every reader of JSON."""

from __future__ import annotations

import json
from typing import Any

import pytest

from slackloop.render.json.json_text import json_text

ROW = {"id": "B1", "volts": {"number": 24.5, "text": "24.5 V"}, "note": None, "deep": [{"a": [{"b": [1, "é"]}]}]}
RECORDS: tuple[Any, ...] = (
    {}, [], "a", None, True, {"a": {}, "b": [], "c": [[]]}, {"tables": [{"id": "t", "rows": [ROW, ROW]}]},
    [ROW, 1, "b"],
)  # fmt: skip


@pytest.mark.parametrize("record", RECORDS)
@pytest.mark.parametrize("encoding", ["utf-8", "latin-1"])
def test_the_record_is_read_back_as_it_was(record: Any, encoding: str) -> None:
    assert json.loads(json_text(record, encoding)) == record


def test_a_row_of_a_table_has_one_line() -> None:
    lines = json_text({"tables": [{"id": "t", "rows": [ROW, ROW]}]}).splitlines()
    assert len([line for line in lines if "B1" in line]) == 2
    assert max(len(line) - len(line.lstrip()) for line in lines) == 4
