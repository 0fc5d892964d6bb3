"""A firm's standard as a document: its values, plain words where a value is the job's, and no figure of any site."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from book_samples import book_of, page_words
from samples import REPOSITORY, chain, job_text
from slackloop.cli import main
from slackloop.document.inline import plain
from slackloop.document.standard_book import StandardBook, standard_book_of, work_standard
from slackloop.sections.conditions import CONDITIONS
from slackloop.sections.standard_conditions import CONDITION_WORDS, standard_holds
from slackloop.sections.values import Values
from slackloop.site.standard import Standard

HOUSE = REPOSITORY / "site_data" / "standards" / "house.yml"
SMALL = """\
title: Standing rules
rules: {cover: 600 mm, slack: {length: 2 m}}
"""


@cache
def house() -> StandardBook:
    """The document of the example standard."""
    return standard_book_of(work_standard(HOUSE))


def text_of(book: StandardBook, id: str) -> str:
    """A page as a reader sees it."""
    return " ".join(page_words(book, id).split())


def small(folder: Path, text: str = SMALL) -> StandardBook:
    """The document of a standard in a folder of its own."""
    path = folder / "standard.yml"
    path.write_text(text, encoding="utf-8")
    return standard_book_of(work_standard(path))


def test_it_has_method_limits_and_registers_and_nothing_of_a_site() -> None:
    ids = {page.id for page in house().pages}
    assert {"index", "tables/limits", "tables/matrix", "method/trench"} <= ids
    assert not [id for id in ids if id.startswith(("boxes/", "drawings/"))]
    assert ids.isdisjoint({f"tables/{name}" for name in ("volts", "runs", "boxes", "materials", "splices")})
    assert {page.kind for page in house().pages}.isdisjoint({"box", "drawing"})


def test_a_value_of_the_standard_stands_in_the_step() -> None:
    assert "Dig 150 mm (6 in) wide" in text_of(house(), "method/trench")
    assert "450 mm (18 in)" in text_of(house(), "tables/limits")
    assert "Keep spoil and machines at least 610 mm (2 ft) back" in text_of(house(), "method/trench")


def test_a_value_of_the_job_is_plain_words(tmp_path: Path) -> None:
    book = small(tmp_path)
    limits = text_of(book, "tables/limits")
    assert "Cover over the cable 600 mm (24 in)" in limits
    assert "Slack 2 m (6 ft 7 in) [where the job asks for it]" in limits
    assert "Bare copper at each wire end [the job's own value]" in limits
    assert "Dig [the job's own width] wide" in text_of(book, "method/trench")
    assert "None" not in re.sub("None stated", "", limits)


def test_no_figure_is_invented(tmp_path: Path) -> None:
    """Every number with a unit in the limits of a standard without rules would be an invented one."""
    limits = text_of(small(tmp_path, "conditions: {hazards: [public access]}\n"), "tables/limits")
    assert not re.findall(r"\d+(?:\.\d+)?\s?(?:mm|m|ft|in|V|A|Ω|MΩ|%|°C)\b", limits)
    assert "public access" in limits


def test_what_each_job_decides_is_marked() -> None:
    trench = text_of(house(), "method/trench")
    assert "Only where the ground is rock. In rock, break off" in trench
    assert "Only where the cable has a jacket." in text_of(house(), "method/opening-the-jacket")


def test_what_the_standard_decides_is_not_marked(tmp_path: Path) -> None:
    rock = small(tmp_path, "conditions: {soil: blasted rock}\ntrench: {shared_with_pipe: 63 mm, warning_tape: false}\n")
    trench = text_of(rock, "method/trench")
    assert "In rock, break off" in trench
    assert "Only where the ground is rock" not in trench
    laying = text_of(rock, "method/laying-the-cable")
    assert "Only where the trench is shared" not in laying
    everything = " ".join(text_of(rock, page.id) for page in rock.pages)
    assert "Only where the job asks for warning tape" not in everything
    assert "Only where the cable has a trench of its own" not in everything


@pytest.mark.parametrize("name", sorted(CONDITIONS))
def test_every_condition_has_words_and_an_answer(name: str) -> None:
    """Where a standard leaves it to the job, as one that states nothing does, there are words for it."""
    assert CONDITION_WORDS[name] or standard_holds(name, Standard()) is not None


def test_no_condition_is_known_to_the_standard_alone() -> None:
    assert set(CONDITION_WORDS) == set(CONDITIONS)


def test_every_value_is_text() -> None:
    assert all("None" not in text_of(house(), page.id).replace("None stated", "") for page in house().pages)
    assert Values.__dataclass_fields__


def test_the_fingerprint_follows_what_is_said(tmp_path: Path) -> None:
    path = tmp_path / "standard.yml"
    seen = []
    for text in (SMALL, "# a remark\n" + SMALL, SMALL.replace("600", "610")):
        path.write_text(text, encoding="utf-8")
        seen.append(work_standard(path).fingerprint)
    assert seen[0] == seen[1] != seen[2]


def test_check_answers_for_a_standard(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(HOUSE), "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["verdict"] == "pass"
    assert record["findings"] == []
    assert record["standard"]["states"] == ["connectors", "rules", "trench"]
    assert "supply" in record["standard"]["left_to_the_job"]
    assert main(["check", str(HOUSE)]) == 0
    assert "an installation standard" in capsys.readouterr().out


def test_a_faulty_standard_is_refused_with_its_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "standard.yml"
    path.write_text("rules: {covr: 1 m}\n", encoding="utf-8")
    assert main(["check", str(path), "--json"]) == 2
    finding = json.loads(capsys.readouterr().out)["findings"][0]
    assert (finding["code"], finding["hint"]) == ("key-unknown", "did you mean cover?")
    assert finding["where"].endswith("standard.yml:1:9")
    assert main(["build", str(path), "-o", str(tmp_path / "out")]) == 2
    assert not (tmp_path / "out").exists()


@pytest.mark.slow
def test_build_issues_website_and_pdf(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert main(["build", str(HOUSE), "-o", str(out), "--strict"]) == 0
    assert capsys.readouterr().out.split() == [str(out / "index.html"), str(out / "handbook.pdf")]
    reader = PdfReader(out / "handbook.pdf")
    first = reader.pages[0].extract_text()
    assert "Installation standard" in first
    assert "EG-STD-1" in first
    assert list(reader.attachments) == ["house.yml"]
    assert "two-wire" in (out / "method" / "trench.html").read_text(encoding="utf-8")


def test_a_job_lists_each_departure_with_its_reason(tmp_path: Path) -> None:
    (tmp_path / "house.yml").write_text("rules: {cover: 500 mm, strip: 19 mm}\n", encoding="utf-8")
    head = "format: 1\nstandard: house.yml\ndepartures: {rules.cover: The client asks for it.}\n"
    (tmp_path / "job.yml").write_text(job_text(chain(1)).replace("format: 1\n", head, 1), encoding="utf-8")
    book = book_of(tmp_path / "job.yml")
    rows = {plain(row[0].line): [plain(cell.line) for cell in row[1:]] for row in book.tables["departures"].rows}
    assert rows["Chosen cover over the cable"][0] == "500 mm"
    assert rows["Chosen cover over the cable"][2] == "The client asks for it."
    assert "no reason is given" in rows["Bare copper at each wire end"][2]
