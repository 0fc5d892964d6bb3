"""A file of records is read row by row: good rows are kept, the others are named with the reason."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from records.record_samples import row, text_of
from slackloop.records.record_file import LARGEST_BYTES, MOST_REFUSED, RecordFile, read_records, records_of
from slackloop.records.result import COLUMNS

HEAD = ",".join(COLUMNS)
GOOD = "B07,C-BOX-1,1.5,m,A. Smith,2026-03-09T14:05:00+01:00,"


def read(*rows: str, head: str = HEAD) -> RecordFile:
    return records_of("\r\n".join((head, *rows)) + "\r\n", "a.csv")


def test_a_row_is_read_as_it_was_written() -> None:
    (record,) = read('B07,C-BOX-1,1.5,m,A. Smith,2026-03-09T14:05:00+01:00,"two, ""ends"""').records
    assert (record.subject, record.check, record.value, record.unit, record.by) == (
        "B07", "C-BOX-1", "1.5", "m", "A. Smith",
    )  # fmt: skip
    assert record.note == 'two, "ends"'
    assert record.when == datetime(2026, 3, 9, 13, 5, tzinfo=UTC)
    assert (record.file, record.row) == ("a.csv", 2)


@pytest.mark.parametrize("change", ["bom", "semicolons", "lf", "cr", "quoted", "spaces", "order", "more", "hint"])
def test_the_form_of_the_file_does_not_matter(change: str, tmp_path: Path) -> None:
    text = f"{HEAD}\r\n{GOOD}\r\n"
    made = {
        "bom": f"\ufeff{text}", "semicolons": text.replace(",", ";"), "lf": text.replace("\r\n", "\n"),
        "cr": text.replace("\r\n", "\r"), "hint": f"sep=;\r\n{text.replace(',', ';')}",
        "quoted": "\r\n".join(",".join(f'"{cell}"' for cell in line.split(",")) for line in (HEAD, GOOD)),
        "spaces": text.replace(",", " , "), "more": f"{HEAD},colour\r\n{GOOD},red\r\n",
        "order": "when,by,unit,value,check,box,note\n2026-03-09T14:05:00+01:00,A. Smith,m,1.5,C-BOX-1,B07,\n",
    }[change]  # fmt: skip
    path = tmp_path / "r.csv"
    path.write_bytes(made.encode())
    found = read_records(path)
    assert not found.refused
    (record,) = found.records
    assert (record.subject, record.check, record.value, record.unit, record.by, record.note) == (
        "B07", "C-BOX-1", "1.5", "m", "A. Smith", "",
    )  # fmt: skip


@pytest.mark.parametrize("text", ["=1+1", "+31 6", "-", "@home", "\ttab", "\rcr"])
def test_a_text_that_was_made_plain_for_spreadsheets_is_given_back(text: str) -> None:
    (record,) = records_of(text_of([row("B07", "NOTE", f"'{text}", note="'plain")]), "a").records
    assert (record.value, record.note) == (text.strip(), "'plain")


@pytest.mark.parametrize(
    ("bad", "word"),
    [
        (",C-BOX-1,1,m,A,2026-03-09T14:05:00+01:00,", "box is empty"),
        ("B07,,1,m,A,2026-03-09T14:05:00+01:00,", "check is empty"),
        ("B07,C-BOX-1,1,m,A,2026-03-09T14:05:00,", "no time zone"),
        ("B07,C-BOX-1,1,m,A,2026-03-09,", "no time zone"),
        ("B07,C-BOX-1,1,m,A,yesterday,", "is no time"),
        ("B07,C-BOX-1,1,m,A,,", "time is missing"),
        ("B07,C-BOX-1,1,m,A,1970-01-01T00:00:00Z,", "clock"),
        ("B07,C-BOX-1,1,m,A,9999-12-31T23:59:59-12:00,", "clock"),
        ("B07,C-BOX-1,1,m,A,0001-01-01T00:00:00+12:00,", "clock"),
        ("B07,C-BOX-1,1,5,m,A,2026-03-09T14:05:00+01:00,", "8 cells"),
        ("B07,C-BOX-1", "2 cells"),
        ("B\0,C-BOX-1,1,m,A,2026-03-09T14:05:00+01:00,", "U+0000"),
        (f"B07,C-BOX-1,1,m,A,2026-03-09T14:05:00+01:00,{'x' * 10_000_000}", "characters"),
        (f"{'B' * 900},C-BOX-1,1,m,A,2026-03-09T14:05:00+01:00,", "900 characters"),
        ('B07,C-BOX-1,1,m,A,2026-03-09T14:05:00+01:00,"never closed', "never closed"),
    ],
)
def test_a_bad_row_is_named_and_its_neighbours_are_kept(bad: str, word: str) -> None:
    found = read(GOOD, bad, GOOD.replace("B07", "B08"), GOOD.replace("B07", "B09"))
    assert [each.subject for each in found.records] == ["B07", "B08", "B09"]
    (refused,) = found.refused
    assert (refused.file, refused.row) == ("a.csv", 3)
    assert word in refused.message


