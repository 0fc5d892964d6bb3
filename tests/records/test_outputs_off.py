"""Volts with all outputs off go by those read at the controller on the same day; where nobody read them, it is said."""

from __future__ import annotations

import pytest

from records.record_samples import DEMO, due_of, file_of, judge, result_of, row
from slackloop.records.result import Result

DAY = "2024-06-03"
BOX, CHECK, CONTROLLER = "B20", "C-POWER-2", "C-POWER-VOLTS"


def stands(read: str, *controller: tuple[str, str], at: str = f"{DAY}T10:00:00Z", unit: str = "V") -> Result:
    """How volts at B20 stand; ``controller`` are readings there, each with its time."""
    rows = [row(BOX, CHECK, read, unit, when=at)]
    rows += [row(f"day:{when[:10]}", CONTROLLER, value, "V", when=when) for value, when in controller]
    return result_of(judge(file_of(rows)), BOX, CHECK)


def test_the_limit_of_b20_is_one_volt_and_a_tenth_below_the_controller() -> None:
    off = due_of(BOX, CHECK, DEMO).off
    assert off is not None
    assert (off.most_below, off.unread, off.floor) == (1.1, 35.4, 22.0)


def test_what_the_device_needs_is_not_enough() -> None:
    """24 V is more than the 22 V that the device needs, and shows that something is badly wrong."""
    found = stands("24", ("36.2", f"{DAY}T08:00:00Z"))
    assert (found.status, found.least) == ("fail", 35.1)
    assert found.why == "24 V is outside the limits: 35.1 V or more, by 36.2 V at the controller"
    assert found.to_do.startswith("Stop if the volts are further below those at the controller than the card says.")


@pytest.mark.parametrize(
    ("read", "controller", "status"),
    [
        ("35.1", "36.2", "pass"), ("35.0", "36.2", "fail"), ("35.6", "36.7", "pass"), ("35.5", "36.7", "fail"),
        ("33.0", "34.1", "outstanding"), ("32.9", "34.1", "fail"), ("22.0", "22.8", "outstanding"),
        ("21.9", "22.8", "fail"), ("22.5", "18.1", "implausible"),
        ("37.1", "36.2", "pass"), ("37.2", "36.2", "implausible"),
        ("35000 mV", "36", "pass"),
        ("<36", "36", "fail"),
    ],
)  # fmt: skip
def test_it_goes_by_the_controller_and_never_under_what_the_device_needs(
    read: str, controller: str, status: str
) -> None:
    value, _, unit = read.partition(" ")
    assert stands(value, (controller, f"{DAY}T08:00:00Z"), unit=unit or "V").status == status


def test_without_a_reading_at_the_controller_the_lowest_supply_decides_and_it_is_said() -> None:
    good, bad = stands("35.4"), stands("35.3")
    assert (good.status, good.why) == (
        "pass", "Judged by 35.4 V or more; nobody recorded the volts at the controller on that day."
    )  # fmt: skip
    assert bad.status == "fail"
    assert "nobody recorded the volts at the controller on that day" in bad.why
    other_day = stands("34.5", ("35.5", "2024-06-02T08:00:00Z"))
    assert other_day.status == "fail"
    assert "nobody recorded" in other_day.why


def test_the_last_reading_before_it_on_that_day_counts() -> None:
    morning, noon = ("34.8", f"{DAY}T07:00:00Z"), ("36.0", f"{DAY}T12:00:00Z")
    assert stands("34.0", morning, noon).status == "outstanding"
    good = ("35.8", f"{DAY}T07:00:00Z")
    assert stands("34.8", good, noon).status == "pass"
    assert stands("34.0", morning, noon, at=f"{DAY}T13:00:00Z").status == "fail"
    assert stands("34.0", noon).status == "fail", "the first after it, where there is none before"


def test_a_slip_at_the_controller_lets_nothing_pass() -> None:
    """3.6 V was 36 V: a box at 24 V is not good by it."""
    found = stands("24", ("3.6", f"{DAY}T06:00:00Z"))
    assert found.status == "fail"
    assert "nobody recorded" in found.why


