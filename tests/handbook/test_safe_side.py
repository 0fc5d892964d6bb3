"""What a reader works to is on the safe side in whatever unit it is read, and the job's own words stay its own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from book_samples import all_words, book_of, rows_of, said_by
from samples import chain, job_text
from slackloop.document.book import Book
from slackloop.document.worked import work
from slackloop.render.json.check_record import summary_text
from slackloop.source.finding import Placed

UNITS = ("metric", "us")
METRIC_LENGTH = re.compile(r"(?<![\d(.])\d[\d.]* (?:mm|m|m³)(?![²\w])")
US_LENGTH = re.compile(r"\d (?:ft|in|yd³)\b")


def made(folder: Path, text: str) -> Book:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return book_of(path)


def found(folder: Path, text: str) -> tuple[Placed, ...]:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return work(path).findings


def pages(book: Book) -> str:
    return all_words(book)


def lead_job(lead: str, units: str) -> str:
    return job_text([f"{chain(1)[0][:-1]}, lead: {lead}}}"], units=units)


@pytest.mark.parametrize("units", UNITS)
def test_the_longest_lead_that_a_finding_allows_is_short_enough(tmp_path: Path, units: str) -> None:
    """Each length of the finding, in either unit, is put into the job: the solenoid then has its volts."""
    short = next(f for f in found(tmp_path, lead_job("2000 m", units)) if f.code == "solenoid-volts-low")
    told = re.findall(r"([\d.]+ (?:m|ft))", short.expected)
    assert len(told) == (2 if units == "us" else 1), short.expected
    for lead in told:
        assert not [f for f in found(tmp_path, lead_job(lead, units)) if f.code == "solenoid-volts-low"], lead
    longer = f"{float(told[-1].split()[0]) * 1.02:.1f} {told[-1].split()[1]}"
    assert [f for f in found(tmp_path, lead_job(longer, units)) if f.code == "solenoid-volts-low"], longer


@pytest.mark.parametrize(("cover", "us"), [("450 mm", "18 in"), ("600 mm", "24 in")])
@pytest.mark.parametrize("basis", ["us", "general"])
def test_a_cover_reads_the_same_wherever_it_is_shown(tmp_path: Path, cover: str, us: str, basis: str) -> None:
    book = made(tmp_path, job_text(chain(3), cover=cover, basis=basis))
    text = pages(book) + "\n".join(finding.message for finding in work(tmp_path / "job.yml").findings)
    told = re.findall(rf"\b{cover} \(([^)]*)\)", text)
    assert len(told) > 5
    assert set(told) == {us}


def test_a_length_to_pull_is_never_short(tmp_path: Path) -> None:
    """45 m and two ends of 1.5 m are 48 m, which is 157.48 ft: a crew that cuts 157 ft has too little."""
    boxes = [chain(1)[0], chain(2)[1].replace("run: 50 m", "run: 45 m")]
    book = made(tmp_path, job_text(boxes, units="us"))
    pulls = "controller to B1 169 ft, at most 177 ft; B1 to B2 158 ft, at most 165 ft"
    assert rows_of(book.tables["reels"])[0][3] == pulls
    assert [row[3] for row in rows_of(book.tables["runs"])] == ["169 ft (51.5 m)", "158 ft (48.0 m)"]


def test_a_run_is_told_as_the_job_wrote_it(tmp_path: Path) -> None:
    boxes = [chain(1)[0].replace("run: 50 m", "run: 205 ft"), chain(2)[1].replace("run: 50 m", "run: 62.40 m (205 ft)")]
    book = made(tmp_path, job_text(boxes, units="us"))
    rows = rows_of(book.tables["runs"])
    assert [row[2] for row in rows] == ["205 ft (62.5 m)", "62.40 m (205 ft)"]


def test_what_soil_decides_has_two_digits_and_is_never_told_lower(tmp_path: Path) -> None:
    book = made(tmp_path, job_text(chain(2)))
    each, together = book.analysis.electrodes.ohms_each, book.analysis.electrodes.ohms_together
    note = next(text for text in said_by(book.tables["electrodes"]).split(". ") if "one rod is" in text.lower())
    told = [float(ohms) for ohms in re.findall(r"(?:is|to) (\d+(?:\.\d)?) Ω(?![·])", note) if float(ohms) != 10.0]
    assert each is not None
    assert told
    for number, exact in zip(told, (each, together), strict=False):
        assert exact is not None
        assert number == float(f"{number:.2g}")
        assert exact <= number <= exact * 1.1


def faulty(units: str) -> str:
    """A job with a finding of nearly every kind that has a length in it."""
    boxes = [
        "{id: B1, from: controller, run: 800 m, surface: lawn, device: two, stations: [1, 2], lead: 900 m}",
        "{id: B2, from: B1, run: 320 m, surface: road, device: two, stations: [3, 4], cover: 1.6 m}",
        "{id: B3, from: B2, run: 60 m, surface: lawn, device: two, stations: [5]}",
        "{id: B4, from: B3, run: 290 m, surface: lawn, device: two, stations: [6]}",
    ]
    text = job_text(boxes, units=units, basis="us", cover="50 mm")
    text = text.replace("width: 150 mm", "width: 50 mm").replace("length: 1.5 m (5 ft)", "length: 20 mm")
    return text.replace("solenoid: valve\n", "solenoid: valve\n  box: {length: 300 mm, width: 200 mm, depth: 250 mm}\n")


def lengths_told(folder: Path, units: str) -> Iterator[str]:
    for finding in found(folder, faulty(units)):
        yield from (finding.message, finding.expected)
    book = book_of(folder / "job.yml")
    yield from (place.reason for place in book.analysis.electrodes.places)
    yield summary_text(work(folder / "job.yml"))


def test_a_us_job_speaks_feet_first(tmp_path: Path) -> None:
    """No length in a finding, a reason or the summary stands in metres without its feet before it."""
    told = list(lengths_told(tmp_path, "us"))
    codes = {finding.code for finding in work(tmp_path / "job.yml").findings}
    assert {"run-longer-than-reel", "run-longer-than-every-run", "solenoid-volts-low", "trench-narrow"} <= codes
    assert {"bedding-above-ground", "lead-cable-unknown", "slack-short", "cover-low"} & codes
    alone = [text for text in told if METRIC_LENGTH.search(re.sub(r"\([^()]*\)", "", text))]
    assert not alone, "\n".join(alone)
    assert sum(bool(US_LENGTH.search(text)) for text in told) > 8
    assert any("from the last electrode" in text and " ft (" in text for text in told)


def test_a_metric_job_speaks_metres_but_for_what_a_source_prints(tmp_path: Path) -> None:
    told = [text for text in lengths_told(tmp_path, "metric") if METRIC_LENGTH.search(text)]
    assert len(told) > 8
    own = [text for text in told if " asks: " not in text]
    assert not [text for text in own if US_LENGTH.search(re.sub(r"\([^()]*\)", "", text))]
