"""How a job stands: merging of files, history, void records, days, and nothing that is lost."""

from __future__ import annotations

import random
from collections import Counter
from itertools import permutations

import pytest

from records.record_samples import (
    DEMO,
    RING,
    Row,
    at,
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
from slackloop.records.result import Results
from work_count import growth

BOX = ("B07", "C-BOX-1")


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
    asked = sum(not each.optional for each in due().each_day)
    assert days == {"day:2024-03-11": asked, "day:2024-03-13": asked}
    assert result_of(results, "day:2024-03-13", "C-TRENCH-3").status == "pass"
    for odd in ("day:", "day:2024-W11-1", "day:20240311", "day:9999-99-99"):
        assert result_of(judge(file_of([row(odd, "C-TRENCH-3", "yes")])), odd, "C-TRENCH-3").status == "void"


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
