"""The samples of ``refusals.yml``: what each job file says, and how it is read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from slackloop.site.reader import Reading, read_job

HERE = Path(__file__).parent
BASE = (HERE / "base.yml").read_text(encoding="utf-8")
CASES: list[dict[str, Any]] = yaml.safe_load((HERE / "refusals.yml").read_text(encoding="utf-8"))
WARNINGS = {"name-unused", "lead-cable-unknown", "reel-missing", "date-order", "cores-alike", "departure-none",
            "frequency-on-dc", "name-look-alike", "assumptions-open"}  # fmt: skip


def changed(case: dict[str, Any]) -> str:
    text: str = case.get("text", BASE)
    for old, new in case.get("change", []):
        assert old in text, f"{old!r} is not in the base job"
        text = text.replace(old, new, 1)
    return text


def read(path: Path) -> Reading:
    return read_job(path, soils={"common earth", "sand", "clay"}, code_bases={"us", "uk", "general"})
