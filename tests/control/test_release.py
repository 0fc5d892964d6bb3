"""A release freezes a revision, is never written over, and goes out with nothing open unless it is a draft."""

from __future__ import annotations

import hashlib
import io
import json
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest

from control.conftest import Released
from control.control_samples import ANSWERS, signed_job, written
from pdf_text import texts_of
from slackloop.cli import main
from slackloop.control.releases import (
    Release,
    cannot_follow,
    hashes_bytes,
    history,
    read_hashes,
    read_releases,
    release_name,
    releases_before,
    still_open,
)
from slackloop.control.snapshot import read_snapshot
from slackloop.document.book import make_book
from slackloop.document.pages.control_page import CHANGES_PAGE, PAPER_LINES, TITLE
from slackloop.document.walk import words
from slackloop.document.worked import work
from slackloop.output.marker import digest_of
from slackloop.pipeline.handbook_folder import context_of


def test_a_release_holds_source_handbook_and_the_hash_of_each_file(released: Released) -> None:
    record = released.record("A")
    assert (record.number, record.issue, record.draft, record.still_open) == ("T-1", 1, False, ())
    there = {
        path.relative_to(released.a).as_posix() for path in released.a.rglob("*")
        if path.is_file() and not path.name.startswith(".")
    }  # fmt: skip
    assert there == set(record.files) | {"release.json"}
    assert {"source/job.yml", "handbook/handbook.pdf", "handbook/cards.pdf", "handbook/index.html"} <= there
    for path in ("source/job.yml", "handbook/cards.pdf"):
        assert record.files[path] == hashlib.sha256((released.a / path).read_bytes()).hexdigest()
    assert read_hashes(released.folder / "hashes.json") == (record, released.record("B"))


def test_a_release_is_never_written_over(released: Released, capsys: pytest.CaptureFixture[str]) -> None:
    before = digest_of(released.b / "release.json")
    assert main(["release", str(released.job)]) == 2
    assert "is released already" in capsys.readouterr().err
    assert main(["release", str(released.job), "--draft"]) == 2
    assert digest_of(released.b / "release.json") == before
    assert main(["build", str(released.job), "-o", str(released.b)]) == 2
    assert digest_of(released.b / "release.json") == before


