"""One record against its limit: each limit is recomputed here, and each slip of the pen is told from bad work."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from records.record_samples import DAY_1, DEMO, due_of, file_of, judge, result_of, row, text_of
from samples import chain, job_text
from slackloop.document.boxes.due_records import due_list
from slackloop.document.worked import work_with_content
from slackloop.pipeline.handbook_folder import context_of
from slackloop.records.judgement import Judged, judged, loop_band
from slackloop.records.record_file import records_of
from slackloop.records.result import Due, Record
from slackloop.records.value import Unreadable, number_of

COVER = Due("B1", ("C-1",), "number", "Cover", "mm", least=450.0, likely=(4.5, 4500.0), limit="450 mm or more")
ROD = Due("B1", ("C-2",), "number", "Rod", "Ω", most=10.0, likely=(0.01, None), limit="10 ohm or less")
INSULATION = Due("B1", ("C-3",), "number", "Insulation", "MΩ", least=10.0, likely=(0.0, 1e6))
SOIL = Due("B1", ("SOIL-C",), "soil", "Soil", "degC", soil=(4.0, 24.0))
TICK = Due("B1", ("C-4",), "tick", "Tick")
NAME = Due("B1", ("C-5",), "sign", "Sign")
ADDRESS = Due("B1", ("C-DEVICE-1",), "text", "Address", limit="0105", alone=True)


def record(value: str, unit: str = "", check: str = "C-1") -> Record:
    return records_of(text_of([row("B1", check, value, unit)]), "a.csv").records[0]


def judge_one(due: Due, value: str, unit: str = "", celsius: float | None = None) -> Judged:
    return judged(due, record(value, unit), celsius)


@pytest.mark.parametrize(
    ("due", "value", "unit", "number"),
    [
        (COVER, "450", "", 450.0), (COVER, "450", "mm", 450.0), (COVER, "0.45", "m", 450.0),
        (COVER, "18", "in", 457.2), (COVER, "1.5", "ft", 457.2), (COVER, "1 1/2", "ft", 457.2),
        (COVER, "1 ft 6 in", "", 457.2), (COVER, "1' 6\"", "", 457.2), (COVER, "1'6\"", "mm", 457.2),
        (COVER, "1′ 6 1/2″", "", 469.9), (COVER, "18\"", "", 457.2), (COVER, "2'", "", 609.6),
        (COVER, "1’ 6”", "", 457.2),
        (COVER, "45,5", "cm", 455.0), (COVER, "0,455", "m", 455.0),
        (COVER, "450 mm", "mm", 450.0), (COVER, "4.5e2", "mm", 450.0), (COVER, "-450", "mm", -450.0),
        (ROD, "0.009", "kΩ", 9.0), (ROD, "9", "ohm", 9.0), (INSULATION, "0.5", "GΩ", 500.0),
        (INSULATION, "500000", "kΩ", 500.0), (SOIL, "53.6", "°F", 12.0), (SOIL, "-2", "°C", -2.0),
        (SOIL, "12", "", 12.0),
    ],
)  # fmt: skip
def test_a_value_is_read_in_the_unit_of_its_limit(due: Due, value: str, unit: str, number: float) -> None:
    assert number_of(record(value, unit), due).value == pytest.approx(number, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "unit"),
    [
        ("abc", "mm"), ("NaN", "mm"), ("inf", "mm"), ("1", "furlong"), ("1", "V"), ("1,234", "mm"),
        ("1,2,3", "mm"), ("1.2.3", "mm"), ("=1+1", "mm"), ("=cmd|' /C calc'!A0", ""), ("🪱", "mm"), ("٣", "mm"),
        ("1/0", "mm"), ("OL", "Ω"), ("x" * 5000, "mm"), ("--1", "mm"), ("1", "m" * 150),
    ],
)  # fmt: skip
def test_what_is_no_value_of_the_kind_is_refused_and_says_so(value: str, unit: str) -> None:
    with pytest.raises(Unreadable) as found:
        judge_one(COVER, value, unit)
    assert 0 < len(str(found.value)) < 400


@pytest.mark.parametrize(
    ("due", "value", "unit", "status"),
    [
        (COVER, "450", "mm", "pass"), (COVER, "449.9", "mm", "fail"), (COVER, "0.45", "mm", "implausible"),
        (COVER, "450", "m", "implausible"), (COVER, "17.7165354330708", "in", "pass"),
        (COVER, "-450", "mm", "implausible"),
        (COVER, "0", "mm", "implausible"), (COVER, "1e16", "mm", "implausible"), (COVER, "1e400", "mm", "implausible"),
        (ROD, "10", "Ω", "pass"), (ROD, "10.01", "Ω", "fail"), (ROD, "0.005", "Ω", "implausible"),
        (ROD, "0.005", "kΩ", "pass"), (ROD, "<8", "Ω", "pass"), (ROD, ">8", "Ω", "fail"), (ROD, "2000", "Ω", "fail"),
        (INSULATION, "10", "MΩ", "pass"), (INSULATION, "9.99", "MΩ", "fail"), (INSULATION, "0", "MΩ", "fail"),
        (INSULATION, ">999", "MΩ", "pass"), (INSULATION, ">5", "MΩ", "fail"),
        (INSULATION, "200000000", "MΩ", "implausible"),
        (SOIL, "12", "°C", "pass"), (SOIL, "30", "°C", "pass"), (SOIL, "34", "°C", "pass"),
        (SOIL, "34.1", "°C", "implausible"), (SOIL, "-6.1", "°C", "implausible"), (SOIL, "68", "°C", "implausible"),
        (SOIL, "-300", "°C", "implausible"),
        (TICK, "yes", "", "pass"), (TICK, "YES", "", "pass"), (TICK, "no", "", "outstanding"),
        (TICK, "", "", "outstanding"),
        (NAME, "A. Smith", "", "pass"), (NAME, "", "", "outstanding"), (NAME, "🪱", "", "pass"),
        (ADDRESS, "0105", "", "pass"), (ADDRESS, "105", "", "implausible"), (ADDRESS, "106", "", "fail"),
        (ADDRESS, "", "", "outstanding"),
    ],
)  # fmt: skip
def test_each_kind_of_value_is_judged(due: Due, value: str, unit: str, status: str) -> None:
    found = judge_one(due, value, unit)
    assert found.status == status
    assert bool(found.why) == (status != "pass" or value in ("30", "34"))


def test_soil_outside_the_job_is_used_and_the_designer_is_told() -> None:
    assert "tell the designer" in judge_one(SOIL, "30", "°C").why


@pytest.fixture(scope="module")
def loop_due(tmp_path_factory: pytest.TempPathFactory) -> Due:
    """The loop reading of the second box of three, 50 m apart."""
    path = tmp_path_factory.mktemp("loop") / "job.yml"
    path.write_text(job_text(chain(3)), encoding="utf-8")
    dues = due_list(context_of(work_with_content(path))).dues
    return next(each for each in dues if each.subject == "B2" and "C-TEST-3" in each.ids)


def by_hand(celsius: float) -> tuple[float, float]:
    """Least and most at B2, ohm, from published figures alone, to two decimals and never looser.

    Two runs of 50 m and three tails of 1.5 m: 104.5 m. ASTM B258: 14 AWG is 0.127 × 92^((36 − 14) / 39) mm. IEC 60028:
    copper conducts 58 m/(ohm mm²) at 20 °C and gains 0.393 % a kelvin. The job: 10 %; meter 1 % and 0.05 ohm.
    """
    area_mm2 = math.pi / 4 * (0.127 * 92 ** ((36 - 14) / 39)) ** 2
    expected = 2 * 104.5 / (58 * area_mm2) * (1 + 0.00393 * (celsius - 20))
    low, high = 0.9 * expected * 0.99 - 0.05, 1.1 * expected * 1.01 + 0.05
    return math.ceil(low * 100) / 100, math.floor(high * 100) / 100


@pytest.mark.parametrize("celsius", [4.0, 11.5, 20.0, 24.0])
def test_a_loop_reading_is_judged_at_the_temperature_of_its_soil(loop_due: Due, celsius: float) -> None:
    low, high = by_hand(celsius)
    for value, status in ((low, "pass"), (high, "pass"), (low - 0.01, "fail"), (high + 0.01, "fail")):
        found = judge_one(loop_due, f"{value:.2f}", "Ω", celsius)
        assert (found.status, found.least, found.most) == (status, pytest.approx(low), pytest.approx(high))
    assert f"{low:.2f} to {high:.2f} Ω" in judge_one(loop_due, f"{low:.2f}", "Ω", celsius).limit
    assert judge_one(loop_due, f"{high + 0.004:.3f}", "Ω", celsius).status == "fail"


@pytest.mark.parametrize("celsius", [-3.0, 30.0, 60.0])
def test_in_soil_outside_the_job_no_loop_reading_passes(loop_due: Due, celsius: float) -> None:
    """The soil is read again first, also where it is only a little outside; what fails in all soil fails at once."""
    ends = [by_hand(4.0), by_hand(24.0), *([by_hand(celsius)] if celsius < 60.0 else [])]
    low, high = min(low for low, _ in ends), max(high for _, high in ends)
    for value, status in ((low, "outstanding"), (high, "outstanding"), (low - 0.01, "fail"), (high + 0.01, "fail")):
        assert judge_one(loop_due, f"{value:.2f}", "Ω", celsius).status == status, value
    why = judge_one(loop_due, f"{by_hand(20.0)[0] + 0.1:.2f}", "Ω", celsius).why
    assert f"goes by soil of {celsius:g} °C" in why
    assert "4 to 24 °C: read the soil again first" in why


def test_soil_that_was_read_in_fahrenheit_is_inside_a_range_of_whole_degrees_fahrenheit() -> None:
    """39 °F to 82 °F; a page keeps 82 °F as 27.78 °C, a little more."""
    due = replace(SOIL, soil=((39 - 32) / 1.8, (82 - 32) / 1.8))
    for value, why in (("27.78", False), ("3.88", False), ("27.8", True)):
        assert bool(judge_one(due, value, "degC").why) == why, value


def test_without_a_soil_temperature_a_loop_reading_must_pass_in_all_soil(loop_due: Due) -> None:
    """Never looser than a row that the page shows; where the soil decides, nobody knows yet."""
    (low_cold, high_cold), (low_hot, high_hot) = by_hand(4.0), by_hand(24.0)
    expected = [
        (low_cold - 0.01, "fail"), (low_cold, "outstanding"), (low_hot - 0.01, "outstanding"), (low_hot, "pass"),
        (high_cold, "pass"), (high_cold + 0.01, "outstanding"), (high_hot, "outstanding"), (high_hot + 0.01, "fail"),
    ]  # fmt: skip
    for value, status in expected:
        assert judge_one(loop_due, f"{value:.2f}", "Ω").status == status, value
    assert "that of the soil is not recorded" in judge_one(loop_due, f"{high_hot:.2f}", "Ω").why


def test_the_limits_over_a_range_of_soil_are_those_at_its_ends(loop_due: Due) -> None:
    assert loop_due.loop is not None
    every = [loop_band(loop_due.loop, celsius, celsius) for celsius in range(4, 25)]
    assert loop_band(loop_due.loop, 4.0, 24.0) == (max(low for low, _ in every), min(high for _, high in every))
    widest = min(low for low, _ in every), max(high for _, high in every)
    assert loop_band(loop_due.loop, 4.0, 24.0, any_soil=True) == widest


@pytest.mark.parametrize(("value", "unit"), [("0.0017", "Ω"), ("1700", "Ω"), ("0", "Ω"), ("-1.7", "Ω"), ("1.7", "kΩ")])
def test_a_loop_reading_a_thousand_times_off_is_a_slip(loop_due: Due, value: str, unit: str) -> None:
    found = judge_one(loop_due, value, unit, 20.0)
    assert found.status == "implausible"
    assert found.why


@pytest.mark.parametrize(
    ("value", "unit", "meant"),
    [("1.7", "kΩ", "Ω"), ("1.7 kohm", "", "Ω"), ("0.0017", "Ω", "kΩ"), ("1700", "", "mΩ"), ("0.0000017", "kΩ", "MΩ")],
)
def test_a_slip_of_the_unit_names_the_unit_that_was_meant(loop_due: Due, value: str, unit: str, meant: str) -> None:
    why = judge_one(loop_due, value, unit, 20.0).why
    assert why.endswith(f" is outside the limits, and 1.7 Ω is inside: was {meant} meant?")


def test_a_loop_reading_that_is_bad_is_no_slip(loop_due: Due) -> None:
    assert [judge_one(loop_due, value, "Ω", 20.0).status for value in ("0.9", "2.4", "35", ">50")] == ["fail"] * 4


def test_a_meter_that_shows_no_number_reads_an_open_loop(loop_due: Due) -> None:
    """The worst reading is bad work, and no row that is put aside; nothing else is a value without a number."""
    for value in ("OL", "O.L", "ol", "0L", "∞"):
        found = judge_one(loop_due, value, "Ω", 20.0)
        assert (found.status, found.number) == ("fail", None)
        assert "the pair is broken" in found.why
    for due in (INSULATION, COVER, SOIL):
        with pytest.raises(Unreadable) as found_unread:
            judge_one(due, "OL")
        asks = str(found_unread.value).endswith("; write > and the most that the meter can show, as >1000")
        assert asks == (due is INSULATION), "a resistance with a least alone can be met by more than the meter shows"


def test_lengths_far_from_the_plan_are_doubted() -> None:
    length = due_of("run:B01", "AB-LENGTH", DEMO)
    assert length.likely[1] is not None
    planned = length.likely[1] / 3
    assert judge_one(length, f"{planned * 1.4:.1f}", "m").status == "pass"
    for value in (0.0, planned * 3.28, -planned, planned / 100):
        assert judge_one(length, f"{value:.3f}", "m").status == "implausible", value


def test_a_place_is_two_numbers() -> None:
    place = due_of("B01", "AB-PLACE", DEMO)
    assert judge_one(place, "12.5,40").status == "pass"
    for value in ("12.5", "nan,1", "1,2,3", "here", "1e999,2"):
        with pytest.raises(Unreadable):
            judge_one(place, value)


KINDS = (COVER, ROD, INSULATION, SOIL, TICK, NAME, ADDRESS)
DIGITS = st.text("0123456789.,-+−eE/ <>≥'\"°ΩmkMCFit½", max_size=12)


SOME_UNITS = st.sampled_from(["", "m", "in", "kΩ", "°F", "x"])


@given(st.sampled_from(KINDS), DIGITS | st.text(max_size=40), SOME_UNITS | DIGITS)
def test_any_text_is_judged_or_refused(due: Due, value: str, unit: str) -> None:
    made = Record("B1", due.ids[0], value, unit, "A", DAY_1, "", "a.csv", 2)
    for celsius in (None, 12.0):
        try:
            found = judged(due, made, celsius)
        except Unreadable:
            continue
        assert found.number is None or math.isfinite(found.number)
        assert found.why or found.status == "pass"


@given(st.decimals(0, 9999, places=3), st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_a_length_passes_in_any_unit_or_in_none(number: Decimal, unit: str) -> None:
    """Witness: exact fractions by the definitions of the units, 25.4 mm an inch, 12 inches a foot."""
    mm = Fraction(number) * {"mm": 1, "cm": 10, "m": 1000, "in": Fraction(254, 10), "ft": Fraction(3048, 10)}[unit]
    status = judge_one(COVER, str(number), unit).status
    assert status == ("implausible" if not 4.5 <= mm <= 4500 else "pass" if mm >= 450 else "fail")


def test_what_to_do_is_what_the_section_says() -> None:
    results = judge(file_of([row("B07", "C-BOX-1", "0.9", "m"), row("B08", "C-BOX-1", "-1.3", "m")]))
    fail, odd = (result_of(results, box, "C-BOX-1") for box in ("B07", "B08"))
    assert fail.status == "fail"
    assert fail.why == "0.9 m is outside the limits: 1.2 m (4 ft) or more"
    assert fail.to_do.startswith("Stop if the slack is too short. Pull more from the trench")
    assert (odd.status, odd.to_do) == (
        "implausible",
        "Check the value and its unit where it was read, and record it again.",
    )
    assert judged(replace(fail.due, stop_if=""), record("0.9", "m")).status == "fail"
