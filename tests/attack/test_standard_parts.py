"""A standard whose parts are of the wrong kind is refused at its own place; an empty part states nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from attack.runs import BASE
from slackloop.site.reader import Reading, read_job


def _read(folder: Path, standard: str) -> Reading:
    (folder / "house.yml").write_text(standard, encoding="utf-8")
    (folder / "job.yml").write_text(BASE.replace("format: 1\n", "format: 1\nstandard: house.yml\n"), encoding="utf-8")
    return read_job(folder / "job.yml", soils=["common earth"], code_bases=["us"])


@pytest.mark.parametrize("part", ["rules: 5", "rules: [a]", "cables: none yet", "supply: true"])
def test_a_part_that_is_no_map_is_refused_in_the_standard(tmp_path: Path, part: str) -> None:
    reading = _read(tmp_path, f"trench:\n  width: 150 mm\n{part}\n")
    errors = [finding for finding in reading.findings if finding.level == "error"]
    assert [(each.code, Path(each.file).name, each.line) for each in errors] == [("map-needed", "house.yml", 3)]


def test_an_empty_part_states_nothing(tmp_path: Path) -> None:
    reading = _read(tmp_path, "rules:\ncables: ~\ntrench:\n  width: 150 mm\n")
    assert reading.job is not None
    assert reading.departures == ()


@pytest.mark.parametrize("standard", ["standard: house.yml\n", "standard: job.yml\n"])
def test_a_standard_names_no_standard(tmp_path: Path, standard: str) -> None:
    codes = {finding.code for finding in _read(tmp_path, standard).findings if finding.level == "error"}
    assert codes == {"standard-key"}


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("../../etc/passwd", "standard-outside"),
        ("/etc/passwd", "standard-outside"),
        ("away.yml", "standard-outside"),
        ("away/passwd", "standard-outside"),
        ("round.yml", "standard-missing"),
        ("none.yml", "standard-missing"),
        (".", "standard-missing"),
        ("job.yml", "standard-outside"),
    ],
)
def test_a_standard_stays_in_the_job_s_folder_or_its_parent(tmp_path: Path, written: str, code: str) -> None:
    folder = tmp_path / "firm" / "job"
    folder.mkdir(parents=True)
    (folder / "away.yml").symlink_to("/etc/passwd")
    (folder / "away").symlink_to("/etc")
    (folder / "round.yml").symlink_to("round.yml")
    job = folder / "job.yml"
    job.write_text(BASE.replace("format: 1\n", f"format: 1\nstandard: {written}\n"), encoding="utf-8")
    reading = read_job(job, soils=["common earth"], code_bases=["us"])
    assert [(finding.code, finding.line) for finding in reading.findings if finding.level == "error"] == [(code, 2)]
