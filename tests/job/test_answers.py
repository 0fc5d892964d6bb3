"""Answers to warnings: what they close, what they do not close, and how they are told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from book_samples import book_of_worked, pages_of
from samples import chain, job_text
from slackloop.cli import main
from slackloop.document.worked import Refused, Worked, work
from slackloop.site.answers import open_questions
from slackloop.source.finding import Placed

RFI = "{by: Electrical inspector, date: 2026-03-09, reference: RFI-3, answer: 300 mm accepted on this path}"
SURGE = "    surge_part: {title: Arrester, leads: {conductor: 18 AWG, build: stranded}}\n"
CLASS = f"  power-class: {RFI}\n"
"""The other question of a US path of these volts, answered, so that a test has one question of its own."""
SHALLOW = {"basis": "us", "cover": "300 mm"}


def write(folder: Path, answers: str = "", **changes: str) -> Path:
    path = folder / "job.yml"
    said = f"answers:\n{answers}" if answers else ""
    text = job_text(chain(3), **(SHALLOW | changes)).replace("job:\n", f"{said}job:\n", 1)
    path.write_text(text.replace("    target:", f"{SURGE}    target:"), encoding="utf-8")
    return path


def worked(folder: Path, answers: str = "", **changes: str) -> Worked:
    return work(write(folder, answers, **changes))


def found(job: Worked, code: str) -> list[Placed]:
    return [each for each in job.findings if each.code == code]


def test_a_warning_without_an_answer_is_an_open_question(tmp_path: Path) -> None:
    job = worked(tmp_path, CLASS)
    assert [each.answer for each in found(job, "cover-open")] == [None]
    assert open_questions(job.findings) == 1


def test_an_answer_closes_its_warning(tmp_path: Path) -> None:
    job = worked(tmp_path, f"{CLASS}  cover-open: {RFI}\n")
    (finding,) = found(job, "cover-open")
    assert finding.answer is not None
    assert finding.answer.sentence == (
        "Answered by Electrical inspector on 2026-03-09, RFI-3: 300 mm accepted on this path"
    )
    assert finding.level == "warning"
    assert open_questions(job.findings) == 0
    assert not found(job, "answer-closes-nothing")


def test_an_answer_for_one_run_leaves_the_others_open(tmp_path: Path) -> None:
    job = worked(tmp_path, f"{CLASS}  cover-open B2: {RFI}\n")
    (finding,) = found(job, "cover-open")
    assert finding.answer is None
    assert [name for name, _ in finding.part_answers] == ["B2"]
    assert open_questions(job.findings) == 1


def test_answers_for_every_run_close_the_warning(tmp_path: Path) -> None:
    job = worked(tmp_path, CLASS + "".join(f"  cover-open B{n}: {RFI}\n" for n in (1, 2, 3)))
    (finding,) = found(job, "cover-open")
    assert finding.answer is not None
    assert [name for name, _ in finding.part_answers] == ["B1", "B2", "B3"]
    assert open_questions(job.findings) == 0


def test_one_answer_for_all_and_one_for_a_run_are_both_kept(tmp_path: Path) -> None:
    one = RFI.replace("300 mm accepted on this path", "deeper here")
    job = worked(tmp_path, f"  cover-open: {RFI}\n  cover-open B2: {one}\n")
    (finding,) = found(job, "cover-open")
    assert finding.answer is not None
    assert finding.answer.answer == "300 mm accepted on this path"
    assert [(name, each.answer) for name, each in finding.part_answers] == [("B2", "deeper here")]
    assert not found(job, "answer-closes-nothing")


@pytest.mark.parametrize(
    ("key", "words", "hint"),
    [
        ("cover-open B9", "the warning cover-open stands at B1, B2, B3", "take the answer out"),
        ("cover-open B12", "the warning cover-open stands at B1, B2, B3", "did you mean cover-open B"),
        ("trench-support", "no finding has the code trench-support", "take the answer out"),
    ],
)
def test_an_answer_that_closes_nothing_is_a_warning(tmp_path: Path, key: str, words: str, hint: str) -> None:
    job = worked(tmp_path, f"  {key}: {RFI}\n")
    (finding,) = found(job, "answer-closes-nothing")
    assert finding.level == "warning"
    assert finding.line == 3
    assert words in finding.message
    assert hint in finding.hint
    assert job.analysis.verdict == "pass"


def test_a_note_is_not_answered(tmp_path: Path) -> None:
    job = worked(tmp_path, f"  cover-no-figure: {RFI}\n", basis="general")
    (finding,) = found(job, "answer-closes-nothing")
    assert "is a note here" in finding.message


def test_an_error_is_not_answered(tmp_path: Path) -> None:
    job = worked(tmp_path, f"  supply-over: {RFI}\n", limit="10 mA")
    assert all(each.answer is None for each in found(job, "supply-over"))
    (finding,) = found(job, "answer-closes-nothing")
    assert "and errors are corrected" in finding.message
    assert job.analysis.verdict == "fail"


def test_a_warning_about_answers_is_not_answered_away(tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        worked(tmp_path, f"  answer-closes-nothing: {RFI}\n")
    assert [each.code for each in refused.value.findings if each.level == "error"] == ["answer-unknown"]


def test_an_unknown_code_is_refused_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        worked(tmp_path, f"  cover-opn B2: {RFI}\n")
    (finding,) = [each for each in refused.value.findings if each.level == "error"]
    assert (finding.code, finding.line, finding.column) == ("answer-unknown", 3, 3)
    assert finding.hint == "did you mean cover-open B2?"


@pytest.mark.parametrize("lacking", ["by: Electrical inspector, ", "date: 2026-03-09, ", ", answer: 300 mm accepted"])
def test_an_answer_says_who_when_and_what(tmp_path: Path, lacking: str) -> None:
    with pytest.raises(Refused) as refused:
        worked(tmp_path, f"  cover-open: {RFI.replace(' on this path', '').replace(lacking, '')}\n")
    assert [each.code for each in refused.value.findings if each.level == "error"] == ["key-missing"]


def test_check_prints_the_answer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write(tmp_path, f"  cover-open: {RFI}\n")
    assert main(["check", str(path)]) == 0
    told = capsys.readouterr().out
    assert "Answered by Electrical inspector on 2026-03-09, RFI-3: 300 mm accepted on this path" in told
    assert "1 warning is answered" in told.splitlines()[-1]
    assert main(["check", str(path), "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    (finding,) = [each for each in record["findings"] if each["code"] == "cover-open"]
    assert finding["answer"] == {
        "by": "Electrical inspector", "date": "2026-03-09", "reference": "RFI-3",
        "answer": "300 mm accepted on this path",
    }  # fmt: skip


def test_pages_and_cover_tell_open_questions_and_answers(tmp_path: Path) -> None:
    asked = book_of_worked(worked(tmp_path, CLASS))
    pages = pages_of(asked)
    assert asked.header.open_questions == 1
    assert "question open\n1\n" in pages["index"]
    assert "1 question is not answered: ask the authority having jurisdiction." in pages["design/findings"]
    waits = "The authority having jurisdiction must answer before the trench is dug."
    assert waits in pages["design/findings"]
    told = book_of_worked(worked(tmp_path, f"{CLASS}  cover-open: {RFI}\n"))
    pages = pages_of(told)
    assert told.header.open_questions == 0
    assert "questions open\n0\n" in pages["index"]
    assert "not answered" not in pages["design/findings"]
    assert "must answer before" not in pages["design/findings"]
    assert "2 warnings are answered." in pages["design/findings"]
    assert "Warnings that are answered" in pages["design/findings"]
    assert "Answered by Electrical inspector on 2026-03-09, RFI-3" in pages["design/findings"]


def test_a_changed_answer_changes_the_fingerprint(tmp_path: Path) -> None:
    first = worked(tmp_path, f"  cover-open: {RFI}\n").fingerprint
    assert first != worked(tmp_path, f"  cover-open: {RFI.replace('RFI-3', 'RFI-4')}\n").fingerprint
