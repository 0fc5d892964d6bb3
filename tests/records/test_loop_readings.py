"""A loop reading goes by the soil of its day, and after the fill by the reading before it."""

from __future__ import annotations

import re

from records.record_samples import (
    DAY_1,
    context,
    due_of,
    file_of,
    judge,
    result_of,
    row,
)
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.stage_work import stage_works
from slackloop.document.boxes.stages import box_stages
from slackloop.records.judgement import Judged, compared
from slackloop.records.result import Record, Result


def test_a_loop_reading_goes_by_the_soil_of_its_own_day() -> None:
    """Read cold, covered, and read once more in summer: the first reading is still judged in cold soil."""
    loop = due_of("B07", "C-TEST-3").loop
    assert loop is not None
    cold, warm = (f"{loop.at(each).low_ohms + 0.02:.2f}" for each in (4.0, 24.0))
    rows = [
        row("B07", "SOIL-C", "4", "degC", when="2024-03-11T08:00:00Z"),
        row("B07", "C-TEST-3", cold, "Ω", when="2024-03-11T08:10:00Z"),
        row("B07", "SOIL-C", "24", "degC", when="2024-07-09T08:00:00Z"),
        row("B07", "C-FILL-6", warm, "Ω", when="2024-07-09T08:10:00Z"),
    ]
    results = judge(file_of(rows))
    assert [result_of(results, "B07", each).status for each in ("C-TEST-3", "C-FILL-6")] == ["pass", "pass"]
    assert "in soil of 4 °C" in result_of(results, "B07", "C-TEST-3").limit
    corrected = judge(file_of(rows[:3]))
    assert result_of(corrected, "B07", "C-TEST-3").status == "fail"


def printed_apart(box: str) -> float:
    """How far the second reading may be from the first, as the card of a box prints it."""
    facts = BoxFacts(context(), context().network.boxes.index(box))
    entries = (each for work in stage_works(facts, box_stages(context(), facts)) for each in work.entries)
    (after,) = (each.after for each in entries if each.near and each.loop)
    found = re.fullmatch(r"and within ([0-9.]+) Ω of it", after)
    assert found is not None, after
    return float(found[1])


def test_card_and_records_have_one_figure_for_the_second_reading_at_every_box() -> None:
    """The figure of the card passes and a hundredth more does not, in either direction."""
    for box in context().network.boxes[::7]:
        due, apart = due_of(box, "C-FILL-6"), printed_apart(box)
        assert due.loop is not None
        first = Judged("pass", round(due.loop.at(16.0).expected_ohms, 2), celsius=16.0)
        assert first.number is not None
        for more, status in ((apart, "pass"), (-apart, "pass"), (apart + 0.01, "fail"), (-apart - 0.01, "fail")):
            value = f"{first.number + more:.2f}"
            made = Record(box, "C-FILL-6", value, "Ω", "A", DAY_1, "", "a.csv", 2)
            assert compared(due, made, Judged("pass", float(value), celsius=16.0), first).status == status, (box, more)


def loops(before: str, after: str, *, soil: tuple[str, str] | None = ("16", "16")) -> Result:
    """How the loop after the fill stands, in soil of these temperatures before and after, or in soil of no record."""
    rows = [
        row("B20", "C-TEST-3", before, "Ω", when="2024-03-11T08:10:00Z"),
        row("B20", "C-FILL-6", after, "Ω", when="2024-07-09T08:10:00Z"),
    ]
    for day, celsius in zip(("2024-03-11", "2024-07-09"), soil or (), strict=False):
        rows.append(row("B20", "SOIL-C", celsius, "degC", when=f"{day}T08:00:00Z"))
    return result_of(judge(file_of(rows)), "B20", "C-FILL-6")


def test_the_loop_after_the_fill_is_close_to_the_one_before_it() -> None:
    """Inside the limits both times, and between the two by no more than the figure that card and page print."""
    rule = due_of("B20", "C-FILL-6").loop
    assert rule is not None
    assert due_of("B20", "C-FILL-6").near == "C-TEST-3"
    before = round(rule.at(16.0).low_ohms + 0.3, 2)
    apart = printed_apart("B20")
    near = loops(f"{before}", f"{before + apart:.2f}")
    far = loops(f"{before}", f"{before + apart + 0.01:.2f}")
    assert before + apart + 0.01 < rule.at(16.0).high_ohms
    assert (near.status, far.status) == ("pass", "fail")
    assert "does not agree with the reading before the fill" in far.why
    assert far.to_do.startswith("Stop if")
    assert loops(f"{before + apart:.2f}", f"{before}").status == "pass"
    assert loops(f"{before + apart + 0.01:.2f}", f"{before}").status == "fail", "a short is as bad as a break"


def test_the_reading_before_is_taken_to_the_soil_of_the_reading_after() -> None:
    rule = due_of("B20", "C-FILL-6").loop
    assert rule is not None
    cold, warm = (rule.at(each).expected_ohms for each in (4.0, 28.0))
    assert warm - cold > rule.meter.of(warm) + rule.meter.of(cold), "soil alone moves it by more than the meter"
    assert loops(f"{cold:.3f}", f"{warm:.3f}", soil=("4", "28")).status == "pass"
    same = f"{rule.at(28.0).low_ohms + 0.02:.3f}"
    assert loops(same, f"{warm:.3f}", soil=("28", "28")).status == "fail"
    assert loops(f"{cold:.3f}", f"{warm:.3f}", soil=None).status != "fail", "soil of any temperature may be the cause"


def test_a_reading_before_the_fill_that_is_bad_or_later_is_not_compared() -> None:
    rule = due_of("B20", "C-FILL-6").loop
    assert rule is not None
    good = f"{rule.at(16.0).expected_ohms:.2f}"
    assert loops("99.9", good).status == "pass"
    rows = [
        row("B20", "SOIL-C", "16", "degC", when="2024-03-11T08:00:00Z"),
        row("B20", "C-FILL-6", good, "Ω", when="2024-03-11T08:10:00Z"),
        row("B20", "C-TEST-3", f"{rule.at(16.0).low_ohms + 0.02:.2f}", "Ω", when="2024-03-11T09:10:00Z"),
    ]
    assert result_of(judge(file_of(rows)), "B20", "C-FILL-6").status == "pass"


def test_the_last_reading_at_an_end_box_is_judged_and_never_due() -> None:
    due = due_of("B20", "LOOP-LAST")
    assert due.optional
    assert due.loop == due_of("B20", "C-TEST-3").loop
    assert [each.due.subject for each in judge().results if "LOOP-LAST" in each.due.ids] == []
    soil = row("B20", "SOIL-C", "16", "degC", when="2024-07-09T08:00:00Z")
    for value, status in (("17.63", "pass"), ("19.7", "fail")):
        rows = [soil, row("B20", "LOOP-LAST", value, "Ω", when="2024-07-09T08:10:00Z")]
        assert result_of(judge(file_of(rows)), "B20", "LOOP-LAST").status == status
    assert "LOOP-LAST" not in {name for each in judge().results for name in each.due.ids if each.due.subject == "B19"}