def test_a_note_may_go_over_lines_and_rows_are_counted_as_a_spreadsheet_shows_them() -> None:
    found = records_of(text_of([row("B07", "NOTE", "one\ntwo\r\nthree"), row("B08", "NOTE", "x", when="never")]), "a")
    assert found.records[0].value == "one\ntwo\nthree"
    assert [each.row for each in found.refused] == [3]


def test_bytes_that_are_no_text_spoil_their_own_row(tmp_path: Path) -> None:
    path = tmp_path / "r.csv"
    path.write_bytes(f"{HEAD}\n{GOOD}\n".encode() + GOOD.replace("Smith", "Müller").encode("latin-1") + b"\n")
    found = read_records(path)
    assert len(found.records) == 1
    assert "save the file again as UTF-8" in found.refused[0].message


@pytest.mark.parametrize(
    ("head", "word"),
    [("box,check,value,by", "unit, when, note are missing"), (f"{HEAD},box", "more than once"), ("", "is empty")],
)
def test_a_head_that_does_not_name_the_columns_is_refused(head: str, word: str) -> None:
    found = records_of(f"{head}\n" * bool(head), "a.csv")
    assert not found.is_read
    assert word in found.refused[0].message


def test_what_is_no_plain_file_of_bounded_size_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    pipe, large, wide = tmp_path / "pipe", tmp_path / "large.csv", tmp_path / "wide.csv"
    os.mkfifo(pipe)
    with large.open("wb") as stream:
        stream.truncate(LARGEST_BYTES + 1)
    wide.write_bytes(f"{HEAD}\n{GOOD}\n".encode("utf-16"))
    said = [read_records(path).refused[0].message for path in (pipe, tmp_path, tmp_path / "none", large, wide)]
    assert ["not a plain file" in said[0], "folder" in said[1], "no such file" in said[2]] == [True] * 3
    assert "MB" in said[3]
    assert "UTF-16" in said[4]


def test_a_file_of_nothing_but_bad_rows_is_told_shortly() -> None:
    found = read(*["x"] * (MOST_REFUSED + 500), GOOD)
    assert len(found.records) == 1
    assert len(found.refused) == MOST_REFUSED + 1
    assert found.refused[-1].message == "500 more rows are refused"


@given(st.text(max_size=400), st.booleans())
def test_any_text_is_read_or_refused(text: str, with_head: bool) -> None:
    found = records_of(f"{HEAD}\n{text}" if with_head else text, "a.csv")
    assert with_head <= found.is_read
    for each in found.records:
        assert each.subject
        assert each.when.tzinfo is not None


@given(st.lists(st.lists(st.sampled_from(["B07", '"', '""', ",", ";", "\n", "'=1", "x\0", GOOD]), max_size=8)))
def test_a_good_row_is_kept_whatever_lies_before_it(parts: list[list[str]]) -> None:
    """What comes before may be anything but an open quote that the row itself closes: its own quotes are none."""
    before = "\n".join("".join(each) for each in parts)
    found = read(before, GOOD.replace("B07", "LAST"))
    assert "LAST" in {each.subject for each in found.records}
