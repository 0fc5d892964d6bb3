"""A hazard of the site that brings no sheet is told: a slip must not leave a danger out of the handbook."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from book_samples import rows_of, table_in
from samples import DEMO, chain, job_text
from slackloop.compute.risk import HAZARD_WORDS
from slackloop.document.worked import work
from slackloop.sections.conditions import CONDITIONS


def _found(folder: Path, hazards: str) -> list[tuple[str, str]]:
    path = folder / "job.yml"
    path.write_text(job_text(chain(2), hazards=hazards), encoding="utf-8")
    codes = {"hazard-without-sheet", "risk-unscored"}
    told = [finding for finding in work(path).findings if finding.code in codes]
    assert all(finding.excerpt[finding.column - 1 :] for finding in told)
    return [(finding.level, finding.hint) for finding in told]


def test_a_mistyped_hazard_is_a_warning_with_the_word_meant(tmp_path: Path) -> None:
    assert _found(tmp_path, "[overhed lines]") == [("warning", "did you mean overhead?")]
    assert _found(tmp_path, "[Publik access, traffic]") == [("warning", "did you mean public?")]


def test_a_hazard_that_nobody_scored_is_a_question(tmp_path: Path) -> None:
    hint = "score it, and write the score as an answer: risk-unscored bees in the orchard"
    assert _found(tmp_path, "[bees in the orchard]") == [("warning", hint)]


def _register(folder: Path, hazard: str, answers: str = "") -> tuple[str, ...]:
    """The one row of the register that names a hazard of the site."""
    path = folder / "job.yml"
    text = job_text(chain(2), hazards=f"[{hazard}]")
    path.write_text(text.replace("job:\n", f"{answers}job:\n", 1), encoding="utf-8")
    (row,) = [row for row in rows_of(table_in(path, "hazards")) if hazard in row[0]]
    return row


def test_the_score_of_a_site_hazard_is_printed_with_its_answer(tmp_path: Path) -> None:
    assert any("Not scored" in text for text in _register(tmp_path, "bees"))
    answers = "answers:\n  risk-unscored bees: {by: Foreman, date: 2026-03-09, answer: 2 D before and 2 E after}\n"
    assert any("2 D before and 2 E after" in text for text in _register(tmp_path, "bees", answers))
    assert not [each for each in work(tmp_path / "job.yml").findings if each.code == "answer-closes-nothing"]


@pytest.mark.parametrize("word", HAZARD_WORDS)
def test_a_site_hazard_with_a_sheet_is_scored(tmp_path: Path, word: str) -> None:
    row = _register(tmp_path, f"{word} by the site")
    assert len([text for text in row if re.fullmatch(r"(High|Serious|Medium|Low) \([A-E][1-4]\)", text)]) == 2, row


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
