"""Every refusal by a sample: exact codes, the caret's place, the words and the mend."""

from __future__ import annotations

import ast
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from job.refusal_samples import BASE, CASES, WARNINGS, changed, read
from slackloop.job.codes import CODES
from slackloop.job.reader import read_job
from slackloop.job.source_file import LARGEST_BYTES


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


def test_every_listed_code_has_a_sample() -> None:
    sampled = {code for case in CASES for code in case["gives"]} | {code for _, code, _ in FILES}
    sampled.add("file-too-many-values")  # test_reading: a list of a million words
    sampled.add("findings-left-out")  # test_reading: ten thousand wrong boxes
    sampled |= {"departure-unexplained", "standard-unnamed"}  # test_reading: a job over a standard, a lone standard
    sampled.add("answer-closes-nothing")  # test_answers: it is known only once the figures are
    assert sampled == set(CODES)


def test_every_code_in_the_program_is_listed() -> None:
    """Walk the source for the first text of every call that makes a finding; each must be a listed code."""
    folder = Path(read_job.__code__.co_filename).parent
    used: set[str] = set()
    for module in folder.glob("*.py"):
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            position = {"QuantityError": 0, "refusal": 0, "say": 0, "Finding": 1}.get(name)
            if position is not None and len(node.args) > position:
                used |= {
                    part.value
                    for part in ast.walk(node.args[position])
                    if isinstance(part, ast.Constant) and isinstance(part.value, str) and "-" in part.value
                }
    assert len(used) > 40
    assert used <= set(CODES), used - set(CODES)
