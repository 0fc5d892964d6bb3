"""What the page of a box compares a reading with: volts at the controller, and the loop before the fill, as records do.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from browser.test_readings import state
from records.record_samples import due_of, file_of, judge, result_of, row
from records.test_loop_readings import printed_apart
from slackloop.compute.circuit.path_volts import OffLimit
from slackloop.records.judgement import loop_band

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
ALONE = "Volts at the controller not written yet: 35.4 V or more."
BACKDATE = (
    "([subject, check, when]) => window.records.write(subject, check, {...window.records.read(subject, check), when})"
)


def at_end_box(demo: Path, screen_page: Page) -> Page:
    screen_page.goto((demo / "boxes" / "b20.html").as_uri())
    return screen_page


def test_the_least_volts_are_those_of_python(demo: Path, screens: Screens) -> None:
    limits = [OffLimit(1.1, 35.4, 22.0), OffLimit(0.9, 30.0, 0.0), OffLimit(2.3, 22.0, 22.0)]
    controllers = [None, 36.0, 36.2, 34.05, 23.1, 22.0, 0.3]
    judged = (
        "([off, controller, typed]) => window.records.reading.judged(typed, {kind: 'number', unit: 'V', off},"
        " undefined, {controller: controller === null ? undefined : controller}).state"
    )
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        for limit in limits:
            off = {"below": limit.most_below, "unread": limit.unread, "floor": limit.floor}
            for controller in controllers:
                least = limit.least(controller)
                found = [page.evaluate(judged, [off, controller, f"{least + more:.9f}"]) for more in (0.0, -1e-6)]
                assert found == ["in", "odd" if least < 1e-6 else "out"], (limit, controller)


def test_volts_go_by_those_at_the_controller_of_the_same_day(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        page.locator("[name=C-POWER-2]").fill("35.5")
        assert state(page, "C-POWER-2") == ("in", ALONE)
        page.locator("[name=C-POWER-2]").fill("24")
        assert state(page, "C-POWER-2") == ("out", f"Outside. {ALONE}")
        page.locator("[name=C-POWER-VOLTS]").fill("36,7")
        assert state(page, "C-POWER-2") == ("out", "Outside. By 36.7 V: 35.6 V or more.")
        page.locator("[name=C-POWER-2]").fill("35.6")
        assert state(page, "C-POWER-2") == ("in", "By 36.7 V: 35.6 V or more.")
        today = page.evaluate("window.records.stamp().slice(0, 10)")
        kept = page.evaluate(f"window.records.read('day:{today}', 'C-POWER-VOLTS')")
        assert (kept["value"], kept["unit"]) == ("36.7", "V")
        page.locator("[name=C-POWER-VOLTS]").fill("3.67")
        doubted = "Volts at the controller in doubt: 35.4 V or more."
        assert state(page, "C-POWER-2")[1] == doubted, "a slip of the pen lets nothing pass"
        page.locator("[name=C-POWER-VOLTS]").fill("36.7")
        page.evaluate(BACKDATE, ["B20", "C-POWER-2", "2024-06-03T08:00:00Z"])
        page.reload()
        assert state(page, "C-POWER-2") == ("in", ALONE), "read on another day than the controller"


def test_volts_that_cannot_be_are_questioned_as_records_question_them(demo: Path, screens: Screens) -> None:
    """At the box above the controller, under load above those with outputs off, and all that the supply cannot give."""
    off = due_of("B20", "C-POWER-2").off
    assert off is not None
    expected = {"in": "pass", "out": "fail", "ask": "implausible"}
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        today = page.evaluate("window.records.stamp().slice(0, 10)")
        for controller in (36.2, 38.0):
            most = off.meter.most_after(controller)
            page.locator("[name=C-POWER-VOLTS]").fill(f"{controller}")
            for more in (-0.01, 0.01, 0.5):
                page.locator("[name=C-POWER-2]").fill(f"{most + more:.2f}")
                found, told = state(page, "C-POWER-2")
                at_box, at_day = (row(of, check, value, "V", when=f"{today}T10:00:00Z") for of, check, value in (
                    ("B20", "C-POWER-2", f"{most + more:.2f}"), (f"day:{today}", "C-POWER-VOLTS", f"{controller}"),
                ))  # fmt: skip
                there = result_of(judge(file_of([at_box, at_day])), "B20", "C-POWER-2").status
                assert (found, there) == (("ask", "implausible") if more > 0 else ("in", "pass")), (controller, more)
                assert ("The controller has" in told) == (more > 0)
        page.locator("[name=C-POWER-VOLTS]").fill("36")
        page.locator("[name=C-POWER-2]").fill("36")
        for load in ("20", "35", "36.9", "37"):
            page.locator("[name=C-POWER-LOAD]").fill(load)
            rows = [row("B20", check, read, "V") for check, read in (("C-POWER-2", "36"), ("C-POWER-LOAD", load))]
            there = result_of(judge(file_of(rows)), "B20", "C-POWER-LOAD").status
            assert expected[state(page, "C-POWER-LOAD")[0] or ""] == there, load
        assert state(page, "C-POWER-LOAD") == ("ask", "Is it 37 V? With outputs off it is 36 V.")
        page.locator("[name=C-POWER-LOAD]").fill("36")
        assert state(page, "C-POWER-LOAD") == ("ask", "With outputs off it is 36 V. Was a station on?")
        page.locator("[name=C-POWER-2]").fill("36.5")
        assert state(page, "C-POWER-LOAD")[0] == "in", "judged again by the new reading with outputs off"
        page.locator("[name=C-POWER-VOLTS]").fill("45")
        assert state(page, "C-POWER-VOLTS") == ("ask", "Is it 45 V?")


def test_by_a_controller_that_is_not_good_no_box_is_shown_as_good(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        page.locator("[name=C-POWER-VOLTS]").fill("34.1")
        page.locator("[name=C-POWER-2]").fill("33.9")
        assert state(page, "C-POWER-VOLTS")[0] == "out"
        assert state(page, "C-POWER-2") == ("ask", "By 34.1 V: 33 V or more. But 34.1 V at the controller is not good.")
        page.locator("[name=C-POWER-2]").fill("32.9")
        assert state(page, "C-POWER-2")[0] == "out"
        page.locator("[name=C-POWER-VOLTS]").fill("35.6")
        page.locator("[name=C-POWER-2]").fill("35.5")
        assert state(page, "C-POWER-2")[0] == "in"


def test_what_is_written_at_one_end_box_is_there_at_the_next_and_on_the_daily_sheet(
    demo: Path, screens: Screens
) -> None:
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        page.locator("[name=C-POWER-VOLTS]").fill("36.2")
        for other in ("boxes/b40.html", "sheets/daily.html"):
            page.goto((demo / other).as_uri())
            assert page.locator("[name=C-POWER-VOLTS]").input_value() == "36.2", other
        limit = page.locator(".field", has=page.locator("[name=C-POWER-VOLTS]")).locator(".limit")
        assert limit.inner_text() == "35.6 V or more, on each day that the path is on", "as the paper says it"
        page.goto((demo / "boxes" / "b40.html").as_uri())
        page.locator("[name=C-POWER-2]").fill("34.0")
        assert state(page, "C-POWER-2")[0] == "out"


@pytest.mark.parametrize("later", [False, True])
def test_the_loop_after_the_fill_is_judged_as_records_judge_it(demo: Path, screens: Screens, later: bool) -> None:
    """In the same soil, and where the soil was read again on a later day, so that of the first reading is not known."""
    rule = due_of("B20", "C-FILL-6").loop
    assert rule is not None
    first, apart = round(rule.at(16.0).expected_ohms, 2), printed_apart("B20")
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        page.locator("[name=SOIL-C]").fill("16")
        page.locator("[name=C-TEST-3]").fill(f"{first}")
        if later:
            page.evaluate(BACKDATE, ["B20", "C-TEST-3", "2024-06-03T08:00:00Z"])
            page.reload()
        page_tells = page.locator(".field", has=page.locator("[name=C-FILL-6]")).locator(".limit").inner_text()
        assert page_tells == f"as in Test and within {apart:.2f} Ω of it"
        for more in (-apart - 0.1, -apart - 0.01, -apart, 0.0, apart, apart + 0.01, apart + 0.1):
            after = f"{first + more:.2f}"
            page.locator("[name=C-FILL-6]").fill(after)
            rows = [row("B20", "C-TEST-3", f"{first}", "Ω"), row("B20", "C-FILL-6", after, "Ω")]
            if not later:
                rows.append(row("B20", "SOIL-C", "16", "degC"))
            status = result_of(judge(file_of(rows)), "B20", "C-FILL-6").status
            found = state(page, "C-FILL-6")
            assert found[0] == ("out" if status == "fail" else "in"), (after, status, found)
            assert "y the first reading" in found[1]
            assert found[1].startswith("Outside. ") == (status == "fail")
            if not later:
                assert (status == "fail") == (abs(more) > apart), "by exactly the figure that card and page print"
                assert f"{first - apart:.2f} to {first + apart:.2f} Ω" in found[1]


def test_soil_and_the_loops_read_in_it_are_judged_as_records_judge_them(demo: Path, screens: Screens) -> None:
    """At the ends of the job's soil, 4 to 28 °C, a little beyond and far beyond; a loop at each of its limits."""
    rule = due_of("B20", "C-TEST-3").loop
    assert rule is not None
    soil_is = {"": "pass", "ask": "implausible"}
    loop_is = {"in": {"pass"}, "out": {"fail"}, "ask": {"outstanding", "implausible"}}
    seen = set()
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        for soil in ("-20", "-6.1", "-6", "3.9", "4", "16", "28", "28.01", "28.1", "33", "38", "38.1", "40", "60"):
            page.locator("[name=SOIL-C]").fill(soil)
            ends = {value for celsius in (4.0, 28.0, float(soil)) for value in loop_band(rule, celsius, celsius)}
            for value in sorted({round(end + more, 2) for end in ends for more in (-0.01, 0.0, 0.01)}):
                page.locator("[name=C-TEST-3]").fill(f"{value}")
                rows = [row("B20", "SOIL-C", soil, "degC"), row("B20", "C-TEST-3", f"{value}", "Ω")]
                results = judge(file_of(rows))
                found, here = state(page, "C-TEST-3"), state(page, "SOIL-C")
                assert result_of(results, "B20", "SOIL-C").status == soil_is[here[0] or ""], soil
                assert result_of(results, "B20", "C-TEST-3").status in loop_is[found[0] or ""], (soil, value, found)
                seen.add((soil, found[0]))
        assert ("40", "in") not in seen
        assert {("40", "ask"), ("33", "ask"), ("33", "out"), ("28", "in")} <= seen
        page.locator("[name=SOIL-C]").fill("40")
        assert state(page, "SOIL-C")[1] == "Is the soil at 40 °C? This job expects 4 to 28 °C. Was °F meant?"
        page.locator("[name=C-TEST-3]").fill("17.63")
        assert state(page, "C-TEST-3") == ("ask", "Read the soil again first. This job expects 4 to 28 °C.")
        page.locator("[name=SOIL-C]").fill("33")
        assert state(page, "SOIL-C") == ("", "This job expects 4 to 28 °C. Tell the designer.")


