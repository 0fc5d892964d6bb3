"""``slackloop records``: its report, its JSON and its exit status."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path
from typing import Any

import pytest

from records.record_samples import context, due, good_rows, row, text_of
from samples import DEMO
from slackloop.cli import main
from slackloop.records.result import STATUSES

KEYS = {"box", "check", "value", "unit", "by", "when", "file", "row", "status", "limit", "earlier"}


def saved(folder: Path, text: str, name: str = "a.csv") -> str:
    path = folder / name
    path.write_text(text, encoding="utf-8", newline="")
    return str(path)


def all_good(changes: dict[tuple[str, str], str] | None = None, without: str = "") -> str:
    rows = [each for each in good_rows(due(), changes or {}) if each[0] != without]
    return text_of(rows, context().fingerprint)


def told(capsys: pytest.CaptureFixture[str], status: int, *words: str) -> dict[str, Any]:
    assert main(["records", "--json", str(DEMO), *words]) == status
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def test_a_job_where_all_is_well_is_told_in_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["records", str(DEMO), saved(tmp_path, all_good())]) == 0
    said = capsys.readouterr().out
    assert said == f"pass: {len(good_rows(due()))} records are due, and all pass\n"


def test_the_worst_comes_first_with_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = saved(tmp_path, all_good({("B09", "C-BOX-1"): "0.9", ("B08", "C-TEST-4"): ""}, without="B30"))
    later = saved(tmp_path, text_of([
        row("B10", "C-BOX-1", "0.8", "m", when="2024-04-01T10:00:00Z"),
        row("B10", "C-BOX-1", "1.3", "m", when="2024-04-02T10:00:00Z"), row("B10", "C-BOX-1", "x", "m"),
    ], context().fingerprint), "b.csv")  # fmt: skip
    assert main(["records", str(DEMO), file, later]) == 1
    said = capsys.readouterr().out
    heads = [
        "fail: 1 fail, ", "\nTo repair (1)\n", "0.9 m is outside the limits: 1.2 m (4 ft) or more", "Stop if the slack",
        "\nBy box and sheet, the worst first\n  B09: 1 fail", "\nBy stage\n", "\nBy requirement\n  R-BOX-1",
        "\nHold points\n", "not signed: B08, B30", "\nRepaired (1)\n", "repaired: 1.3 m", "\nRows refused (1)\n",
        "b.csv, row 5: B10 C-BOX-1: x m is not a length in m",
    ]  # fmt: skip
    places = [said.find(head) for head in heads]
    assert -1 not in places
    assert places == sorted(places)


def test_a_person_reads_the_words_of_the_pages_and_a_program_the_keys(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = all_good({("B09", "C-BOX-1"): "0.9", ("B10", "C-BOX-1"): "-1.3"}, without="B30")
    files = [saved(tmp_path, text), saved(tmp_path, text_of([row("B99", "C-BOX-1", "1.3", "m")]), "b.csv")]
    assert main(["records", str(DEMO), *files]) == 1
    said = capsys.readouterr().out
    first = said.split("\n")[0]
    assert re.fullmatch(r"fail: 1 fail, 1 not plausible, 1 void, [0-9]+ not recorded, [0-9,]+ pass", first), first
    assert "\n  B10: 1 not plausible, " in said
    for word in ("outstanding", "implausible", "cannot be true"):
        assert word not in said
    assert set(STATUSES) == set(told(capsys, 1, *files)["counts"])
    empty = saved(tmp_path, text_of([]), "c.csv")
    assert main(["records", str(DEMO), empty]) == 0
    assert capsys.readouterr().out.startswith("not recorded: ")
    with pytest.raises(SystemExit):
        main(["records", "--help"])
    assert "1 a value fails or is not plausible" in " ".join(capsys.readouterr().out.split())


def test_the_record_has_every_key_of_the_format(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = all_good({("B09", "C-BOX-1"): "0.9", ("B10", "C-BOX-1"): "-1.3"}, without="B30")
    extra = text_of([row("B99", "C-X", "=cmd|' /C calc'!A0"), row("B07", "C-BOX-1", "1,234", "m")])
    found = told(capsys, 1, saved(tmp_path, text), saved(tmp_path, extra, "b.csv"))
    assert (found["verdict"], found["fingerprint"]) == ("fail", context().fingerprint)
    assert all(set(each) >= KEYS for each in found["results"])
    assert {each["status"] for each in found["results"]} == set(found["counts"])
    for status, count in found["counts"].items():
        assert count == sum(each["status"] == status for each in found["results"])
    assert found["by"]["box"]["B09"]["fail"] == found["by"]["requirement"]["R-BOX-1"]["fail"] == 1
    assert found["by"]["stage"]["splice"]["fail"] == 1
    assert found["by"]["hold"]["C-TEST-4"] == {"pass": 39, "outstanding": 1}
    assert all(set(each) == {"file", "row", "message"} for each in found["rows_refused"])
    (bad,) = [each for each in found["results"] if each["status"] == "fail"]
    assert (bad["box"], bad["check"], bad["value"], bad["unit"], bad["number"], bad["least"], bad["most"]) == (
        "B09", "C-BOX-1", "0.9", "m", 0.9, 1.2, None,
    )  # fmt: skip
    assert (bad["limit"], bad["by"], bad["earlier"]) == ("1.2 m (4 ft) or more", "A. Smith", [])
    assert bad["when"].endswith("+01:00")
    missing = next(each for each in found["results"] if each["status"] == "outstanding" and each["check"] == "C-LAY-4")
    assert (missing["value"], missing["when"], missing["file"], missing["unit"]) == (None, None, None, "mm")
    assert [each["closed_by"] for each in found["non_conformances"]] == [None, None]


@pytest.mark.parametrize(
    ("text", "status"),
    [
        (all_good, 0), (lambda: text_of([row("B07", "C-BOX-1", "1.3", "m")]), 0),
        (lambda: text_of([row("B07", "C-BOX-1", "0.3", "m")]), 1),
        (lambda: text_of([row("B07", "C-BOX-1", "-3", "m")]), 1),
        (lambda: text_of([]), 0), (lambda: "", 2), (lambda: "a,b\n1,2\n", 2), (lambda: text_of([["x"]]), 2),
        (lambda: text_of([["x"], row("B07", "C-BOX-1", "1.3", "m")]), 0),
    ],
)  # fmt: skip
def test_the_exit_status_says_how_it_stands(tmp_path: Path, text: Any, status: int) -> None:
    assert main(["records", str(DEMO), saved(tmp_path, text())]) == status


def test_a_file_that_cannot_be_read_does_not_spoil_the_others(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(tmp_path / "pipe")
    found = told(capsys, 0, saved(tmp_path, all_good()), str(tmp_path / "pipe"), str(tmp_path / "none"))
    assert [each["row"] for each in found["rows_refused"]] == [0, 0]
    refused = told(capsys, 2, str(tmp_path / "none"))
    assert (refused["verdict"], len(refused["rows_refused"])) == ("refused", 1)


def test_a_job_that_is_refused_is_told_as_such(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "job.yml"
    job.write_text("format: 1\n", encoding="utf-8")
    assert main(["records", "--json", str(job), saved(tmp_path, all_good())]) == 2
    assert json.loads(capsys.readouterr().out)["verdict"] == "refused"


def test_hostile_rows_never_end_in_a_traceback(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Whatever is in a cell, the report comes out as lines that steer no terminal."""
    cells = [
        "=cmd|' /C calc'!A0", "\x1b[31m", "\u202eB07", "🪱", "1e400", "NaN", "-inf", "0x10", "9" * 190, "__class__",
        "{{ 7*7 }}", "<script>", "../../etc/passwd", "B07\u200b", "\u041207", "%s%n", "day:9999-12-31", "run:", "job",
        "reel:0", "reel:-1", "day:", "HANDBOOK",
    ]  # fmt: skip
    rows = [row(one, "C-BOX-1", "1.3", "m") for one in cells]
    rows += [row("B07", one, "1.3", "m") for one in cells]
    rows += [
        row("B07", check, one) for check in ("C-BOX-1", "C-TEST-3", "SOIL-C", "AB-PLACE", "sign-run") for one in cells
    ]
    rows += [row("B07", "C-BOX-1", "1.3", one) for one in cells]
    rows += [row("B07", "C-BOX-1", "1.3", "m", one, note=one) for one in cells]
    rows += [row("B07", "C-BOX-1", "1.3", "m", when=one) for one in cells]
    rows += [row("job", "HANDBOOK", one) for one in cells]
    file = saved(tmp_path, text_of(rows) + '\0\0,\0\n"open')
    assert main(["records", str(DEMO), file]) in (0, 1)
    said = capsys.readouterr().out
    assert "\x1b" not in said
    assert "\u202e" not in said
    assert main(["records", "--json", str(DEMO), file]) in (0, 1)
    assert json.loads(capsys.readouterr().out)["results"]


def test_a_day_that_is_still_to_come_is_named_and_decides_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = text_of([row("B07", "C-BOX-1", "1.3", "m", when="2199-12-31T23:59:59Z")], context().fingerprint)
    found = told(capsys, 0, saved(tmp_path, text))
    assert [each["status"] for each in found["results"] if each["value"] == "1.3"] == ["pass"]
    (note,) = found["notes"]
    assert "a.csv: rows with a time still to come, was the clock of the device set? Rows 3." in note
