"""``changes`` takes job files, releases, folders and PDFs, and says the same of each."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from control.conftest import Released
from control.control_samples import signed_job, written
from slackloop.cli import main


def record(capsys: pytest.CaptureFixture[str], old: Path, new: Path) -> dict[str, object]:
    assert main(["changes", "--json", str(old), str(new)]) == 0
    told: dict[str, object] = json.loads(capsys.readouterr().out)
    return told


def test_every_form_of_a_revision_gives_the_same_changes(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = record(capsys, released.a, released.b)
    assert whole["void_cards"] == ["B3", "B4", "B5"]
    for old, new in (
        (released.a / "handbook" / "handbook.pdf", released.b / "handbook" / "handbook.pdf"),
        (released.a / "handbook", released.b / "handbook" / "snapshot.json"),
    ):
        assert record(capsys, old, new) == whole
    job = written(tmp_path, signed_job())
    told = record(capsys, job, released.job)
    assert told["changes"] == whole["changes"]
    assert told["cards"] == whole["cards"]


def test_the_text_has_a_part_for_each_reader(released: Released, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["changes", str(released.a), str(released.b)]) == 0
    told = capsys.readouterr().out
    places = [told.index(title) for title in
              ("FOR EVERYBODY", "FOR THE CONTRACTOR", "FOR THE CREW", "FOR THE INSPECTOR")]  # fmt: skip
    assert places == sorted(places)
    assert "Void: B3 to B5 (3 of 6 cards)." in told[: places[1]]
    assert "B4: now 58 m (was 50 m)." in told[: places[1]]
    contractor, crew = told[places[1] : places[2]], told[places[2] : places[3]]
    assert "To order" in contractor
    assert "To order" not in crew
    assert "Loop limits" in crew
    assert "Loop limits" not in contractor


def test_changes_says_what_it_cannot_compare(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["changes", str(released.a / "handbook" / "cards.pdf"), str(released.b)]) == 2
    assert "take the printed handbook, not the cards" in capsys.readouterr().err
    broken = tmp_path / "broken.pdf"
    broken.write_bytes(b"%PDF-1.7 nothing")
    assert main(["changes", str(broken), str(released.b)]) == 2
    assert "cannot be read as a PDF" in capsys.readouterr().err
    (tmp_path / "empty").mkdir()
    assert main(["changes", str(released.b), str(tmp_path / "empty")]) == 2
    assert "holds neither a release nor a handbook" in capsys.readouterr().err
    assert main(["changes", str(written(tmp_path / "bad", "format: 2\n")), str(released.b)]) == 2
    assert "refused" in capsys.readouterr().err
