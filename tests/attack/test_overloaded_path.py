"""A path that asks for more than its wires can carry is computed, told and drawn up as a draft, whatever its shape."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from book_samples import book_of_worked
from samples import DEMO, chain, job_text
from slackloop.document.worked import work
from slackloop.render.json.check_record import check_record

BRANCH_BOX = "{id: N, from: B1, run: 35 km, surface: lawn}"


def _with_branch_box(**changes: str) -> str:
    """A branch box without a device, far out, with three boxes beyond it."""
    boxes = [chain(1)[0], BRANCH_BOX, *(box.replace("from: B1,", "from: N,") for box in chain(4)[1:])]
    return job_text(boxes, **changes)


@pytest.mark.parametrize("load", ["current", "power"])
@pytest.mark.parametrize("at_once", ["1", "8"])
def test_a_branch_box_far_out_is_no_device(tmp_path: Path, load: str, at_once: str) -> None:
    job = tmp_path / "job.yml"
    job.write_text(_with_branch_box(load=load, at_once=at_once), encoding="utf-8")
    worked = work(job)
    codes = {finding.code for finding in worked.findings}
    assert codes & {"volts-low", "volts-collapse"}
    assert not any(finding.code == "volts-low" and finding.box == "N" for finding in worked.findings)
    assert len(book_of_worked(worked).pages) > 20


def test_the_demonstration_with_one_run_of_35_km_is_told_box_by_box(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8")
    text, changed = re.subn(r"(id: B06, .*?)run: 35 m", r"\1run: 35 km", text)
    assert changed == 1
    job = tmp_path / "job.yml"
    job.write_text(text, encoding="utf-8")
    worked = work(job)
    short = {finding.box for finding in worked.findings if finding.code == "volts-low"}
    assert {"B07", "B21"} <= short
    assert "B06" not in short
    assert check_record(worked)
