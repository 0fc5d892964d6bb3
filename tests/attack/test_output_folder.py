"""Nothing that a person made is lost by a build, wherever it is asked to write."""

from __future__ import annotations

from pathlib import Path

import pytest

from attack.runs import BASE, answer
from book_samples import build_handbook
from slackloop.output.folder import whole_folder
from slackloop.output.marker import OutputRefused, Owner


def _ours(folder: Path) -> Path:
    with whole_folder(folder, Owner("job", "T-1", "Test ground")) as output:
        (output.fresh / "index.html").write_text("good", encoding="utf-8")
    return folder


def _snapshot(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def test_a_job_in_an_earlier_handbook_is_never_swept_away_with_it(tmp_path: Path) -> None:
    folder = _ours(tmp_path / "book")
    job = folder / "deep" / "job.yml"
    job.parent.mkdir()
    job.write_text(BASE, encoding="utf-8")
    before = _snapshot(tmp_path)
    with pytest.raises(OutputRefused, match="lies in"):
        build_handbook(job, folder)
    assert answer("build", "job.yml", "-o", "..", cwd=job.parent).status == 2
    assert _snapshot(tmp_path) == before


def test_a_standard_in_an_earlier_handbook_is_never_swept_away_with_it(tmp_path: Path) -> None:
    folder = _ours(tmp_path / "book")
    (folder / "house.yml").write_text("trench: {width: 150 mm}\n", encoding="utf-8")
    job = tmp_path / "job.yml"
    job.write_text(BASE.replace("format: 1\n", "format: 1\nstandard: book/house.yml\n"), encoding="utf-8")
    before = _snapshot(tmp_path)
    with pytest.raises(OutputRefused, match="lies in"):
        build_handbook(job, folder)
    assert _snapshot(tmp_path) == before


def test_wrong_folders_are_refused_without_a_trace(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs" / "notes.txt").write_text("mine", encoding="utf-8")
    before = _snapshot(tmp_path), sorted(tmp_path.rglob("*"))
    for folder in (".", "..", "job.yml", "job.yml/in", "loop", "loop/in", "theirs", "/proc/none/in", "a" * 300):
        outcome = answer("build", "job.yml", "-o", folder, cwd=tmp_path)
        assert (outcome.status, outcome.out) == (2, ""), folder
        assert outcome.said.strip(), folder
    assert (_snapshot(tmp_path), sorted(tmp_path.rglob("*"))) == before


def test_a_wrong_count_is_explained_without_inner_names(tmp_path: Path) -> None:
    for count in ("x", "0", "-1", "1.5", "٣"):
        outcome = answer("build", "job.yml", "--jobs", count, cwd=tmp_path)
        assert outcome.status == 2
        assert "is not a whole number of 1 or more" in outcome.said