def test_the_controller_has_a_limit_of_its_own_and_is_missing_on_no_day() -> None:
    rows = [row(f"day:{DAY}", CONTROLLER, "35.5", "V"), row(f"day:{DAY}", "C-TRENCH-3", "yes")]
    found = result_of(judge(file_of(rows)), f"day:{DAY}", CONTROLLER)
    assert found.status == "fail"
    assert found.why == "35.5 V is outside the limits: 35.6 V or more, on each day that the path is on"
    others = judge(file_of(rows[1:])).results
    assert not [each for each in others if CONTROLLER in each.due.ids]


def test_volts_under_load_may_not_be_less_than_the_worst_that_was_computed() -> None:
    for value, status in (("26.8", "pass"), ("26.7", "fail"), ("24", "fail")):
        assert result_of(judge(file_of([row(BOX, "C-POWER-LOAD", value, "V")])), BOX, "C-POWER-LOAD").status == status


def test_a_reading_by_a_controller_that_is_itself_too_low_is_good_by_nothing() -> None:
    found = stands("33.9", ("34.1", f"{DAY}T08:00:00Z"))
    assert (found.status, found.to_do) == ("outstanding", "")
    assert found.why == "33.9 V goes by 34.1 V at the controller, which is outside its own limit: read both again"
    again = stands("35.5", ("34.1", f"{DAY}T08:00:00Z"), ("36.1", f"{DAY}T09:00:00Z"))
    assert again.status == "pass", "the controller was read again, good"


def test_volts_cannot_rise_on_the_way_to_the_box() -> None:
    """What both readings may be off by is no rise: (36.2 + 0.1) / 0.99 * 1.01 + 0.1 is 37.13 V."""
    found = stands("38", ("36.2", f"{DAY}T08:00:00Z"))
    assert found.status == "implausible"
    assert found.why == "38 V is more than 36.2 V at the controller, by more than a meter may be off at both"
    assert stands("37.13", ("36.2", f"{DAY}T08:00:00Z")).status == "pass"
    assert stands("37.14", ("36.2", f"{DAY}T08:00:00Z")).status == "implausible"


@pytest.mark.parametrize(
    ("load", "off", "when", "status"),
    [
        ("35.0", "36.0", f"{DAY}T10:00:00Z", "pass"), ("35.9", "36.0", f"{DAY}T10:00:00Z", "pass"),
        ("36.0", "36.0", f"{DAY}T10:00:00Z", "implausible"), ("36.9", "36.0", f"{DAY}T10:00:00Z", "implausible"),
        ("37.0", "36.0", f"{DAY}T10:00:00Z", "implausible"), ("37.0", "36.0", "2024-06-04T10:00:00Z", "pass"),
        ("20.0", "36.0", f"{DAY}T10:00:00Z", "fail"),
    ],
)  # fmt: skip
def test_volts_under_load_are_not_above_those_with_all_outputs_off(
    load: str, off: str, when: str, status: str
) -> None:
    """On one day: on the next the supply may give more."""
    rows = [row(BOX, CHECK, off, "V", when=f"{DAY}T09:00:00Z"), row(BOX, "C-POWER-LOAD", load, "V", when=when)]
    found = result_of(judge(file_of(rows)), BOX, "C-POWER-LOAD")
    assert found.status == status
    assert ("36.0 V with all outputs off" in found.why) == (status == "implausible")


def test_a_load_that_takes_less_than_a_meter_shows_is_not_questioned() -> None:
    """B40 is near the controller: under full load it loses no more than a meter may be off at both readings."""
    rows = [row("B40", check, "35.9", "V", when=f"{DAY}T09:00:00Z") for check in (CHECK, "C-POWER-LOAD")]
    assert result_of(judge(file_of(rows)), "B40", "C-POWER-LOAD").status == "pass"


def test_the_controller_does_not_give_far_more_than_the_supply() -> None:
    for value, status in (("36.5", "pass"), ("40.3", "pass"), ("40.4", "implausible"), ("45", "implausible")):
        rows = [row(f"day:{DAY}", CONTROLLER, value, "V"), row(f"day:{DAY}", "C-TRENCH-3", "yes")]
        assert result_of(judge(file_of(rows)), f"day:{DAY}", CONTROLLER).status == status, value
