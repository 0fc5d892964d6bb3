"""What records of loop readings say, in words, as data and on the terminal: faults put into a network of resistors."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from records.record_samples import RING, SOIL_C, context, due, file_of, good_rows, judge, result_of, text_of
from samples import DEMO
from slackloop.cli import main
from slackloop.compute.suspects.job_suspects import BoxReading
from slackloop.document.tables.suspect_words import (
    SuspectWords,
    loop_readings,
    odds_text,
    suspect_lines,
    suspect_records,
)
from study.faults import network
from study.two_cores import Fault, opened, readings


def read_with(fault: Fault | None, job: Path = DEMO, places: Sequence[str] = ()) -> list[BoxReading]:
    """The readings of a job, rings open, by a meter that reads 0.4 % high."""
    on = network("job", job)
    read = readings(opened(on.runs, on.closing), on.places, fault)
    found = [BoxReading(run.id, round(float(ohms) * 1.004, 2), SOIL_C) for run, ohms in zip(on.runs, read, strict=True)]
    return [each for each in found if not places or each.place in places]


def rows(fault: Fault | None) -> list[list[str]]:
    return told(SuspectWords(context(), read_with(fault)))


def told(words: SuspectWords) -> list[list[str]]:
    return [
        [words.place(each), words.odds(each), words.faults(each), words.apart(number, each)]
        for number, each in enumerate(words.told())
    ]


def test_a_bad_splice_is_told_with_a_wrong_length_and_what_tells_them_apart() -> None:
    (row,) = rows(Fault("splice", "B14", ohms=1.9))
    assert row[:2] == ["Run from B13 to B14", "more than 99 %"]
    assert "a bad splice at B13, 2.0 Ω too many" in row[2]
    assert "m (390 ft) longer than drawn" in row[2]
    assert row[3].startswith("Cut the run from B13 to B14 out of its splices at both ends")
    assert "a wrong length" in row[3]
    assert "a bad splice" in row[3]


def test_a_short_near_a_box_names_both_runs_and_the_reading_that_tells() -> None:
    first, second = rows(Fault("short", "B23", ohms=0.3, at=0.97))
    assert {first[0], second[0]} == {"Run from B22 to B23", "Run from B23 to B24"}
    assert "leave its far end open" in first[3]
    assert "open the second" in first[3]


def test_the_splices_of_a_branch_box_are_told_as_its_own() -> None:
    (row,) = rows(Fault("branch-splice", "B12", ohms=5.0))
    assert row[0] == "Splices in B12"
    assert "the core that comes in is gripped badly" in row[2]


def test_a_short_run_is_told_as_shorter() -> None:
    (row, *_) = rows(Fault("length", "B37", times=0.4))
    assert row[0] == "Run from the controller to B37"
    assert "shorter than drawn" in row[2]


def test_sound_readings_say_nothing() -> None:
    assert suspect_records(context(), read_with(None)) == []
    assert list(suspect_lines(context(), read_with(None))) == []
    assert suspect_records(context(), []) == []


def test_two_faults_are_said_to_be_more_than_one() -> None:
    both = [
        BoxReading(each.place, each.ohms + (4.0 if each.place in ("B20", "B28", "B36") else 0.0), each.soil_c)
        for each in read_with(Fault("splice", "B38", ohms=3.0))
    ]
    told = list(suspect_lines(context(), both))
    assert told[0].startswith("Before you read: the path is off and locked off")
    assert told[1].startswith("No single fault")


def test_odds_between_faults_are_not_told_where_none_fits() -> None:
    """One reading of 99.9 Ω beside good ones is no fault of the path."""
    wrong = [replace(each, ohms=99.9) if each.place == "B06" else each for each in read_with(None)]
    assert {row[1] for row in told(SuspectWords(context(), wrong))} == {"fits badly"}
    lines = list(suspect_lines(context(), wrong))
    assert lines[1].startswith("No single fault fits these readings well")
    assert "%" not in " ".join(lines)


def test_odds_are_never_certain() -> None:
    assert [odds_text(each) for each in (1.0, 0.994, 0.72, 0.001)] == [
        "more than 99 %", "more than 99 %", "72 %", "less than 1 %",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("job", "fault"),
    [(DEMO, Fault("splice", "B14", ohms=3.0)), (RING, Fault("splice", "B012-B001", ohms=9.0))],
    ids=["demonstration", "loose end of a ring"],
)
def test_the_command_tells_what_its_readings_say(
    job: Path, fault: Fault, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Records as pages save them, all good but for the loop readings of one fault, with the rings open."""
    read = {each.place: each.ohms for each in read_with(fault, job)}
    changes = {
        (each.subject, each.ids[0]): f"{read[each.subject.removeprefix('run:')]}"
        for each in due(job).dues
        if each.loop is not None and "C-POWER-7" not in each.ids
    }
    assert len(changes) >= len(read)
    file = tmp_path / "a.csv"
    file.write_text(text_of(good_rows(due(job), changes), context(job).fingerprint), encoding="utf-8", newline="")
    assert main(["records", str(job), str(file)]) == 1
    said = capsys.readouterr().out
    assert "\nTo repair" in said
    assert said.index("\nTo repair") < said.index("\nWhat the readings say\n") < said.index("\nBy box and sheet")
    assert main(["records", "--json", str(job), str(file)]) == 1
    found = json.loads(capsys.readouterr().out)["suspects"]
    assert found[0]["place"] == f"run:{fault.place}"
    assert found[0]["odds"] > 0.9
    assert {each["kind"] for each in found[0]["faults"]} >= {"splice"}
    assert set(found[0]) == {"place", "odds", "fits", "faults", "words", "next"}


def test_a_run_that_passed_before_its_fill_puts_no_other_run_under_suspicion() -> None:
    """It would be cut out of closed boxes for damage that the fill of one trench did."""
    fill = next(each for each in due(DEMO).dues if each.subject == "B07" and each.near == "C-TEST-3")
    rows = good_rows(due(DEMO), {("B07", fill.ids[0]): "5.95"})
    results = judge(file_of(rows))
    assert result_of(results, "B07", fill.ids[0]).status == "fail"
    assert loop_readings(context(), results) == ()
    first = {("B08", name): "9.9" for name in ("C-TEST-3", fill.ids[0])}
    far = judge(file_of(good_rows(due(DEMO), {("B07", fill.ids[0]): "5.95"} | first)))
    read = {each.place: each.ohms for each in loop_readings(context(), far)}
    assert (read["B08"], read["B07"] < 5.9) == (9.9, True)
