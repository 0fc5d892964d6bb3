"""Whatever the terminal, the locale or the file's name: the answer comes, and JSON stays JSON."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from itertools import product
from pathlib import Path

import pytest

from attack.runs import BASE, REPOSITORY, slackloop
from shared import short_pairs

TERMINALS = {
    "a locale without UTF-8": {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
    "ascii": {"PYTHONIOENCODING": "ascii:strict"},
    "a western code page": {"PYTHONIOENCODING": "cp1252:strict"},
    "UTF-8": {"PYTHONIOENCODING": "utf-8:strict"},
}


EVERY = """
import sys
from slackloop.cli import main

for words in (["check", sys.argv[1]], ["check", sys.argv[1], "--json"], ["schema"]):
    assert main(words) == 0, words
    sys.stdout.flush()
    sys.stdout.buffer.write(b"\\0")
    sys.stdout.buffer.flush()
"""
"""Three commands on one terminal, a NUL after what each says."""


PLAIN, NO_TEXT = b"job.yml", b"j\xe9b.yml"
"""The second name is not text."""
KEPT = (("a locale without UTF-8", PLAIN), ("ascii", NO_TEXT), ("a western code page", NO_TEXT), ("UTF-8", PLAIN))


@pytest.mark.parametrize(("terminal", "name"), short_pairs(product(TERMINALS, (PLAIN, NO_TEXT)), *KEPT))
def test_commands_answer_on_any_terminal(tmp_path: Path, terminal: str, name: bytes) -> None:
    job = BASE.replace("title: Test path", "title: Tést 🌳 مرحبا")
    (tmp_path / os.fsdecode(name)).write_text(job, encoding="utf-8")
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY / "generator"), **TERMINALS[terminal]}
    asked = [sys.executable, "-c", EVERY, name]
    done = subprocess.run(asked, cwd=tmp_path, env=environment, capture_output=True, timeout=3_000, check=False)
    assert done.returncode == 0, done.stderr
    words, checked, schema, rest = done.stdout.split(b"\0")
    assert words
    assert not rest
    record = json.loads(checked.decode("utf-8"))
    assert record["verdict"] == "pass"
    assert any("×" in material["item"] for material in record["materials"])
    assert "mm²" in json.dumps(json.loads(schema.decode("utf-8")), ensure_ascii=False)


def test_warnings_of_python_as_errors_change_nothing(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    outcome = slackloop("check", "job.yml", cwd=tmp_path, flags=["-W", "error"], TZ="No/Such", HOME="")
    assert outcome.returncode == 0
    assert not outcome.stderr