def test_what_is_open_keeps_a_revision_back(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (
        signed_job().replace(ANSWERS, "").replace("  approved: Manager\n", "").replace("run: 40 m", "run: assumed 40 m")
    )
    job = written(tmp_path, text)
    assert main(["release", str(job)]) == 2
    told = capsys.readouterr().err
    assert "Question surge-part-missing, not answered by the maker of the device" in told
    assert "Not signed: document.approved is empty" in told
    assert "Assumption that nobody has confirmed: path.boxes[B6].run: 40 m (assumed)" in told
    assert "--draft" in told
    assert list(tmp_path.iterdir()) == [job], "nothing was written"


def test_errors_keep_a_revision_back(tmp_path: Path) -> None:
    worked = work(written(tmp_path, signed_job(volts="14 V")))
    assert worked.analysis.verdict == "fail"
    told = still_open(worked.job, worked.findings)
    assert any(each.startswith("Error volts-") for each in told)
    assert "Assumption that nobody has confirmed: B1" in still_open(worked.job, worked.findings, ("B1",))


def test_an_answer_lapses_when_its_figures_change(released: Released) -> None:
    worked = work(released.job)
    questions = Release(released.record("A"), released.a).snapshot().questions
    assert any(each.answer for each in questions)
    assert still_open(worked.job, worked.findings, (), questions) == ()
    others = [replace(each, text=each.text.replace("3 electrodes", "2 electrodes")) for each in questions]
    assert others != list(questions)
    (told,) = still_open(worked.job, worked.findings, (), others)
    assert told.startswith("Answer surge-part-missing was given for other figures.")


def test_a_draft_says_so_on_its_pages_and_has_a_fingerprint_of_its_own(tmp_path: Path) -> None:
    worked = work(written(tmp_path, signed_job()))
    draft = replace(worked, released_as_draft=True)
    book = make_book(context_of(draft))
    assert book.header.draft
    assert book.header.fingerprint != worked.fingerprint
    assert not make_book(context_of(worked)).header.draft


def test_the_history_is_made_from_releases_and_ends_with_this_issue(released: Released) -> None:
    worked = work(released.job)
    assert [each.record.revision for each in worked.releases] == ["A"]
    rows = history(worked.job, worked.releases)
    assert rows == (("A", "2026-04-14", "First issue"), ("B", "2026-05-04", "This issue"))
    listed = worked.job.document.model_validate(
        {
            **worked.job.document.model_dump(),
            "history": [
                {"revision": "B", "date": "2026-05-04", "change": "Longer run"},
                {"revision": "A", "date": "2026-04-01", "change": "For comment"},
            ],
        }
    )
    told = history(worked.job.model_copy(update={"document": listed}), worked.releases)
    assert told == (("A", "2026-04-14", "For comment"), ("B", "2026-05-04", "Longer run"))


def test_the_printed_history_of_b_ends_with_b(released: Released) -> None:
    first = texts_of((released.b / "handbook" / "handbook.pdf").read_bytes())[0]
    rows = first[first.index("History") :]
    assert rows.index("First issue") < rows.index("This issue")
    assert "2026-04-14" in rows
    assert rows.index("2026-04-14") < rows.index("2026-05-04")


def test_a_revision_may_not_be_dated_before_the_last(released: Released) -> None:
    job = work(released.job).job
    releases = read_releases(released.folder)
    early = job.document.model_copy(update={"revision": "C", "date": job.document.date.replace(month=1)})
    assert "before that of T-1, revision B" in cannot_follow(job.model_copy(update={"document": early}), releases)
    late = job.document.model_copy(update={"revision": "C"})
    assert cannot_follow(job.model_copy(update={"document": late}), releases) == ""
    assert "is released already" in cannot_follow(job, releases)


def test_a_revision_built_again_after_the_next_is_the_same_copy(released: Released, tmp_path: Path) -> None:
    """What came after a revision is no part of it, and what came before is."""
    assert releases_before(read_releases(released.folder), "T-1", "Test ground", "A") == ()
    assert work(released.job).fingerprint == released.record("B").fingerprint
    elsewhere = written(tmp_path, released.job.read_text(encoding="utf-8"))
    assert work(elsewhere).fingerprint != released.record("B").fingerprint


def test_the_next_handbook_has_a_page_of_what_changed(released: Released) -> None:
    book = make_book(context_of(work(released.job)))
    (page,) = (each for each in book.pages if each.id == CHANGES_PAGE)
    told = words(page.blocks)
    assert "what changed from revision A (2026-04-14) to revision B (2026-05-04)" in told
    assert "Void: B3 to B5 (3 of 6 cards)" in told
    control = next(each for each in book.pages if each.id == "design/document")
    assert "What changed since revision A" in words(control.blocks)
    first = make_book(context_of(replace(work(released.job), releases=())))
    assert all(each.title != TITLE for each in first.pages)


def test_the_page_of_changes_takes_two_printed_pages_at_most(released: Released) -> None:
    pages = texts_of((released.b / "handbook" / "handbook.pdf").read_bytes())[:10]
    first = next(n for n, text in enumerate(pages) if "For everybody" in text)
    assert TITLE in pages[first]
    last = max(n for n, text in enumerate(pages) if "For the inspector" in text and first <= n)
    assert last - first <= 1
    assert PAPER_LINES < 100


def test_the_snapshot_and_the_job_are_attached_to_the_printed_handbook(released: Released) -> None:
    data = (released.a / "handbook" / "handbook.pdf").read_bytes()
    attached = pypdf.PdfReader(io.BytesIO(data)).attachments
    assert attached["job.yml"][0] == (released.a / "source" / "job.yml").read_bytes()
    assert read_snapshot(attached["snapshot.json"][0]) == Release(released.record("A"), released.a).snapshot()


def test_a_damaged_record_is_named_and_nothing_is_built(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = written(tmp_path, signed_job("B", "2026-05-04"))
    place = tmp_path / "releases" / "T-1-A"
    place.mkdir(parents=True)
    (place / "release.json").write_text('{"number": "T-1"}', encoding="utf-8")
    assert main(["check", str(job)]) == 2
    assert "it is no record of a release" in capsys.readouterr().err


def test_names_of_folders_hold_nothing_that_leads_elsewhere() -> None:
    assert release_name("../x/HF 1", "B/2") == "_x_HF_1-B_2"
    assert release_name("..", "A") == "_-A"


def test_hashes_come_back_from_their_list(released: Released, tmp_path: Path) -> None:
    records = (released.record("A"), released.record("B"))
    place = tmp_path / "hashes.json"
    place.write_bytes(hashes_bytes(records))
    assert read_hashes(place) == records
    assert len(json.loads(place.read_text(encoding="utf-8"))["releases"]) == 2
