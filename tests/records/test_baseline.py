"""Readings of later years against the first: limits by hand, and where a short would read what."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from slackloop.records.built_values import baseline, later_limits
from slackloop.records.result import Due, Record, Result, Status
from slackloop.site.effective_values import MeterError

ALPHA = 0.00393
METER = MeterError(0.01, 0.05)


def result(check: str, number: float, unit: str, status: Status = "pass") -> Result:
    record = Record("B1", check, str(number), unit, "A. Reyes", datetime(2026, 3, 9, tzinfo=UTC), "", "day.csv", 2)
    return Result(Due("B1", (check,), "number", check, unit), status, record, number)


def test_limits_of_a_later_reading_by_hand() -> None:
    low, high = later_limits(3.0, 20.0, METER, ALPHA)
    assert low == pytest.approx((3.0 - 0.08) * 0.99 - 0.05)
    assert high == pytest.approx((3.0 + 0.08) * 1.01 + 0.05)
    cold_low, cold_high = later_limits(3.0, 4.0, METER, ALPHA)
    rise = 1.0 - 16.0 * 0.00393
    assert cold_low == pytest.approx((3.0 - 0.08) / rise * 0.99 - 0.05)
    assert cold_high == pytest.approx((3.0 + 0.08) / rise * 1.01 + 0.05)
    assert later_limits(0.02, 20.0, METER, ALPHA)[0] == 0.0


def test_a_baseline_rests_on_what_passed_alone() -> None:
    results = [result("C-1", 3.0, "Ω"), result("SOIL-C", 4.0, "°C"), result("C-2", 120.0, "MΩ", "fail")]
    found = baseline("B1", results, {"C-1"}, {"C-2"}, METER, ALPHA)
    assert (found.loop_ohms, found.celsius) == (3.0, 4.0)
    assert found.loop_20c == pytest.approx(3.0 / (1.0 - 16.0 * 0.00393))
    assert found.insulation_ohms is None
    good = baseline("B1", [result("C-2", 120.0, "MΩ")], {"C-1"}, {"C-2"}, METER, ALPHA)
    assert good.insulation_ohms == 120e6
    assert good.loop_ohms is good.loop_20c is good.least_20c is None
