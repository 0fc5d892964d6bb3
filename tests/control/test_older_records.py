"""Records that were written on an older revision: void where the card of the box has changed since, with the reason."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from control.conftest import Released
from records.record_samples import row, text_of
from slackloop.cli import main

BOXES = ("B1", "B2", "B3", "B4", "B5", "B6")


def judged(capsys: pytest.CaptureFixture[str], job: Path, file: Path, status: int = 0) -> dict[str, Any]:
    assert main(["records", "--json", str(job), str(file)]) == status
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    return told


def saved(folder: Path, fingerprint: str, *boxes: str) -> Path:
    """What a page of the handbook with this fingerprint saves."""
    path = folder / "records.csv"
    text = text_of([row(box, "C-BOX-1", "1.6", "m") for box in boxes], fingerprint)
    path.write_text(text, encoding="utf-8", newline="")
    return path


def by_box(told: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {each["box"]: each for each in told["results"] if each["check"] == "C-BOX-1"}


def test_a_box_whose_card_has_changed_is_void_and_says_why(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The run to B4 is longer in B: three cards are void, as ``changes`` says."""
    told = judged(capsys, released.job, saved(tmp_path, released.record("A").fingerprint, *BOXES, "B9"))
    found = by_box(told)
    status = {box: found[box]["status"] for box in (*BOXES, "B9")}
    assert status == {"B1": "pass", "B2": "pass", "B3": "void", "B4": "void", "B5": "void", "B6": "pass", "B9": "void"}
    assert "its card has changed since revision A" in found["B4"]["why"]
    assert "from B3, 50 m, now from B3, 58 m" in found["B4"]["why"]
    assert found["B4"]["value"] == "1.6"
    assert told["verdict"] == "outstanding"
    assert told["notes"] == [f"{tmp_path / 'records.csv'}: written on revision A; cards that have changed since: 3."]


def test_records_of_this_revision_are_not_void(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = judged(capsys, released.job, saved(tmp_path, released.record("B").fingerprint, *BOXES))
    assert {by_box(told)[box]["status"] for box in BOXES} == {"pass"}
    assert told["notes"] == []


def test_a_box_that_is_gone_keeps_its_records(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = released.job.read_text(encoding="utf-8")
    lines = [line for line in text.splitlines(keepends=True) if "id: B6" not in line]
    job = tmp_path / "job.yml"
    job.write_text("".join(lines).replace("revision: B", "revision: C"), encoding="utf-8")
    (tmp_path / "releases").symlink_to(released.folder, target_is_directory=True)
    told = judged(capsys, job, saved(tmp_path, released.record("B").fingerprint, "B1", "B6"))
    gone = by_box(told)["B6"]
    assert (gone["status"], gone["value"]) == ("void", "1.6")
    assert gone["why"] == "it is in revision B, and not in this handbook"
