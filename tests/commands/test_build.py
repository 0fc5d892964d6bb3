"""``slackloop build``: where handbooks go, whose they are, and several at once."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from pypdf import PdfReader

from attack.runs import BASE, slackloop
from book_samples import html_of
from pdf_text import text_of
from shared import short
from slackloop.commands.build import handbook_name, output_folders
from slackloop.document.book import make_book, printed_files
from slackloop.document.worked import work
from slackloop.output.folder import whole_folder
from slackloop.output.marker import Owner
from slackloop.pipeline.editions import Copy, printed_parts
from slackloop.pipeline.handbook_folder import context_of, cover_of, document_time


def test_a_handbook_is_called_after_its_job() -> None:
    assert output_folders([Path("site/heron-fold.yml")], None) == [Path("heron-fold-handbook")]
    assert output_folders([Path("my-garden/job.yml")], None) == [Path("my-garden-handbook")]
    assert output_folders([Path("my-garden/job.yml")], Path("out")) == [Path("out")]
    several = [Path("one/job.yml"), Path("two/job.yml"), Path("three.yml")]
    assert output_folders(several, Path("out")) == [Path("out/one"), Path("out/two"), Path("out/three")]


def test_the_standing_name_of_a_job_in_the_working_folder_takes_the_folders(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "my-garden").mkdir()
    monkeypatch.chdir(tmp_path / "my-garden")
    assert handbook_name(Path("job.yml")) == "my-garden"


def test_a_folder_of_another_job_is_refused_before_anything_is_made(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    with whole_folder(tmp_path / "book", Owner("job", "G-7", "Far Meadow")) as output:
        (output.fresh / "index.html").write_text("theirs", encoding="utf-8")
    outcome = slackloop("build", "job.yml", "-o", "book", cwd=tmp_path)
    assert (outcome.returncode, outcome.stdout) == (2, b"")
    assert b"book holds the handbook of job G-7, Far Meadow; this is job T-1, Heron Fold" in outcome.stderr
    assert b"writing the pages" not in outcome.stderr
    assert (tmp_path / "book" / "index.html").read_text(encoding="utf-8") == "theirs"
    assert sorted(os.listdir(tmp_path)) == ["book", "job.yml"]


def test_a_refused_job_leaves_no_folder_on_the_way(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(BASE.replace("format: 1", "format: 9"), encoding="utf-8")
    outcome = slackloop("build", "job.yml", "-o", "deep/down/book", cwd=tmp_path)
    assert outcome.returncode == 2
    assert outcome.stderr.endswith(b"job.yml: refused: 1 error; nothing was written\n")
    assert os.listdir(tmp_path) == ["job.yml"]


def test_two_jobs_of_one_name_are_refused_together(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "garden.yml").write_text(BASE, encoding="utf-8")
    outcome = slackloop("build", "one/garden.yml", "two/garden.yml", "-o", "out", cwd=tmp_path)
    assert outcome.returncode == 2
    assert b"would be written to one folder" in outcome.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.slow
def test_the_parts_are_printed_apart_where_that_is_asked(tmp_path: Path) -> None:
    """Three documents instead of one, each with its part alone; what leads to another part names that part."""
    (tmp_path / "north.yml").write_text(BASE, encoding="utf-8")
    files = printed_files(separate=True, with_records=False)
    book = make_book(context_of(work(tmp_path / "north.yml")), printed=files)
    copy = Copy(book.pages, book.header, cover_of(book.context), "a4", document_time(book.job), {})
    names = {"method.pdf": "Part 1. Method", "design.pdf": "Part 2. Design", "inspection.pdf": "Part 3. Inspection"}
    parts = {each.name: each for each in printed_parts(book.pages, separate=True, what="printed handbook")}
    assert set(files) == {*names, "cards.pdf"}
    assert set(parts) == set(names)
    for name, title in names.items():
        (tmp_path / name).write_bytes(parts[name].prepare(copy, tmp_path).data())
        reader = PdfReader(tmp_path / name)
        assert [each.title for each in reader.outline if not isinstance(each, list)] == [title]
        assert reader.metadata is not None
        assert str(reader.metadata.title).endswith(f", {title}")
    method = text_of(tmp_path / "method.pdf")
    assert "(Part 2)" in method.replace("\u00a0", " ")
    index = html_of(book, "index")
    assert 'href="method.pdf"' in index
    assert 'href="handbook.pdf"' not in index


@pytest.mark.slow
@pytest.mark.parametrize("good", short([("north",), ("north", "south")], ("north",)), ids=" and ".join)
def test_several_jobs_are_built_side_by_side_on_the_paper_asked_for(tmp_path: Path, good: tuple[str, ...]) -> None:
    """One is refused, and the others are built all the same; a person's file is named."""
    for name, number in (*((each, f"{each[0].upper()}-1") for each in good), ("wrong", "")):
        text = BASE.replace("number: T-1", f"number: {number}")
        (tmp_path / f"{name}.yml").write_text(text, encoding="utf-8")
    with whole_folder(tmp_path / "out" / "north", Owner("job", "N-1", "Heron Fold Arboretum")) as output:
        (output.fresh / "cards.pdf").write_text("cards", encoding="utf-8")
    (tmp_path / "out" / "north" / "cards.pdf").write_text("signed", encoding="utf-8")
    (tmp_path / "out" / "north" / "as-built.csv").write_text("B01,12", encoding="utf-8")
    words = ("wrong.yml", *(f"{name}.yml" for name in good), "-o", "out", "--jobs", "2", "--paper", "letter")
    outcome = slackloop("build", *words, cwd=tmp_path)
    assert outcome.returncode == 2
    assert b"wrong.yml: refused: 1 error" in outcome.stderr
    assert sorted(os.listdir(tmp_path / "out")) == [*good]
    for name in good:
        page = PdfReader(tmp_path / "out" / name / "handbook.pdf").pages[0].mediabox
        assert (round(page.width), round(page.height)) == (612, 792)
        assert f"out/{name}/index.html".encode() in outcome.stdout
    assert b"out/north: kept 1 file that is not from a build: as-built.csv" in outcome.stderr
    assert b"cards.pdf was changed since the last build; your copy is kept as kept/cards.pdf" in outcome.stderr
    assert (tmp_path / "out" / "north" / "kept" / "cards.pdf").read_text(encoding="utf-8") == "signed"