def test_a_first_reading_that_is_bad_is_not_compared(demo: Path, screens: Screens) -> None:
    rule = due_of("B20", "C-FILL-6").loop
    assert rule is not None
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        page.locator("[name=SOIL-C]").fill("16")
        page.locator("[name=C-TEST-3]").fill("99.9")
        page.locator("[name=C-FILL-6]").fill(f"{rule.at(16.0).expected_ohms:.2f}")
        told = state(page, "C-FILL-6")
        assert told[0] == "in"
        assert told[1].startswith("At 16 °C: ")


def test_other_volts_at_the_controller_ask_for_the_boxes_of_that_day_to_be_judged_again(
    demo: Path, screens: Screens
) -> None:
    with screens.open("phone") as screen:
        page = at_end_box(demo, screen.page)
        mark = "window.records.read('B20', 'C-POWER-2').mark"
        page.locator("[name=C-POWER-VOLTS]").fill("36.2")
        page.locator("[name=C-POWER-2]").fill("35.2")
        assert page.evaluate(mark) == "in"
        page.goto((demo / "sheets" / "daily.html").as_uri())
        page.locator("[name=C-POWER-VOLTS]").fill("37.5")
        assert page.evaluate(mark) is None, "nothing is known of it here"
        at_end_box(demo, page)
        assert page.evaluate(mark) == "out"
