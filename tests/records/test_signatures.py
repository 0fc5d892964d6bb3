"""What a hold or a signature answers for, and what stands against it."""

from __future__ import annotations

import pytest

from records.record_samples import (
    DEMO,
    at,
    context,
    due,
    due_of,
    file_of,
    good_rows,
    judge,
    result_of,
    row,
)
from slackloop.records.report import report
from slackloop.records.result import Result

CALLED = " C-TEST-1 is “Insulation of the run”."


def test_a_hold_or_a_signature_without_a_name_is_outstanding() -> None:
    results = judge(file_of([row("B07", "C-TEST-4", ""), row("B07", "sign-run", " ")]))
    assert [result_of(results, "B07", check).status for check in ("C-TEST-4", "sign-run")] == ["outstanding"] * 2
    assert result_of(results, "B07", "C-TEST-4").due.hold


def test_a_hold_that_is_signed_over_a_bad_reading_is_named() -> None:
    """Insulation comes before the hold of the fill, the loop after the fill does not; a repaired reading is good."""
    bad = [row("B07", "C-TEST-1", "2", "MΩ"), row("B08", "C-FILL-6", "99.9", "Ω")]
    repaired = [at(1, "2", "B09", "C-TEST-1", "MΩ"), at(2, "200", "B09", "C-TEST-1", "MΩ")]
    rows = [*bad, *repaired, *(row(box, "C-TEST-4", "Inspector") for box in ("B07", "B08", "B09"))]
    notes = judge(file_of(rows, fingerprint=context().fingerprint)).notes
    (note,) = (each for each in notes if each.startswith("Signed although a reading"))
    assert note == f"Signed although a reading is not good: C-TEST-4 at B07 (C-TEST-1).{CALLED}"


def test_a_hold_that_is_signed_over_bad_readings_fails_until_they_are_good() -> None:
    """One non-conformance says over what; the signature of the row stands, and so does a hold of another matter."""
    bad = [row("B07", "C-TEST-1", "2", "MΩ"), row("B07", "C-TEST-3", "99.9", "Ω")]
    signed = [row("B07", check, "I. Brook") for check in ("C-TEST-4", "C-FILL-PIPE", "sign-test")]
    results = judge(file_of([*bad, *signed], fingerprint=context().fingerprint))
    held = result_of(results, "B07", "C-TEST-4")
    assert held.status == "fail"
    assert held.why == "signed over C-TEST-1 (2 MΩ), C-TEST-3 (99.9 Ω)"
    assert held.to_do.startswith("Stop.")
    assert [result_of(results, "B07", check).status for check in ("C-FILL-PIPE", "sign-test")] == ["pass"] * 2
    (told,) = (each for each in results.non_conformances if each.due.ids == ("C-TEST-4",))
    assert (told.why, told.status, told.closed_by) == (held.why, "fail", None)
    assert results.counts()["fail"] == 3
    (line,) = (each for each in report(results) if "C-TEST-4" in each and "of 40 signed" in each)
    assert "1 of 40 signed, 1 of them over a bad reading" in line
    assert "B07" not in line.partition("not signed: ")[2].split(", ")
    rule = due_of("B07", "C-TEST-3").loop
    assert rule is not None
    repaired = [
        row("B07", check, value, unit, when="2024-03-12T09:00:00Z")
        for check, value, unit in (
            ("C-TEST-1", "200", "MΩ"), ("SOIL-C", "12", "degC"),
            ("C-TEST-3", f"{rule.at(12.0).expected_ohms:.2f}", "Ω"),
        )
    ]  # fmt: skip
    results = judge(file_of([*bad, *signed, *repaired], fingerprint=context().fingerprint))
    assert result_of(results, "B07", "C-TEST-3").status == "pass"
    still = result_of(results, "B07", "C-TEST-4")
    assert (still.status, still.why) == ("fail", held.why), "it was signed over them, and nobody has looked again"
    again = row("B07", "C-TEST-4", "I. Brook", when="2024-03-12T10:00:00Z")
    results = judge(file_of([*bad, *signed, *repaired, again], fingerprint=context().fingerprint))
    assert result_of(results, "B07", "C-TEST-4").status == "pass"
    assert not any(each.due.ids == ("C-TEST-4",) for each in results.non_conformances)


