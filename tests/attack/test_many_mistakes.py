"""Mistakes of every kind in one file are all told in one run, each at its own place, and nothing else is printed."""

from __future__ import annotations

import json
from pathlib import Path

from attack.runs import BASE, slackloop

MISTAKES = {
    "text-empty": ("title: Test path", 'title: ""'),
    "word-unknown": ("units: metric", "units: metrical"),
    "date-wrong": ("date: 2026-03-02", "date: 2026-02-30"),
    "soil-unknown": ("soil: common earth", "soil: comon earth"),
    "unit-missing": ("volts: 36 V", "volts: 36"),
    "both-units-differ": ("length: 1.5 m (5 ft)", "length: 5 ft (2.5 m)"),
    "key-unknown": ("pack: 25", "pak: 25"),
    "key-duplicate": ("    target: 10 ohm\n", "    target: 10 ohm\n    target: 12 ohm\n"),
    "yaml-ambiguous": ("warning_tape: true", "warning_tape: yes"),
    "from-unknown": ("from: B01, run: 41 m", "from: B09, run: -41 m"),
    "not-positive": ("", ""),  # the same line as the one before
    "station-duplicate": ("stations: [3]", "stations: [1]"),
    "id-duplicate": ("id: B03", "id: B02"),
}


def _mistaken() -> str:
    text = BASE
    for old, new in MISTAKES.values():
        assert old in text
        text = text.replace(old, new, 1)
    return text


def test_thirteen_mistakes_give_thirteen_places_in_one_run(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(_mistaken(), encoding="utf-8")
    outcome = slackloop("check", "job.yml", "--json", cwd=tmp_path)
    assert (outcome.returncode, outcome.stderr) == (2, b"")
    record = json.loads(outcome.stdout)
    assert (record["format"], record["verdict"]) == (1, "refused")
    errors = [finding for finding in record["findings"] if finding["level"] == "error"]
    assert sorted(finding["code"] for finding in errors) == sorted(MISTAKES)
    assert len({finding["where"] for finding in errors}) == len(MISTAKES)
    assert all(finding["where"].startswith("job.yml:") and finding["line"].strip() for finding in errors)


def test_a_refused_build_changes_nothing_on_disk(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(_mistaken(), encoding="utf-8")
    outcome = slackloop("build", "job.yml", "-o", "deep/book", cwd=tmp_path)
    assert (outcome.returncode, outcome.stdout) == (2, b"")
    assert outcome.stderr.count(b"error[") == len(MISTAKES)
    assert [path.name for path in tmp_path.rglob("*")] == ["job.yml"]
