"""A reading is marked at once: commas and units are read, limits are those of Python, loop limits go by the soil."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from book_samples import demonstration
from records.record_samples import DAY_1
from slackloop.compute.circuit.loop import LoopRule
from slackloop.records.result import Due, Record
from slackloop.records.value import number_of
from slackloop.site.effective_values import MeterError

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
LIMITS = "([rule, soils]) => soils.map(each => window.records.reading.loopLimits(rule, each))"
SOILS = [-12.5, -0.1, 0.0, 4.0, 11.3, 16.0, 16.11, 19.999, 20.0, 20.001, 27.0, 28.0, 35.4, 50.0]
TYPED = {
    "455": 455, "1,2": 1.2, "0,45": 0.45, "1.2": 1.2, ",5": 0.5, "1.234,5": 1234.5, "1,234.5": 1234.5, "1 234": 1234,
    "1’234.5": 1234.5, "1,234,567": 1234567, "12,": 12, "-3,5": -3.5, "−3": -3, "1,234": 1.234, "+7": 7,
}  # fmt: skip
NO_NUMBERS = ["", "about 5", "1 2", "1,2,3", "1.2.3", "1,23.4", "--3", "12,3456,7"]


def state(page: Page, name: str) -> tuple[str | None, str]:
    """How a field is marked, and what is said under it."""
    around = page.locator(".field", has=page.locator(f"[name={name}]"))
    return around.get_attribute("data-state"), around.locator(".said").inner_text()


def rule_data(rule: LoopRule) -> dict[str, float | None]:
    return {
        "expected": rule.expected_20c, "least": rule.least_20c, "tolerance": rule.tolerance,
        "fraction": rule.meter.fraction, "ohms": rule.meter.fixed, "alpha": rule.alpha_per_c, "reference": 20.0,
    }  # fmt: skip


@pytest.fixture(scope="module")
def unwritten(demo: Path, screens: Screens) -> Iterator[Page]:
    """The page of a box of which only the script is asked; nothing is typed."""
    with screens.open("phone") as screen:
        screen.page.goto((demo / "boxes" / "b02.html").as_uri())
        yield screen.page


def test_the_limits_of_a_loop_are_those_of_python_at_any_soil_temperature(unwritten: Page) -> None:
    rules = [reading.rule for reading in demonstration().analysis.loops.opened]
    meter = MeterError(0.02, 0.5)
    rules += [LoopRule(3.0, 0.1, meter, 0.00393, 2.4), LoopRule(0.01, 0.1, meter, 0.00393)]
    for rule in rules:
        found: list[dict[str, float]] = unwritten.evaluate(LIMITS, [rule_data(rule), SOILS])
        for soil, here in zip(SOILS, found, strict=True):
            there = rule.at(soil)
            assert (here["low"], here["high"]) == (there.low_ohms, there.high_ohms), (rule, soil)


def test_each_box_gives_its_page_the_rule_of_its_own_loop(demo: Path) -> None:
    book = demonstration()
    for name, reading in zip(book.analysis.network.boxes, book.analysis.loops.opened, strict=True):
        text = (demo / "boxes" / f"{name.lower()}.html").read_text(encoding="utf-8")
        (field,) = (each for each in re.findall("<input[^>]*>", text) if 'name="C-TEST-3"' in each)
        (rule,) = re.findall('data-loop="([^"]*)"', field)
        assert json.loads(html.unescape(rule)) == rule_data(reading.rule), name


def test_a_reading_is_judged_by_the_soil_temperature_that_was_entered(demo: Path, screens: Screens) -> None:
    rule = demonstration().analysis.loops.opened[1].rule
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        high = rule.at(4.0).high_ohms
        page.locator("[name=C-TEST-3]").fill(f"{high + 0.01:.3f}")
        assert state(page, "C-TEST-3") == ("open", "Write the soil temperature too. The limits go by it.")
        page.locator("[name=SOIL-C]").fill("4")
        told = state(page, "C-TEST-3")
        assert told[0] == "out"
        assert told[1].startswith("Outside: above ")
        page.locator("[name=SOIL-C]").fill("16,5")
        assert state(page, "C-TEST-3")[0] == "in"
        assert state(page, "C-TEST-3")[1].startswith("At 16.5 °C: ")
        page.locator("[name=SOIL-C]").fill("82")
        asked = "Is the soil at 82 °C? This job expects 4 to 28 °C. Was °F meant?"
        assert state(page, "SOIL-C") == ("ask", asked)
        page.locator("[name=SOIL-C]").fill("61 °F")
        assert state(page, "SOIL-C")[1].startswith("You typed °F: is it 16.1111111 °C?")


def test_a_temperature_in_fahrenheit_is_kept_in_celsius(unwritten: Page) -> None:
    judged = "typed => window.records.reading.judged(typed, {kind: 'soil', unit: '°F'})"
    for typed, value in (("61", "16.11"), ("32", "0"), ("-4", "-20")):
        found = unwritten.evaluate(judged, typed)
        assert (found["value"], found["unit"]) == (value, "degC")
    found = unwritten.evaluate(judged, "16 °C")
    assert (found["value"], found["unit"], found["meant"]) == ("16", "°C", "60.8"), "another unit is questioned"


def test_a_number_is_read_with_a_comma_or_a_point(unwritten: Page) -> None:
    read = "texts => texts.map(each => window.records.reading.parsed(each)).map(found => found && found.number)"
    assert unwritten.evaluate(read, list(TYPED)) == list(TYPED.values())
    assert unwritten.evaluate(read, NO_NUMBERS) == [None] * len(NO_NUMBERS)


def test_feet_and_inches_are_read_as_a_tape_shows_them_and_as_records_read_them(unwritten: Page) -> None:
    """In a field in inches or feet they are taken; in one in millimetres they are questioned as any other unit."""
    judged = "([typed, unit]) => window.records.reading.judged(typed, {kind: 'number', unit, least: 1, lowest: 0.01})"
    for typed, inches in (
        ("1 ft 6 in", 18), ("1' 6\"", 18), ("1'6\"", 18), ("1′ 6 1/2″", 18.5), ("1 ft 6 ½ in", 18.5), ("18\"", 18),
        ("17 1/2 in", 17.5), ("1/2 in", 0.5), ("2'", 24), ("3 feet 0 inches", 36), ("1’ 6”", 18), ("1 ft 6.5 in", 18.5),
    ):  # fmt: skip
        for unit, size in (("in", 1.0), ("ft", 12.0), ("mm", 1 / 25.4)):
            found = unwritten.evaluate(judged, [typed, unit])
            made = Record("B1", "C-1", found["value"], found["unit"], "A", DAY_1, "", "a.csv", 2)
            due = Due("B1", ("C-1",), "number", "Cover", unit)
            assert number_of(made, due).value == pytest.approx(inches / size), (typed, unit)
            assert number_of(replace(made, value=typed, unit=""), due).value == pytest.approx(inches / size), typed
            assert (found["state"] == "ask") == (unit == "mm"), (typed, unit, found)
    found = unwritten.evaluate(judged, ["1' 6\"", "mm"])
    assert (found["message"], found["meant"]) == ("You typed 1' 6\": is it 457.2 mm?", "457.2")
    assert unwritten.evaluate(judged, ["17 1/2", "in"])["value"] == "17.5"
    for typed in ("1' 6", "1 ft 6", "1/0 in", "' 6\"x", "1'' 6'"):
        assert unwritten.evaluate(judged, [typed, "in"])["state"] == "odd", typed
    volts = "window.records.reading.judged('1 ft 6 in', {kind: 'number', unit: 'V', least: 1})"
    assert unwritten.evaluate(volts)["state"] == "odd"


def test_nothing_where_there_must_be_something_asks_for_the_meter(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b20.html").as_uri())
        for name, typed, told in (
            ("C-EARTH-2", "0", "0 Ω: was the meter connected? Read it again."),
            ("C-EARTH-2", "0.001", "Is it 0.001 Ω?"),
            ("C-TEST-3", "0", "A loop never reads 0. Were the probes on the pair?"),
            ("C-LAY-4", "0", "Outside: below 450 mm."),
        ):
            page.locator("[name=SOIL-C]").fill("16")
            page.locator(f"[name={name}]").fill(typed)
            assert state(page, name)[1] == told


def test_a_value_outside_its_limit_is_marked_at_once_in_shape_and_words(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        cover = page.locator(".field", has=page.locator("[name=C-LAY-4]"))
        for typed, mark, words in (
            ("450", "✓", ""), ("449,9", "✗", "Outside: below 450 mm."), ("45 cm", "?", "You typed cm"),
            ("-455", "?", "This is less than nothing."),
            ("soft", "?", "This is not a number."), ("450 V", "?", "“V” is no unit of this field. It is in mm."),
        ):  # fmt: skip
            page.locator("[name=C-LAY-4]").fill(typed)
            assert cover.locator(".mark-of").inner_text() == mark, typed
            assert cover.locator(".said").inner_text().startswith(words), typed
        page.locator("[name=C-BOX-1]").fill("1.2")
        assert state(page, "C-BOX-1") == ("in", ""), "the limit itself is inside"
        page.locator("[name=C-DEVICE-1]").fill("103")
        assert state(page, "C-DEVICE-1") == ("out", "The plan has 102.")
        page.locator("[name=AB-PLACE]").fill("78,5; 14,25")
        assert page.evaluate("window.records.read('B02', 'AB-PLACE').value") == "78.5,14.25"


def test_another_unit_is_questioned_and_taken_with_one_tap(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        for typed, meant in (("1,2 kΩ", "1200"), ("1.2k", "1200"), ("1200 mohm", "1.2")):
            page.locator("[name=C-FILL-6]").fill(typed)
            told = state(page, "C-FILL-6")
            assert told[0] == "ask"
            assert f"is it {meant} Ω?" in told[1]
        page.locator("[name=C-FILL-6]").fill("1,2 kΩ")
        kept = page.evaluate("window.records.read('B02', 'C-FILL-6')")
        assert (kept["value"], kept["unit"]) == ("1.2", "kΩ"), "until it is answered, what was typed is kept"
        page.get_by_role("button", name="Yes, 1200 Ω").tap()
        kept = page.evaluate("window.records.read('B02', 'C-FILL-6')")
        assert (kept["value"], kept["unit"]) == ("1200", "Ω")
        page.locator("[name=C-FILL-6]").fill("1.4 Ω")
        assert state(page, "C-FILL-6")[0] == "open", "its own unit is no question"


def test_a_meter_beyond_its_range_is_good_insulation_and_an_open_loop(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        for name, typed, mark, words in (
            ("C-TEST-1", ">1000", "in", ""), ("C-TEST-1", "> 5", "out", "This does not show 10 MΩ."),
            ("C-TEST-1", "OL", "odd", "Write > and"), ("C-TEST-3", "OL", "out", "Open: the pair is broken"),
            ("C-TEST-3", ">200", "out", "Open: "), ("SOIL-C", ">16", "odd", "This is not a number."),
            ("C-TEST-1", "9500 kΩ", "out", "Outside: 9.5 MΩ, below 10 MΩ."),
            ("C-TEST-1", "10500 kΩ", "ask", "You typed kΩ: is it 10.5 MΩ?"),
            ("C-BOX-1", "120", "ask", "Is it 120 m?"), ("C-BOX-1", "12", "in", ""),
            ("C-LAY-4", "4501", "ask", "Is it 4501 mm?"), ("C-TEST-1", "1000001", "ask", "Is it 1000001 MΩ?"),
        ):  # fmt: skip
            page.locator(f"[name={name}]").fill(typed)
            told = state(page, name)
            assert told[0] == mark, typed
            assert told[1].startswith(words), typed
        page.locator("[name=C-TEST-1]").fill("> 1 000")
        kept = page.evaluate("window.records.read('B02', 'C-TEST-1')")
        assert (kept["value"], kept["unit"]) == (">1000", "MΩ")


def test_a_reading_that_fits_in_another_range_of_the_meter_is_questioned(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        page.locator("[name=SOIL-C]").fill("16")
        page.locator("[name=C-TEST-3]").fill("0.00143")
        told = state(page, "C-TEST-3")
        assert told[0] == "ask"
        assert told[1].startswith("Read in kΩ? Is it 1.43 Ω?")
        page.get_by_role("button", name="Yes, 1.43 Ω").tap()
        assert state(page, "C-TEST-3")[0] == "in"
