"""Every refusal by a sample: exact codes, the caret's place, the words and the mend."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from job.refusal_samples import BASE, CASES, WARNINGS, changed, read
from slackloop.source.source_file import LARGEST_BYTES


@pytest.mark.parametrize("case", CASES, ids=[case["proves"] for case in CASES])
def test_refusal(case: dict[str, Any], tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_text(changed(case), encoding="utf-8")
    reading = read(path)
    codes = {finding.code for finding in reading.findings}
    assert codes == set(case["gives"]), [f.message for f in reading.findings]
    assert all((f.level == "warning") == (f.code in WARNINGS) for f in reading.findings)
    assert (reading.job is None) == bool(codes - WARNINGS)
    wanted = case.get("first", case["gives"][0])
    finding = next(f for f in reading.findings if f.code == wanted)
    assert finding.excerpt == path.read_text(encoding="utf-8").split("\n")[finding.line - 1]
    assert finding.excerpt[finding.column - 1 :].startswith(case["caret"]), (finding.excerpt, finding.column)
    assert case.get("says", "") in finding.message, finding.message
    assert case.get("hint", "") in finding.hint, finding.hint
    assert case.get("expected", "") in finding.expected, finding.expected


def test_a_cable_that_is_a_hair_thicker_than_its_copper_may_be_a_flat_one(tmp_path: Path) -> None:
    """Copper of 14 AWG is 1.628 mm."""
    path = tmp_path / "job.yml"
    for outside, refused in (("1.62 mm", True), ("1.64 mm", False)):
        path.write_text(BASE.replace("jacket_od: 9.5 mm", f"jacket_od: {outside}"), encoding="utf-8")
        assert [each.code for each in read(path).findings] == ["jacket-od-thin"] * refused


def test_a_path_without_stations_may_have_none_at_once(tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    text = BASE.replace("stations_at_once: 4", "stations_at_once: 0")
    path.write_text(text.replace("stations: [1, 2]", "stations: []").replace(", stations: [3]", ""), encoding="utf-8")
    assert not read(path).findings


def _bytes(content: bytes) -> Callable[[Path], Path]:
    def write(folder: Path) -> Path:
        path = folder / "job.yml"
        path.write_bytes(content)
        return path

    return write


def _large(folder: Path) -> Path:
    path = folder / "job.yml"
    with path.open("wb") as stream:
        stream.truncate(50_000_000)
    return path


def _with_standard(reference: str, content: str | None = None) -> Callable[[Path], Path]:
    def write(folder: Path) -> Path:
        job = folder / "jobs" / "a" / "job.yml"
        job.parent.mkdir(parents=True)
        job.write_text(BASE.replace("format: 1\n", f"format: 1\nstandard: {reference}\n"), encoding="utf-8")
        (folder / "outside.yml").write_text("rules: {}\n", encoding="utf-8")
        if content is not None:
            (folder / "jobs" / "house.yml").write_text(content, encoding="utf-8")
        return job

    return write


FILES: list[tuple[str, str, Callable[[Path], Path]]] = [
    ("a path to nothing", "file-missing", lambda folder: folder / "none.yml"),
    ("a folder", "file-unreadable", lambda folder: folder),
    ("a file of 50 MB", "file-too-large", _large),
    ("bytes of another encoding", "file-not-utf8", _bytes(b"format: 1\njob: {site: Caf\xe9}\n")),
    ("UTF-16", "file-not-utf8", _bytes("format: 1\n".encode("utf-16"))),
    ("a terminal escape", "file-control-character", _bytes(b"format: 1\njob: \x1b[2J\n")),
    ("no bytes", "file-empty", _bytes(b"")),
    ("a standard outside", "standard-outside", _with_standard("../../outside.yml")),
    ("a standard by absolute path", "standard-outside", _with_standard("/etc/hostname")),
    ("a standard that is not there", "standard-missing", _with_standard("../none.yml")),
    ("a standard with boxes", "standard-key", _with_standard("../house.yml", "path: {cable: main}\n")),
]


@pytest.mark.parametrize(("what", "code", "make"), FILES, ids=[what for what, _, _ in FILES])
def test_file_refusal(what: str, code: str, make: Callable[[Path], Path], tmp_path: Path) -> None:
    reading = read(make(tmp_path))
    assert reading.job is None
    assert [finding.code for finding in reading.findings] == [code]


def test_bad_bytes_are_placed(tmp_path: Path) -> None:
    finding = read(_bytes(b"format: 1\njob: {site: Caf\xe9}\n")(tmp_path)).findings[0]
    assert (finding.line, finding.column) == (2, 16)
    assert "0xE9" in finding.message


def test_the_size_limit_is_stated(tmp_path: Path) -> None:
    finding = read(_large(tmp_path)).findings[0]
    assert "50.0 MB" in finding.message
    assert f"{LARGEST_BYTES // 1_000_000} MB" in finding.message


def test_a_link_does_not_lead_the_standard_outside(tmp_path: Path) -> None:
    job = _with_standard("../house.yml")(tmp_path)
    os.symlink(tmp_path / "outside.yml", tmp_path / "jobs" / "house.yml")
    assert [f.code for f in read(job).findings] == ["standard-outside"]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "job.yml")
    assert [f.code for f in read(tmp_path / "job.yml").findings] == ["file-unreadable"]
