"""How a job stands: merging of files, history, void records, days, and nothing that is lost."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from datetime import timedelta
from itertools import permutations

import pytest

from records.record_samples import (
    DAY_1,
    DEMO,
    RING,
    Row,
    context,
    due,
    due_of,
    file_of,
    good_rows,
    judge,
    result_of,
    row,
    text_of,
)
from slackloop.records.record_file import RecordFile, records_of
from slackloop.records.report import report
from slackloop.records.result import Older, Result, Results
from slackloop.records.standing import judge_job
from work_count import growth

BOX = ("B07", "C-BOX-1")


def at(minute: int, value: str, box: str = "B07", check: str = "C-BOX-1", unit: str = "m", by: str = "A") -> Row:
    return row(box, check, value, unit, by, (DAY_1 + timedelta(minutes=minute)).isoformat())


def only_what_is_said(results: Results) -> object:
    """All but the places of the rows, which move with their file."""
    return [
        (
            each.due.subject, each.due.ids, each.status, each.number, each.why, each.limit,
            each.record and each.record.value, [(one.value, one.when) for one in each.earlier],
        )
        for each in results.results
    ]  # fmt: skip


@pytest.mark.parametrize("job", [DEMO, RING])
def test_a_job_with_everything_recorded_well_passes(job) -> None:  # type: ignore[no-untyped-def]
    results = judge(file_of(good_rows(due(job)), fingerprint=context(job).fingerprint), job=job)
    assert results.verdict == "pass"
    assert set(results.counts()) == {"pass"}
    assert (results.refused, results.notes, results.non_conformances) == ((), (), ())
    assert len(results.results) == sum(not each.optional for each in due(job).dues) + len(due(job).each_day)


def test_nothing_recorded_is_outstanding_and_nothing_else() -> None:
    results = judge()
    assert results.verdict == "outstanding"
    assert set(results.counts()) == {"outstanding"}


def test_the_later_entry_wins_and_the_earlier_stays() -> None:
    result = result_of(judge(file_of([at(9, "1.4"), at(5, "1.3"), at(1, "1.6")])), *BOX)
    assert result.record is not None
    assert (result.record.value, [each.value for each in result.earlier]) == ("1.4", ["1.6", "1.3"])


def test_one_instant_written_in_two_zones_is_one_instant() -> None:
    zones = [row(*BOX, "1.4", "m", when=when) for when in ("2024-03-11T14:05:00+01:00", "2024-03-11T13:05:00Z")]
    result = result_of(judge(file_of(zones)), *BOX)
    assert not result.earlier
    later = row(*BOX, "1.5", "m", when="2024-03-11T08:10:00-05:00")
    result = result_of(judge(file_of([*zones, later])), *BOX)
    assert result.record is not None
    assert result.record.value == "1.5"


def test_of_two_values_at_one_moment_the_worse_counts() -> None:
    for files in permutations([file_of([at(5, "1.4")], "a"), file_of([at(5, "0.4", by="B")], "b")]):
        assert result_of(judge(*files), *BOX).status == "fail"


def random_files(seed: int) -> list[RecordFile]:
    """Rows on three boxes: doubled, wrong, of no box, at the same time, in up to four files."""
    rng = random.Random(seed)
    checks = [
        ("C-BOX-1", "m"),
        ("C-TEST-3", "Ω"),
        ("SOIL-C", "degC"),
        ("C-SPLICE-3", ""),
        ("C-DEVICE-1", ""),
        ("C-X", ""),
    ]
    rows = []
    for _ in range(rng.randint(1, 40)):
        check, unit = rng.choice(checks)
        value = rng.choice(["1.4", "0.2", "5", "12", "yes", "no", "", "x", "103", "-1", "1,5"])
        rows.append(
            at(rng.randint(0, 6) * 700, value, rng.choice(["B03", "B04", "B99"]), check, unit, rng.choice("AB"))
        )
    rows += rng.choices(rows, k=5)
    files: list[list[Row]] = [[] for _ in range(rng.randint(1, 4))]
    for each in rows:
        rng.choice(files).append(each)
    return [
        file_of(some, f"{number}.csv", rng.choice(["", context().fingerprint])) for number, some in enumerate(files)
    ]


@pytest.mark.parametrize("seed", range(40))
def test_the_order_of_files_changes_nothing_and_the_same_file_twice_changes_nothing(seed: int) -> None:
    files = random_files(seed)
    told = judge(*files)
    shuffled = random.Random(seed).sample(files, len(files))
    assert judge(*shuffled) == told
    again = [records_of_same(each) for each in files]
    assert only_what_is_said(judge(*files, *again)) == only_what_is_said(told)
    renamed = [records_of_same(each, f"x{each.name}") for each in files]
    assert only_what_is_said(judge(*files, *renamed)) == only_what_is_said(told)


def records_of_same(file: RecordFile, name: str = "") -> RecordFile:
    """The same rows, in another file where it has another name."""
    rows = [(r.subject, r.check, r.value, r.unit, r.by, r.when.isoformat(), r.note) for r in file.records]
    return records_of(text_of(rows), name or file.name)


@pytest.mark.parametrize("seed", range(40))
def test_no_row_is_lost(seed: int) -> None:
    """Each good row counts, is in a history, or is refused by its row; a row that comes twice is one of them once."""
    files = random_files(seed)
    results = judge(*files)
    kept = [one for each in results.results for one in (*each.earlier, *([each.record] if each.record else []))]
    places = {(each.file, each.row) for each in (*kept, *results.refused)}
    said = Counter((r.subject, r.check, r.value, r.unit, r.by, r.when, r.note) for f in files for r in f.records)
    firsts = {
        min((r.file, r.row) for f in files for r in f.records if said_by(r) == each)
        for each in said
        if each[1] != "HANDBOOK"
    }
    assert firsts == places
    assert len(kept) == len(set(kept))


def said_by(record) -> tuple[object, ...]:  # type: ignore[no-untyped-def]
    return (record.subject, record.check, record.value, record.unit, record.by, record.when, record.note)


def test_a_fail_that_was_repaired_is_a_closed_non_conformance() -> None:
    results = judge(file_of([at(1, "0.9"), at(2, "0.8"), at(3, "1.4"), at(4, "0.7"), at(1, "0.5", "B08")]))
    told = [
        (each.due.subject, each.record.value, each.closed_by and each.closed_by.value)
        for each in results.non_conformances
    ]
    assert told == [("B07", "0.9", "1.4"), ("B07", "0.7", None), ("B08", "0.5", None)]
    assert all(each.to_do.startswith("Stop if") for each in results.non_conformances)
    closed = judge(file_of([at(1, "0.9"), at(3, "1.4")]))
    assert (closed.verdict, result_of(closed, *BOX).status) == ("outstanding", "pass")


def test_a_value_taken_back_is_outstanding_and_stays_in_the_history() -> None:
    result = result_of(judge(file_of([at(1, "1.4"), at(2, "")])), *BOX)
    assert (result.status, result.why) == ("outstanding", "it was recorded and taken back")
    assert [each.value for each in result.earlier] == ["1.4"]


def test_a_later_row_that_cannot_be_read_is_refused_and_the_good_one_stays() -> None:
    results = judge(file_of([at(1, "1.4"), at(2, "abc")]))
    assert result_of(results, *BOX).status == "pass"
    (refused,) = results.refused
    assert (refused.file, refused.row) == ("a.csv", 3)
    assert "B07 C-BOX-1: abc m is not a length" in refused.message


def test_a_hold_or_a_signature_without_a_name_is_outstanding() -> None:
    results = judge(file_of([row("B07", "C-TEST-4", ""), row("B07", "sign-run", " ")]))
    assert [result_of(results, "B07", check).status for check in ("C-TEST-4", "sign-run")] == ["outstanding"] * 2
    assert result_of(results, "B07", "C-TEST-4").due.hold


def test_a_hold_that_is_signed_over_a_bad_reading_is_named() -> None:
    """Insulation comes before the hold of the fill, the loop after the fill does not; a repaired reading is good."""
    bad = [row("B07", "C-TEST-1", "2", "MΩ"), row("B08", "C-FILL-6", "99.9", "Ω")]
    repaired = [at(1, "2", "B09", "C-TEST-1", "MΩ"), at(2, "200", "B09", "C-TEST-1", "MΩ")]
    rows = [*bad, *repaired, *(row(box, "C-TEST-4", "Inspector") for box in ("B07", "B08", "B09"))]
    note, _ = judge(file_of(rows, fingerprint=context().fingerprint)).notes
    assert note == "Signed although a reading is not good: C-TEST-4 at B07 (C-TEST-1)."


def test_a_signature_over_what_was_not_recorded_is_named() -> None:
    """The stage answers for its own values and ticks, the hold for the values before it; a whole one for nothing."""
    gone = {("B06", "C-FILL-6"), ("B07", "C-TEST-1")}
    rows = [each for each in good_rows(due(DEMO)) if (each[0], each[1]) not in gone]
    results = judge(file_of(rows, fingerprint=context().fingerprint))
    stage = due_of("B06", "C-FILL-6").stage
    (note,) = results.notes
    told = note.removeprefix("Signed although not recorded: ").removesuffix(".").split(", ")
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
        "Signed although not recorded: C-POWER-1 (B01), C-RECORD-1 (B01), sign-run at B01 (C-CROSS-3).",
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
    assert note == "Signed while the reading was good; read again later, not good: C-TEST-4 at B07 (C-TEST-1)."
    note, *_ = judge(file_of([held, bad], fingerprint=context().fingerprint)).notes
    assert note == "Signed although a reading is not good: C-TEST-4 at B07 (C-TEST-1)."


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
    over, without = (next(each for each in told if each.startswith(f"Signed although {word}")) for word in ("a", "n"))
    assert "C-RECORD-1 (B06)" in over
    assert "C-POWER-1 (B06)" in over
    assert "C-RECORD-1 (B40" in without
    assert "C-POWER-1 (B40)" in without
    left = [each for each in good_rows(due(DEMO)) if each[1] not in late]
    told = judge(file_of(left, fingerprint=context().fingerprint)).notes
    assert all("C-POWER-1" not in each for each in told)
    assert any("C-RECORD-1 (job, B01" in each for each in told)


def test_what_is_missing_is_named_where_work_has_begun() -> None:
    rows = [each for each in good_rows(due(DEMO)) if each[0] != "B08" and (each[0], each[1]) != ("B06", "C-BOX-1")]
    lines = list(report(judge(file_of(rows))))
    begun = lines[lines.index("Not recorded yet where work has begun") + 1 :]
    assert begun[0] == "  B06: C-BOX-1"
    assert begun[1] == "", "B08 has no record and is not begun"


def test_rows_without_a_name_are_told_once_a_file() -> None:
    rows = [row("B07", "C-TEST-1", "200", "MΩ", by=by) for by in ("", "A. Smith", " ")]
    rows[2] = row("B08", "C-TEST-1", "200", "MΩ", by="")
    results = judge(file_of(rows, fingerprint=context().fingerprint))
    assert results.notes == ("a.csv: no name is written in 2 rows: 3, 5.",)


def test_any_id_of_a_value_and_any_name_of_its_subject_may_be_used() -> None:
    """The run to B01 crosses: its cover answers two checks, and is of the box, its run or its crossing."""
    cover = due_of("B01", "C-LAY-4")
    assert cover.ids == ("C-LAY-4", "C-CROSS-1")
    for subject in ("B01", "run:B01", "crossing:B01"):
        for check in cover.ids:
            assert result_of(judge(file_of([row(subject, check, "600", "mm")])), "B01", check).status == "pass"
    ring = judge(file_of([row("run:B012-B001", "C-TEST-1", "50", "MΩ")]), job=RING)
    assert result_of(ring, "run:B012-B001", "C-TEST-1").status == "pass"


@pytest.mark.parametrize(
    ("subject", "word"),
    [
        ("B99", "no B99"),
        ("B7", "did you mean B07?"),
        ("b07", "did you mean B07?"),
        ("\u041207", "B07 looks the same"),
        ("🪱", "no"),
    ],
)
def test_what_the_job_does_not_have_is_void_and_kept(subject: str, word: str) -> None:
    results = judge(file_of([at(1, "1.4", subject), at(2, "1.5", subject)]))
    result = result_of(results, subject, "C-BOX-1")
    assert result.status == "void"
    assert word in result.why
    assert [each.value for each in result.earlier] == ["1.4"]
    assert result.to_do


def test_a_check_that_the_job_does_not_have_is_void() -> None:
    assert "no check C-NONE" in result_of(judge(file_of([row("B07", "C-NONE", "1")])), "B07", "C-NONE").why


def test_photos_and_notes_are_kept_and_never_judged() -> None:
    results = judge(
        file_of([row("B07", "PHOTO", "=cmd.jpg"), row("run:B07", "NOTE", "stony"), row("B99", "PHOTO", "x")])
    )
    assert [result_of(results, *each).status for each in (("B07", "PHOTO"), ("B07", "NOTE"), ("B99", "PHOTO"))] == [
        "pass", "pass", "void",
    ]  # fmt: skip


def test_an_address_at_two_boxes_is_good_at_neither() -> None:
    """Whether it was read off a device or built in place of the planned one; both of one device are one device."""
    address = due_of("B10", "C-DEVICE-1").limit
    results = judge(
        file_of(
            [
                row("B07", "AB-ADDRESS", "777"), row("B09", "AB-ADDRESS", "777"), row("B11", "AB-ADDRESS", "778"),
                row("B10", "C-DEVICE-1", address), row("B12", "AB-ADDRESS", address),
                row("B13", "C-DEVICE-1", due_of("B13", "C-DEVICE-1").limit),
                row("B13", "AB-ADDRESS", due_of("B13", "C-DEVICE-1").limit),
            ]
        )
    )  # fmt: skip
    found = [
        result_of(results, *each).status for each in (
            ("B07", "AB-ADDRESS"), ("B09", "AB-ADDRESS"), ("B11", "AB-ADDRESS"), ("B10", "C-DEVICE-1"),
            ("B12", "AB-ADDRESS"), ("B13", "C-DEVICE-1"), ("B13", "AB-ADDRESS"),
        )
    ]  # fmt: skip
    assert found == ["fail", "fail", "pass", "fail", "fail", "pass", "pass"]
    assert result_of(results, "B07", "AB-ADDRESS").why == "777 is recorded at B09 too"


def test_each_day_on_which_work_is_recorded_has_its_checks() -> None:
    results = judge(file_of([at(0, "1.4"), row("day:2024-03-13", "C-TRENCH-3", "yes")]))
    days = Counter(each.due.subject for each in results.results if each.due.subject.startswith("day:"))
    assert days == {"day:2024-03-11": len(due().each_day), "day:2024-03-13": len(due().each_day)}
    assert result_of(results, "day:2024-03-13", "C-TRENCH-3").status == "pass"
    for odd in ("day:", "day:2024-W11-1", "day:20240311", "day:9999-99-99"):
        assert result_of(judge(file_of([row(odd, "C-TRENCH-3", "yes")])), odd, "C-TRENCH-3").status == "void"


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
    """Inside the limits both times; between the two only the meter may be off, each time by what the job says of it."""
    rule = due_of("B20", "C-FILL-6").loop
    assert rule is not None
    assert due_of("B20", "C-FILL-6").near == "C-TEST-3"
    before = round(rule.at(16.0).low_ohms + 0.3, 2)
    off = rule.meter.of(before)
    near = loops(f"{before}", f"{before + 1.9 * off:.3f}")
    far = loops(f"{before}", f"{before + 2.1 * off:.3f}")
    assert before + 2.1 * off < rule.at(16.0).high_ohms
    assert (near.status, far.status) == ("pass", "fail")
    assert "not close to the reading before the fill" in far.why
    assert far.to_do.startswith("Stop if")
    assert loops(f"{before + 2.1 * off:.3f}", f"{before}").status == "fail", "a short is as bad as a break"


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


def older(changed: dict[str, str]) -> Older:
    return Older("revision A", changed)


def judge_older(files: Sequence[RecordFile], changed: dict[str, str]) -> Results:
    known = {"a" * 64: older(changed)}
    return judge_job(due(), files, (context().fingerprint,), known.get)


def test_records_of_an_older_handbook_are_void_where_the_card_has_changed() -> None:
    rows = [at(1, "1.4"), at(1, "1.4", "B08")]
    results = judge_older([file_of(rows, fingerprint="a" * 64)], {"B07": "its card has changed: slack"})
    void, good = (result_of(results, box, "C-BOX-1") for box in ("B07", "B08"))
    assert (void.status, void.why, good.status) == ("void", "its card has changed: slack", "pass")
    assert results.notes == ("a.csv: written on revision A; cards that have changed since: 1.",)
    again = judge_older(
        [file_of(rows, fingerprint="a" * 64), file_of([at(9, "1.5")], "b", context().fingerprint)], {"B07": "x"}
    )
    result = result_of(again, *BOX)
    assert (result.status, [each.value for each in result.earlier]) == ("pass", ["1.4"])
    assert not again.non_conformances


def test_an_old_row_that_an_updated_page_saved_again_stays_void() -> None:
    files = [file_of([at(1, "1.4")], "old", "a" * 64), file_of([at(1, "1.4")], "new", context().fingerprint)]
    for some in permutations(files):
        assert result_of(judge_older(some, {"B07": "x"}), *BOX).status == "void"


def test_a_file_names_the_handbook_of_the_rows_after_it() -> None:
    text = text_of(
        [
            row("job", "HANDBOOK", "a" * 64),
            at(1, "1.4"),
            row("job", "HANDBOOK", context().fingerprint),
            at(1, "1.4", "B08"),
        ]
    )
    results = judge_older([records_of(text, "a")], {"B07": "x", "B08": "x"})
    assert [result_of(results, box, "C-BOX-1").status for box in ("B07", "B08")] == ["void", "pass"]


def test_a_handbook_that_nobody_knows_is_said_once_a_file_and_voids_nothing() -> None:
    results = judge(file_of([at(1, "1.4"), at(2, "1.5")], fingerprint="b" * 64))
    (note,) = results.notes
    assert "a.csv: written on a handbook with the fingerprint bbbbbbbbbbbb, not on this one" in note
    assert result_of(results, *BOX).status == "pass"
    assert "do not say which handbook" in judge(file_of([at(1, "1.4")])).notes[0]
    assert not judge(file_of([at(1, "1.4")], fingerprint=context().fingerprint[:12])).notes


def test_the_work_of_judging_grows_evenly_with_the_records() -> None:
    """Rows of one box and of many: no pass over all records for each of them."""

    def many(size: int) -> object:
        files = [file_of([at(number, "1.4") for number in range(size)], fingerprint=context().fingerprint)]
        return lambda: judge(*files)

    def boxes(size: int) -> object:
        rows = good_rows(due())[: size * 20]
        files = [file_of(rows, fingerprint=context().fingerprint)]
        return lambda: judge(*files)

    assert growth(many, 200) < 5  # type: ignore[arg-type]
    assert growth(boxes, 10) < 5  # type: ignore[arg-type]
