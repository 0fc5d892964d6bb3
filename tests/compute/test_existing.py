"""What was there before: computed like the rest, neither dug nor ordered; counted here by hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from samples import job_text
from slackloop.cli import main
from slackloop.document.worked import work
from slackloop.sections.inspection_points import is_due_at, joins_old
from slackloop.sections.section import Where

BOXES = (
    "{ids: B1..B4, from: controller, run: 50 m, surface: lawn, device: two, stations: from 1, existing: true}",
    "{ids: N1..N5, from: B2, run: 40 m, surface: lawn, device: two, stations: from 11}",
    "{id: O1, from: controller, run: 30 m, surface: lawn, cable: old, device: one, stations: [30]}",
    "{id: O2, from: O1, run: 30 m, surface: lawn, device: one, stations: [31]}",
)
OLD = "  old: {conductor: 14 AWG, build: solid, cores: {a: orange, b: grey}, existing: true}\ndevices:\n"


def retrofit() -> str:
    return job_text(BOXES).replace("devices:\n", OLD, 1)


def record_of(text: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> dict:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    main(["check", "--json", str(path)])
    return json.loads(capsys.readouterr().out)


def test_volts_and_readings_do_not_ask_how_old_a_run_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    new = retrofit().replace("existing: true", "existing: false").replace("b: grey}, ex", "b: grey}, reel: 750 m, ex")
    new = new.replace("grey}, reel", "grey}, jacket_od: 9.5 mm, reel")
    old, other = record_of(retrofit(), tmp_path, capsys), record_of(new, tmp_path, capsys)
    same = ("path_m", "cable_m", "standby_volts", "worst_volts", "loop_ohms_20c", "loop_ohms_cold", "loop_ohms_hot")
    for box, values in old["boxes"].items():
        assert [values[key] for key in same] == [other["boxes"][box][key] for key in same]
    assert old["supply"] == other["supply"]


def test_only_new_work_is_dug_and_ordered(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Six new runs; slack 1.5 m a tail; two path splices a box where a new tail enters, two for each new station."""
    record = record_of(retrofit(), tmp_path, capsys)
    amounts = {each["item"]: each["quantity"] for each in record["materials"]}
    assert record["trench"]["length_m"] == pytest.approx(5 * 40 + 30)
    assert amounts["main"] == pytest.approx(5 * (40 + 2 * 1.5) + 30 + 2 * 1.5)
    assert "old" not in amounts
    assert amounts["sealed"] == 2 * (5 + 1 + 2) + 2 * (5 * 2 + 2)  # N1 to N5, B2, O1 and O2; 12 new stations
    assert (amounts["two"], amounts["one"], amounts["valve"]) == (5, 2, 12)
    assert (amounts["device label"], amounts["cable label"]) == (2 * 7, 2 * 6)
    rods = next(each for each in record["materials"] if each["kind"] == "rod")
    assert rods["quantity"] == 3 * (record["electrodes"]["rods_for_target"] or 1)  # controller, N5, O2; B4 has its own
    assert amounts["warning tape"] == pytest.approx(230)
    assert [len(record["boxes"][box]["splices"]) for box in ("B1", "B2", "B3", "O1")] == [0, 2, 0, 2]
    assert {run for run, values in record["runs"].items() if values.get("existing")} == {"B1", "B2", "B3", "B4", "O1"}


def test_nothing_is_said_of_an_existing_run_that_only_digging_could_mend(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = retrofit().replace("code_basis: general", "code_basis: us")
    text = text.replace("surface: lawn, cable: old", "surface: road, cable: old")
    codes = {(each["code"], each.get("box", "")) for each in record_of(text, tmp_path, capsys)["findings"]}
    assert not {code for code, box in codes if box == "O1"}
    new = text.replace("existing: true}\ndevices", "reel: 750 m}\ndevices")
    assert ("cover-open", "O1") in {
        (each["code"], each.get("box", "")) for each in record_of(new, tmp_path, capsys)["findings"]
    }


@pytest.mark.parametrize(
    ("where", "due"),
    [
        ("each-run", ["N1", "N2", "N3", "N4", "N5", "O2"]),
        ("each-box", ["B2", "N1", "N2", "N3", "N4", "N5", "O1", "O2"]),
        ("device-box", ["N1", "N2", "N3", "N4", "N5", "O1", "O2"]),
        ("joining-box", ["B2", "O1"]),
    ],
)
def test_checks_are_due_where_there_is_new_work(where: Where, due: list[str], tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_text(retrofit(), encoding="utf-8")
    worked = work(path)
    network, boxes = worked.analysis.network, worked.job.path.by_id
    found = [box for i, box in enumerate(network.boxes) if is_due_at(where, boxes[box], i, network, ("B4", "N5"))]
    assert sorted(found) == due
    assert not joins_old(boxes["N3"], network.index["N3"], network)
