"""The job as built: figures worked out again by hand, what differs, and values that cannot be used."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from samples import chain, job_text
from slackloop.document.worked import Worked, work
from slackloop.records.as_built import AsBuilt, Difference, as_built
from slackloop.records.result import Record

START = datetime(2026, 3, 9, 14, 5, tzinfo=UTC)
RING = Path(__file__).parents[1] / "compute" / "jobs" / "ring.yml"


def record(subject: str, check: str, value: str, unit: str = "", *, later: int = 0) -> Record:
    return Record(subject, check, value, unit, "A. Reyes", START + timedelta(minutes=later), "", "day.csv", 2)


def worked_of(folder: Path, boxes: list[str], **changes: str) -> Worked:
    path = folder / "job.yml"
    path.write_text(job_text(boxes, **changes), encoding="utf-8")
    return work(path)


def built_of(worked: Worked, *records: Record) -> AsBuilt:
    return as_built(worked.job, worked.analysis, records, worked.tables)


@pytest.fixture
def three(tmp_path: Path) -> Worked:
    """Three boxes in a row, 50 m apart, two outputs in each: 6 stations, of which 8 may operate together."""
    return worked_of(tmp_path, chain(3))


def core_ohms_per_m(celsius: float, over_nominal: float) -> float:
    """One core of 14 AWG solid: ASTM B258 diameter, 58 m/(ohm mm²), 0.00393 per °C."""
    diameter_mm = 0.127 * 92.0 ** ((36 - 14) / 39)
    at_20c = 1.0 / (58.0 * math.pi / 4.0 * diameter_mm**2)
    return at_20c * over_nominal * (1.0 + 0.00393 * (celsius - 20.0))


def test_volts_and_readings_of_a_length_as_built_agree_with_a_calculation_by_hand(three: Worked) -> None:
    built = built_of(three, record("run:B2", "AB-LENGTH", "212.5", "ft"))
    run_m = np.array([50.0, 212.5 * 0.3048, 50.0])
    circuit_m = run_m + np.array([1.5, 3.0, 3.0])  # 1.5 m of slack at each end in a box, none at the controller
    amps = np.cumsum(np.full(3, 0.6e-3 + 2 * 32e-3)[::-1])[::-1]  # through each run, all six stations on
    drops = 2.0 * core_ohms_per_m(24.0, 1.02) * circuit_m * amps
    assert built.analysis.volts.worst_volts == pytest.approx(36.0 - np.cumsum(drops), abs=1e-9)
    loops = np.cumsum(2.0 * core_ohms_per_m(20.0, 1.0) * circuit_m)
    assert [each.ohms_20c for each in built.analysis.loops.opened] == pytest.approx(loops, abs=1e-9)
    cold = 2.0 * core_ohms_per_m(4.0, 1.0) * float(np.sum(circuit_m))
    low, high = cold * 0.9, cold * 1.1
    limit = built.analysis.loops.opened[2].limits[0]
    assert (limit.low_ohms, limit.high_ohms) == pytest.approx((low * 0.99 - 0.05, high * 1.01 + 0.05), abs=1e-9)
    (cable,) = [each for each in built.analysis.materials if each.kind == "cable"]
    assert cable.quantity == pytest.approx(float(np.sum(circuit_m)))


def test_what_moved_is_told_for_every_box_behind_the_length(three: Worked) -> None:
    built = built_of(three, record("run:B2", "AB-LENGTH", "62", "m"))
    first, second, third = built.moved()
    assert first.planned_volts is not None
    assert first.built_volts is not None
    assert first.built_volts == pytest.approx(first.planned_volts)
    more = 12.0 * 2.0 * core_ohms_per_m(20.0, 1.0)
    for box in (second, third):
        assert box.built_ohms - box.planned_ohms == pytest.approx(more)
        assert box.built_volts is not None
        assert box.planned_volts is not None
        assert box.built_volts < box.planned_volts


def test_differences_name_the_run_or_box_what_was_planned_and_what_was_built(three: Worked) -> None:
    records = [
        record("run:B2", "AB-LENGTH", "41", "m"), record("B3", "AB-ADDRESS", "=7"),
        record("B1", "AB-PLACE", "12.5, -3"), record("run:B3", "AB-LENGTH", "5000", "cm"),
    ]  # fmt: skip
    built = built_of(three, *records)
    told = {(each.place, each.what): each for each in built.differences}
    assert told == {
        ("B2", "length"): Difference("B2", "length", 50.0, 41.0, records[0]),
        ("B3", "address"): Difference("B3", "address", "", "=7", records[1]),
        ("B1", "place"): Difference("B1", "place", None, (12.5, -3.0), records[2]),
    }
    assert built.measured_runs == ("B2", "B3"), "a length that is as planned was measured all the same"
    assert built.analysis.network.boxes == three.analysis.network.boxes
    assert built.verdict == "pass"


def test_a_place_in_degrees_is_kept_apart_and_moves_nothing_on_the_plan(three: Worked) -> None:
    built = built_of(three, record("B1", "AB-PLACE", "-1.5012345,51.25", "deg"))
    assert built.lon_lat == {"B1": (-1.5012345, 51.25)}
    assert built.differences == ()
    assert built.job.path.by_id["B1"].at is None


def test_electrodes_stay_where_they_were_planned_and_one_more_is_asked_for(tmp_path: Path) -> None:
    worked = worked_of(tmp_path, chain(5))
    planned = [each.where for each in worked.analysis.electrodes.places]
    assert planned == ["controller", "B5"]
    built = built_of(worked, record("run:B4", "AB-LENGTH", "140", "m"))
    assert [each.where for each in built.analysis.electrodes.places] == planned
    assert built.electrodes_missing == ("B4",), "50 m three times, then 140 m: B5 is 340 m from the controller"
    rods = [each.quantity for each in built.analysis.materials if each.kind == "rod"]
    assert rods == [each.quantity for each in worked.analysis.materials if each.kind == "rod"]


def test_the_last_of_several_records_counts_and_a_box_may_stand_for_its_run(three: Worked) -> None:
    later, earlier = record("B2", "AB-LENGTH", "44", "m", later=5), record("run:B2", "AB-LENGTH", "43", "m")
    (only,) = built_of(three, later, earlier).differences
    assert (only.built, only.record) == (44.0, later)


def test_without_as_built_records_the_plan_stays_and_nothing_is_computed_again(three: Worked) -> None:
    built = built_of(three, record("B1", "C-LAY-4", "470", "mm"))
    assert built.job is three.job
    assert built.analysis is three.analysis
    assert built.differences == built.not_taken == ()


@pytest.mark.parametrize(
    ("subject", "check", "value", "unit", "why"),
    [
        ("run:B9", "AB-LENGTH", "41", "m", "no run is called B9"),
        ("run:B2", "AB-LENGTH", ">41", "m", "bound"),
        ("run:B2", "AB-LENGTH", "1,234", "m", "without"),
        ("run:B2", "AB-LENGTH", "41", "V", "length"),
        ("run:B2", "AB-LENGTH", "0", "m", "0"),
        ("run:B2", "AB-LENGTH", "nan", "m", "nan"),
        ("B2", "AB-CONNECTOR", "seald", "", "not a connector of the job: it has sealed"),
        ("B2", "AB-PLACE", "12.5", "", "two numbers"),
        ("B2", "AB-PLACE", "nan,1", "", "further"),
        ("B2", "AB-PLACE", "1e9,1", "", "further"),
        ("B2", "AB-PLACE", "12,3", "ft", "not in ft"),
        ("B2", "AB-PLACE", "-1.5,91", "deg", "no longitude"),
        ("B2", "AB-PLACE", "nan,51", "deg", "no longitude"),
        ("B9", "AB-PLACE", "-1.5,51", "deg", "no box"),
        ("B2", "AB-ADDRESS", " ", "", "empty"),
        ("B2", "AB-ADDRESS-2", "7", "", "no device 2"),
        ("B9", "AB-ADDRESS", "7", "", "no box is called B9"),
        ("B2", "AB-WEIGHT", "7", "kg", ""),
    ],
)
def test_a_value_that_cannot_be_used_is_named_and_changes_nothing(
    three: Worked, subject: str, check: str, value: str, unit: str, why: str
) -> None:
    built = built_of(three, record(subject, check, value, unit))
    assert built.job is three.job
    if why:
        (refused,) = built.not_taken
        assert why in refused.why


def test_a_connector_is_named_as_the_job_names_it_or_by_its_title(tmp_path: Path) -> None:
    text = job_text(chain(2)).replace(
        "connectors:\n", "connectors:\n  small: {title: Small connector, listing: UL 486D, sizes: 18 AWG to 16 AWG, "
        "wires: 2 to 3, area: 1.6 mm2 to 4 mm2, strip: 20 mm, pack: 25}\n"
    )  # fmt: skip
    path = tmp_path / "job.yml"
    path.write_text(text, encoding="utf-8")
    worked = work(path)
    for value in ("small", "small CONNECTOR"):
        built = built_of(worked, record("B1", "AB-CONNECTOR", value))
        (only,) = built.differences
        assert (only.what, only.planned, only.built) == ("connector", "sealed", "small")
        assert built.verdict == "fail", "it does not take the wires of the path"
        (found,) = built.findings
        assert (found.level, found.code, found.box) == ("error", "connector-misfit", "B1")
        assert found.message.startswith("as built: B1: Small connector does not fit")


def test_a_path_too_long_as_built_fails_as_any_job_would(three: Worked) -> None:
    built = built_of(three, record("run:B2", "AB-LENGTH", "9000", "m"))
    assert built.verdict == "fail"
    errors = {(each.code, each.box) for each in built.findings if each.level == "error"}
    assert errors == {("volts-low", "B2"), ("volts-low", "B3"), ("run-longer-than-reel", "B2")}


def test_two_devices_with_one_address_are_an_error(three: Worked) -> None:
    built = built_of(three, record("B1", "AB-ADDRESS", "101"), record("B3", "AB-ADDRESS", "101"))
    (found,) = [each for each in built.findings if each.code == "address-duplicate"]
    assert (found.level, found.of) == ("error", ("B1", "B3"))


def test_a_closing_run_takes_its_length_too() -> None:
    worked = work(RING)
    (closing, *_) = worked.analysis.network.closures
    measured = record(f"run:{closing.id}", "AB-LENGTH", "77", "m")
    built = built_of(worked, measured)
    assert built.analysis.network.closures[0].length_m == 77.0
    assert built.differences[-1] == Difference(closing.id, "length", closing.length_m, 77.0, measured)
    more = 2.0 * (77.0 - closing.length_m)
    was, now = worked.analysis.loops.closures[0].ohms_20c, built.analysis.loops.closures[0].ohms_20c
    cable = worked.job.cables[closing.cable]
    assert now - was == pytest.approx(more / (58.0 * cable.conductor.area_mm2), rel=0.08)


def test_a_run_that_has_its_length_from_places_follows_them(tmp_path: Path) -> None:
    boxes = [
        "{id: B1, from: controller, at: [30, 40], surface: lawn, device: two, stations: [1, 2]}",
        "{id: B2, from: B1, at: [30, 80], surface: lawn, device: two, stations: [3, 4]}",
    ]
    worked = worked_of(tmp_path, boxes)
    built = built_of(worked, record("B1", "AB-PLACE", "30,50"))
    lengths = {each.place: (each.planned, each.built) for each in built.differences if each.what == "length"}
    assert lengths["B1"] == pytest.approx((52.5, math.hypot(30, 50) * 1.05))
    assert lengths["B2"] == pytest.approx((42.0, 31.5))