def held_at(signed: str, *read: tuple[str, str]) -> Result:
    """How the hold of B07 stands, signed at one time, with insulation of these values read at these times."""
    rows = [
        row("B07", "C-TEST-4", "I. Brook", when=f"2024-03-{signed}Z"),
        *(row("B07", "C-TEST-1", value, "MΩ", when=f"2024-03-{when}Z") for value, when in read),
    ]
    return result_of(judge(file_of(rows, fingerprint=context().fingerprint)), "B07", "C-TEST-4")


@pytest.mark.parametrize(
    ("read", "status", "value"),
    [
        ([("200", "11T09:00:00")], "pass", ""),
        ([("200", "12T09:00:00")], "pass", ""),  # a form of paper, with the one time that is on it
        ([("200", "12T09:00:50")], "pass", ""),  # the same minute
        ([("200", "12T09:01:00")], "fail", "200"),
        ([("200", "11T09:00:00"), ("2", "14T09:00:00")], "fail", "2"),
        ([("200", "11T09:00:00"), ("210", "14T09:00:00")], "fail", "210"),
        ([("200", "11T09:00:00"), ("200", "14T09:00:00")], "pass", ""),  # nothing has changed
    ],
)
def test_a_hold_does_not_pass_where_the_reading_that_counts_was_recorded_after_it(
    read: list[tuple[str, str]], status: str, value: str
) -> None:
    found = held_at("12T09:00:10", *read)
    assert found.status == status
    assert found.why == (f"signed before these were recorded: C-TEST-1 ({value} MΩ)" if value else "")
    assert ("have it signed again" in found.to_do) == bool(value)
    assert held_at("15T09:00:00", *read).status == ("fail" if value == "2" else "pass"), "signed again"


def test_a_signature_of_a_row_that_is_older_than_its_readings_is_named_and_stands() -> None:
    """The soil is read anew with each loop reading, and makes no signature older."""
    rows = [
        row("B07", "C-TEST-4", "I. Brook"), row("B07", "sign-test", "A. Smith"), row("B07", "sign-run", "A. Smith"),
        row("B07", "C-TEST-3", "5.6", "Ω"), row("B07", "SOIL-C", "16", "degC", when="2024-03-11T15:05:00+01:00"),
        row("B07", "C-LAY-4", "500", "mm", when="2024-03-11T15:05:00+01:00"),
    ]  # fmt: skip
    results = judge(file_of(rows, fingerprint=context().fingerprint))
    assert result_of(results, "B07", "sign-run").status == "pass"
    (note,) = (each for each in results.notes if "before the reading that counts" in each)
    assert note == (
        "Signed before the reading that counts was recorded: sign-run at B07 (C-LAY-4), C-TEST-4 at B07 (C-LAY-4). "
        "C-LAY-4 is “Cover over the cable”."
    )
    (told,) = (each for each in results.non_conformances if each.due.ids == ("C-TEST-4",))
    assert told.why == "signed before these were recorded: C-LAY-4 (500 mm)"
    (line,) = (each for each in report(results) if "C-TEST-4" in each and "of 40 signed" in each)
    assert "1 of them before a reading was recorded" in line


def test_the_holds_of_the_job_are_named_where_a_reading_is_younger() -> None:
    """The record answers for all, the path for what comes before it is switched on; as built is told by itself."""
    later = "2024-03-13T09:00:00Z"
    rows = [
        *good_rows(due(DEMO)), row("B05", "C-LAY-4", "700", "mm", when=later),
        row("B20", "C-POWER-2", "36.1", "V", when=later), row("run:B04", "AB-LENGTH", "44.5", "m", when=later),
        row(f"day:{later[:10]}", "C-POWER-VOLTS", "36.2", "V", when=later),
    ]  # fmt: skip
    notes = judge(file_of(rows, fingerprint=context().fingerprint)).notes
    (note,) = (each for each in notes if "before the reading that counts" in each)
    assert "C-POWER-1 (B05), " in note
    assert "C-RECORD-1 (B05, B20)" in note


