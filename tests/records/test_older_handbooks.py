"""Records that were written on an older handbook, or on one that nobody knows."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

from records.record_samples import (
    at,
    context,
    due,
    file_of,
    judge,
    result_of,
    row,
    text_of,
)
from slackloop.records.record_file import RecordFile, records_of
from slackloop.records.result import Older, Results
from slackloop.records.standing import judge_job

BOX = ("B07", "C-BOX-1")


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
