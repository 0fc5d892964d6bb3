"""A hazard of the site that brings no sheet is told: a slip must not leave a danger out of the handbook."""

from __future__ import annotations

from pathlib import Path

import pytest

from samples import DEMO, chain, job_text
from slackloop.handbook.conditions import CONDITIONS, HAZARD_WORDS
from slackloop.handbook.worked import work


def _found(folder: Path, hazards: str) -> list[tuple[str, str]]:
    path = folder / "job.yml"
    path.write_text(job_text(chain(2), hazards=hazards), encoding="utf-8")
    told = [finding for finding in work(path).findings if finding.code == "hazard-without-sheet"]
    assert all(finding.excerpt[finding.column - 1 :] for finding in told)
    return [(finding.level, finding.hint) for finding in told]


def test_a_mistyped_hazard_is_a_warning_with_the_word_meant(tmp_path: Path) -> None:
    assert _found(tmp_path, "[overhed lines]") == [("warning", "did you mean overhead?")]
    assert _found(tmp_path, "[Publik access, traffic]") == [("warning", "did you mean public?")]


def test_a_hazard_of_the_site_s_own_is_a_note(tmp_path: Path) -> None:
    assert _found(tmp_path, "[bees in the orchard]") == [("note", "")]


@pytest.mark.parametrize("word", HAZARD_WORDS)
def test_each_word_brings_a_sheet_and_is_not_told(tmp_path: Path, word: str) -> None:
    assert _found(tmp_path, f"[{word} by the site]") == []
    worked = work(tmp_path / "job.yml")
    path = tmp_path / "plain.yml"
    path.write_text(job_text(chain(2)), encoding="utf-8")
    plain = work(path)
    differ = [name for name, holds in CONDITIONS.items()
              if holds(worked.job, worked.analysis) != holds(plain.job, plain.analysis)]  # fmt: skip
    assert differ


def test_the_hazards_of_the_example_all_bring_a_sheet() -> None:
    assert not [finding for finding in work(DEMO).findings if finding.code == "hazard-without-sheet"]