def test_a_signature_over_what_was_not_recorded_is_named() -> None:
    """The stage answers for its own values and ticks, the hold for the values before it; a whole one for nothing."""
    gone = {("B06", "C-FILL-6"), ("B07", "C-TEST-1")}
    rows = [each for each in good_rows(due(DEMO)) if (each[0], each[1]) not in gone]
    results = judge(file_of(rows, fingerprint=context().fingerprint))
    stage = due_of("B06", "C-FILL-6").stage
    (note,) = results.notes
    told, called = note.removeprefix("Signed although not recorded: ").split("). ")
    told = f"{told})".split(", ")
    assert "C-FILL-6 is “Loop after the run is covered”" in called
    assert f"sign-{stage} at B06 (C-FILL-6)" in told
    assert "C-TEST-4 at B07 (C-TEST-1)" in told
    lines = list(report(results))
    assert any("C-TEST-4" in each and "40 of 40 signed, 1 of them with values missing" in each for each in lines)


def test_a_hold_signed_by_who_made_the_readings_is_named() -> None:
    rows = good_rows(due(DEMO), {("B07", "C-TEST-4"): " a.  SMITH"})
    results = judge(file_of(rows, fingerprint=context().fingerprint))
    assert results.notes == ("Hold signed by the person who made the readings: C-TEST-4 at B07 (a.  SMITH).",)


def test_leave_to_cross_is_a_hold_of_its_own_and_answers_for_nothing_that_comes_after_it() -> None:
    """It is signed before the cut: no reading of its run is held against it, but the run is not whole without it."""
    leave = due_of("B01", "C-CROSS-3")
    assert (leave.kind, leave.hold, leave.answers, leave.stage) == ("sign", True, "nothing", "run")
    assert "C-CROSS-3" not in {name for each in due(DEMO).dues if each.subject == "B02" for name in each.ids}
    alone = judge(file_of([row("B01", "C-CROSS-3", "Road keeper")], fingerprint=context().fingerprint))
    assert result_of(alone, "B01", "C-CROSS-3").status == "pass"
    assert alone.notes == ()
    rows = [each for each in good_rows(due(DEMO)) if (each[0], each[1]) != ("B01", "C-CROSS-3")]
    without = judge(file_of(rows, fingerprint=context().fingerprint))
    assert result_of(without, "B01", "C-CROSS-3").status == "outstanding"
    assert without.notes == (
        "Work went on past a hold that nobody signed: C-CROSS-3 at B01 (C-TEST-4, C-FILL-PIPE, sign-test). "
        "C-CROSS-3 is “Permission to cross”.",
        "Signed although not recorded: C-POWER-1 (B01), C-RECORD-1 (B01), sign-run at B01 (C-CROSS-3). "
        "C-CROSS-3 is “Permission to cross”.",
    )
    crossings = sum(each.ids == ("C-CROSS-3",) for each in due(DEMO).dues)
    (told,) = [each for each in report(without) if "C-CROSS-3 Permission to cross" in each]
    assert f"{crossings - 1} of {crossings} signed, not signed: B01" in told


def test_a_hold_signed_before_the_reading_went_bad_says_so() -> None:
    """It read well when it was signed. What was first read after the signature, not good, is told as ever."""
    held = row("B07", "C-TEST-4", "Inspector", when="2024-03-12T09:00:00Z")
    good = row("B07", "C-TEST-1", "200", "MΩ", when="2024-03-11T09:00:00Z")
    bad = row("B07", "C-TEST-1", "2", "MΩ", when="2024-03-14T09:00:00Z")
    note, *_ = judge(file_of([good, held, bad], fingerprint=context().fingerprint)).notes
    assert note == f"Signed while the reading was good; read again later, not good: C-TEST-4 at B07 (C-TEST-1).{CALLED}"
    note, *_ = judge(file_of([held, bad], fingerprint=context().fingerprint)).notes
    assert note == f"Signed although a reading is not good: C-TEST-4 at B07 (C-TEST-1).{CALLED}"


