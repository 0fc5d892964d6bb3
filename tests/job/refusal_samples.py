"""The samples of ``refusals.yml``: what each job file says, and how it is read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from slackloop.site.reader import Reading, read_job
from slackloop.source.codes import FOLDER, codes

HERE = Path(__file__).parent
BASE_JOB = FOLDER / "sample_job.yml"
BASE = BASE_JOB.read_text(encoding="utf-8")
CASES: list[dict[str, Any]] = yaml.safe_load((HERE / "refusals.yml").read_text(encoding="utf-8"))
WARNINGS = {each.code for each in codes().values() if each.kind == "job" and "warning" in each.levels}


def changed(case: dict[str, Any]) -> str:
    """The text of a case: a sample of the list of codes, or a whole text, or changes of the sample job."""
    if "sample" in case:
        return codes()[case["sample"]].sample.job_text()
    text: str = case.get("text", BASE)
    for old, new in case.get("change", []):
        assert old in text, f"{old!r} is not in the base job"
        text = text.replace(old, new, 1)
    return text


def read(path: Path) -> Reading:
    return read_job(path, soils={"common earth", "sand", "clay"}, code_bases={"us", "uk", "general"})


def write(folder: Path, text: str, name: str = "job.yml") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def change(*pairs: tuple[str, str]) -> str:
    text = BASE
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return text
