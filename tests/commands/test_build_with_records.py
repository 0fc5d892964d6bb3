"""``slackloop build --records``: what it writes, what it says, and what it refuses."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from pypdf import PdfReader

from attack.runs import BASE, slackloop
from book_samples import page_words
from records.record_samples import due, good_rows, row, text_of
from slackloop.document.book import make_book
from slackloop.document.worked import work, work_with_content
from slackloop.pipeline.handbook_folder import Prepared, context_of, prepare_handbook
from slackloop.pipeline.recorded_job import NothingRead, with_records

HEAD = "box,check,value,unit,by,when,note\n"
WHEN = "2024-03-11T14:05:00+01:00"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.yml"
    path.write_text(BASE, encoding="utf-8")
    return path


def test_results_and_the_part_for_the_owner_are_written(job: Path) -> None:
    box = work(job).analysis.network.boxes[0]
    rows = [*good_rows(due(job)), row(f"run:{box}", "AB-LENGTH", "31.5", "m", when=WHEN)]
    (job.parent / "a.csv").write_text(text_of(rows), encoding="utf-8")
    (job.parent / "b.csv").write_text(HEAD + f"{box},C-TEST-1,x\n", encoding="utf-8")
    done = slackloop("build", "job.yml", "--records", "a.csv", "b.csv", "-o", "book", "--separate", cwd=job.parent)
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == [
        b"book/index.html", b"book/method.pdf", b"book/design.pdf", b"book/inspection.pdf", b"book/handover.pdf",
        b"book/cards.pdf",
    ]  # fmt: skip
    assert b"b.csv, row 2: the row has 3 cells" in done.stderr
    assert b"results: " in done.stderr
    with (job.parent / "book" / "handover" / "boxes.csv").open(encoding="utf-8", newline="") as stream:
        first = next(csv.DictReader(stream))
    assert (first["Box"], first["Run to it (m)"], first["Run measured"]) == (box, "31.5", "yes")
    told = " ".join(PdfReader(job.parent / "book" / "handover.pdf").pages[0].extract_text().split())
    assert f"with results of {len(rows)} records up to 2024-03-11" in told


def prepared(job: Path) -> Prepared:
    """What the command would publish of a job with the records beside it."""
    return prepare_handbook(
        job, job.parent / "book", paper=None, strict=False, progress=lambda _: None, records=(job.parent / "a.csv",)
    )


@pytest.fixture
def failing(job: Path) -> str:
    """A path that fails as built, and a row of another unit; gives what is to be said of it."""
    first, second, *_ = work(job).analysis.network.boxes
    rows = [row(second, "AB-ADDRESS", "101", when=WHEN), row(f"run:{first}", "AB-LENGTH", "9", "kohm", when=WHEN)]
    (job.parent / "a.csv").write_text(text_of(rows), encoding="utf-8")
    return f"address 101 is set in two devices: in {first} and in {second}"


def test_a_path_that_fails_as_built_fails_and_says_why(job: Path, failing: str) -> None:
    made = prepared(job)
    assert made.verdict == "fail"
    (found,) = [each for each in made.findings if each.code == "address-duplicate"]
    assert (found.level, found.message.partition(":")[0]) == ("error", "as built")
    assert failing in found.message
    assert any("a.csv, row 3:" in line for line in made.said), "a row of another unit is named"
    book = make_book(context_of(with_records(work_with_content(job), (job.parent / "a.csv",))))
    assert f"As built: {failing}" in page_words(book, "handover/differences")


@pytest.mark.proof
def test_a_path_that_fails_as_built_gives_status_1_and_says_why(job: Path, failing: str) -> None:
    done = slackloop("build", "job.yml", "--records", "a.csv", "-o", "book", cwd=job.parent)
    assert done.returncode == 1, done.stderr
    assert f"error[address-duplicate]: as built: {failing}".encode() in done.stderr
    assert b"a.csv, row 3:" in done.stderr, "a row of another unit is named"
    page = (job.parent / "book" / "handover" / "differences.html").read_text(encoding="utf-8")
    assert "As built: address 101 is set in two devices" in page


@pytest.mark.parametrize(
    ("text", "said"), [("", "the file is empty"), ("a,b\n1,2\n", "columns"), (HEAD + "B01,X,1\n", "row")]
)
def test_what_is_wrong_with_records_that_cannot_be_read_is_told(job: Path, text: str, said: str) -> None:
    (job.parent / "a.csv").write_text(text, encoding="utf-8")
    with pytest.raises(NothingRead, match=said):
        prepared(job)


def test_records_that_cannot_be_read_are_refused_and_nothing_is_written(job: Path) -> None:
    done = slackloop("build", "job.yml", "--records", "a.csv", "-o", "book", cwd=job.parent)
    assert (done.returncode, done.stdout) == (2, b"")
    assert b"a.csv" in done.stderr
    assert b"Traceback" not in done.stderr
    assert not (job.parent / "book").exists()


def test_records_of_two_jobs_of_a_standard_or_in_the_output_are_refused(job: Path) -> None:
    (job.parent / "a.csv").write_text(HEAD, encoding="utf-8")
    (job.parent / "other").mkdir()
    (job.parent / "other" / "job.yml").write_text(BASE, encoding="utf-8")
    two = slackloop("build", "job.yml", "other/job.yml", "-o", "out", "--records", "a.csv", cwd=job.parent)
    assert two.returncode == 2
    assert b"records belong to one job" in two.stderr
    inside = slackloop("build", "job.yml", "--records", "a.csv", "-o", ".", cwd=job.parent)
    assert inside.returncode == 2
    (job.parent / "firm.yml").write_text("standard:\n  title: Ours\n  contractor: Example\n", encoding="utf-8")
    standard = slackloop("build", "firm.yml", "--records", "a.csv", "-o", "out", cwd=job.parent)
    assert standard.returncode == 2
