"""Numbers as text: a decimal comma is written as a point, and a comma that may part thousands is left."""

from __future__ import annotations

import pytest

from slackloop.units.amount import with_point


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("6,1", "6.1"), ("0,125", "0.125"), (",5", "0.5"), ("1,2345", "1.2345"), ("12,5 degC", "12.5 degC"),
        ("3,5 m (11,5 ft)", "3.5 m (11.5 ft)"), ("1,234", "1,234"), ("1,234.5", "1,234.5"), ("1,2,3", "1,2,3"),
        ("x,y", "x,y"), ("7", "7"),
    ],
)  # fmt: skip
def test_a_decimal_comma_is_a_point(text: str, read: str) -> None:
    assert with_point(text) == read