def test_a_hold_that_answers_for_nothing_is_held_to_no_reading() -> None:
    """Who signs for the pipe signs for no cable."""
    pipe = due_of("B07", "C-FILL-PIPE")
    assert (pipe.hold, pipe.answers, pipe.stage) == (True, "nothing", "test")
    rows = [row("B07", "C-TEST-1", "2", "MΩ"), row("B07", "C-FILL-PIPE", "A. Smith")]
    assert judge(file_of(rows, fingerprint=context().fingerprint)).notes == ()


def test_the_holds_of_the_job_answer_for_the_path_and_the_record() -> None:
    """Not for what comes after them: the card is closed after switching on, and papers are handed over last."""
    late = {"sign-close", "C-POWER-4", "C-POWER-5", "C-RECORD-3"}
    rows = [each for each in good_rows(due(DEMO)) if each[0] != "B40"]
    whole = judge(file_of(good_rows(due(DEMO)), fingerprint=context().fingerprint))
    assert whole.notes == ()
    bad = row("B06", "C-TEST-3", "99.9", "Ω", when="2024-03-13T09:00:00Z")
    told = judge(file_of([*rows, bad], fingerprint=context().fingerprint)).notes
    over, without = (next(each for each in told if words in each) for words in ("read again later", "not recorded"))
    assert "C-RECORD-1 (B06)" in over
    assert "C-POWER-1 (B06)" in over
    assert "C-RECORD-1 (B40" in without
    assert "C-POWER-1 (B40)" in without
    left = [each for each in good_rows(due(DEMO)) if each[1] not in late]
    told = judge(file_of(left, fingerprint=context().fingerprint)).notes
    assert all("C-POWER-1" not in each for each in told)
    assert any("C-RECORD-1 (job, B01" in each for each in told)


def test_a_row_signed_for_the_photo_says_nothing_of_the_stations_that_are_operated_later() -> None:
    """Lid off and stations operated are weeks apart: each is signed for by itself, and the name is no bare no."""
    later = due_of("B07", "C-POWER-4")
    assert (later.kind, later.stage, later.later, later.hold) == ("sign", "close", True, False)
    rows = [each for each in good_rows(due(DEMO)) if each[0] == "B07" and each[1] != "C-POWER-4"]
    closed = judge(file_of(rows, fingerprint=context().fingerprint))
    standing = {each.due.ids[0]: each.status for each in closed.results if each.due.subject == "B07"}
    assert (standing["sign-close"], standing["C-POWER-4"]) == ("pass", "outstanding")
    assert not any("sign-close at B07" in note for note in closed.notes)
    for value, status in (("A. Smith", "pass"), ("no", "outstanding")):
        told = judge(file_of([*rows, row("B07", "C-POWER-4", value)], fingerprint=context().fingerprint))
        found = {each.due.subject: each.status for each in told.results if each.due.ids == ("C-POWER-4",)}
        assert found["B07"] == status


def test_work_past_a_hold_that_nobody_signed_is_named() -> None:
    """The loop after the fill says that the trench was filled; a reading of the same row says nothing."""
    rows = [row("B07", "C-TEST-3", "5.6", "Ω"), row("B07", "SOIL-C", "16", "degC")]
    assert not any("past a hold" in note for note in judge(file_of(rows)).notes)
    filled = [*rows, row("B07", "C-FILL-6", "5.6", "Ω")]
    (note,) = (each for each in judge(file_of(filled)).notes if "past a hold" in each)
    assert note.startswith("Work went on past a hold that nobody signed: C-TEST-4 at B07 (C-FILL-6), ")
    signed = [*filled, *(row("B07", check, "I. Brook") for check in ("C-TEST-4", "C-FILL-PIPE"))]
    assert not any("past a hold" in note for note in judge(file_of(signed)).notes)
