"""Whatever the terminal, the locale or the file's name: the answer comes, and JSON stays JSON."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from attack.runs import BASE, slackloop

TERMINALS = {
    "a locale without UTF-8": {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
    "ascii": {"PYTHONIOENCODING": "ascii:strict"},
    "a western code page": {"PYTHONIOENCODING": "cp1252:strict"},
    "UTF-8": {"PYTHONIOENCODING": "utf-8:strict"},
}


@pytest.mark.parametrize("terminal", TERMINALS.values(), ids=TERMINALS)
@pytest.mark.parametrize("name", [b"job.yml", b"j\xe9b.yml"], ids=["plain name", "name that is not text"])
def test_check_answers_on_any_terminal(tmp_path: Path, terminal: dict[str, str], name: bytes) -> None:
    job = BASE.replace("title: Test path", "title: Tést 🌳 مرحبا")
    (tmp_path / os.fsdecode(name)).write_text(job, encoding="utf-8")
    assert slackloop("check", name, cwd=tmp_path, **terminal).returncode == 0
    record = json.loads(slackloop("check", name, "--json", cwd=tmp_path, **terminal).stdout.decode("utf-8"))
    assert record["verdict"] == "pass"
    assert any("×" in material["item"] for material in record["materials"])


@pytest.mark.parametrize("terminal", TERMINALS.values(), ids=TERMINALS)
def test_schema_is_json_on_any_terminal(tmp_path: Path, terminal: dict[str, str]) -> None:
    schema = json.loads(slackloop("schema", cwd=tmp_path, **terminal).stdout.decode("utf-8"))
    assert "mm²" in json.dumps(schema, ensure_ascii=False)


def test_warnings_of_python_as_errors_change_nothing(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    outcome = slackloop("check", "job.yml", cwd=tmp_path, flags=["-W", "error"], TZ="No/Such", HOME="")
    assert outcome.returncode == 0
    assert not outcome.stderr
