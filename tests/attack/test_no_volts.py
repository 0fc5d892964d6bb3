"""Where drops add up to more than the supply, or power loads collapse the path, no figure is shown as if it held."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from pdf_text import texts_of
from samples import chain, job_text
from shared import Builds
from slackloop.document.worked import work
from slackloop.render.json.check_record import check_record, summary_text

BELOW_ZERO = re.compile(r"[-−–]\d+(\.\d+)? V\b")


def _overloaded(load: str) -> str:
    """Eight boxes 700 m apart on 18 AWG: the last would lose more than the supply has if the draw stayed."""
    text = job_text(chain(8), load=load, conductor="18 AWG", at_once="16", limit="9 A")
    return text.replace("run: 50 m", "run: 700 m")


def overloaded_job(folder: Path, load: str) -> Path:
    """Such a job, with a standard of the firm beside its folder."""
    path = folder / "jobs" / "one" / "job.yml"
    path.parent.mkdir(parents=True)
    (folder / "jobs" / "house.yml").write_text("rules:\n  cover: 500 mm\n", encoding="utf-8")
    text = _overloaded(load).replace("format: 1\n", "format: 1\nstandard: ../house.yml\n", 1)
    path.write_text(text, encoding="utf-8")
    return path


def test_constant_power_that_collapses_gives_an_error_and_no_number(tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_text(_overloaded("power"), encoding="utf-8")
    worked = work(path)
    record = check_record(worked)
    assert record["verdict"] == "fail"
    assert [finding.code for finding in worked.findings if finding.level == "error"] == ["volts-collapse"]
    assert {box["worst_volts"] for box in record["boxes"].values()} == {None}
    assert record["supply"]["worst_a"] is None
    assert "lowest volts" not in summary_text(worked)


def test_a_voltage_below_zero_is_never_told(tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_text(_overloaded("current"), encoding="utf-8")
    worked = work(path)
    assert min(volts for volts in worked.analysis.volts.worst_volts if volts is not None) < 0
    told = [finding.message for finding in worked.findings] + [summary_text(worked)]
    assert not [text for text in told if BELOW_ZERO.search(text)]
    assert any("gets no volts at worst" in text for text in told)


@pytest.mark.slow
def test_a_voltage_below_zero_is_never_printed_and_every_page_says_draft(tmp_path: Path, builds: Builds) -> None:
    built = builds(overloaded_job(tmp_path, "current"))
    assert (built.status, "gets no volts at worst" in built.said) == (1, True)
    for number, text in enumerate(texts_of((built.folder / "handbook.pdf").read_bytes()), 1):
        assert "draft" in text.lower(), f"PDF page {number}"
    for file in built.folder.rglob("*.html"):
        body = file.read_text(encoding="utf-8").partition("<body")[2]
        text = html.unescape(re.sub(r"<[^>]+>", " ", re.sub(r"<script.*?</script>", "", body, flags=re.S)))
        assert "draft" in text.lower(), file
        if file.name != "conductor-sizes.html":  # its margins are differences, which may be below zero
            assert not BELOW_ZERO.search(text), file
