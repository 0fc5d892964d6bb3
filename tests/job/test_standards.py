"""A firm's standard under a job and by itself, and the reasons for departing from it."""

from __future__ import annotations

from pathlib import Path

import pytest

from job.refusal_samples import BASE, change, write
from slackloop.site.reader import is_standard, read_job
from slackloop.site.standard import read_standard

HOUSE = """format: 1
title: House standard
rules:
  cover: 500 mm
  slack: {length: 2 m, per: tail}
trench: {bedding: 100 mm}
cables:
  spare:
    conductor: 16 AWG
    build: solid
    cores: {a: white, b: violet}
"""


def test_the_standard_lies_under_the_job(tmp_path: Path) -> None:
    write(tmp_path, HOUSE, "house.yml")
    job = write(
        tmp_path,
        change(("format: 1\n", "format: 1\nstandard: ../house.yml\n"), ("  bedding: 75 mm\n", "")),
        "a/job.yml",
    )
    reading = read_job(job)
    assert reading.job is not None, [f.message for f in reading.findings]
    assert [(f.level, f.code, f.at) for f in reading.findings] == [
        ("note", "departure-unexplained", ("rules", "slack", "length")),
        ("note", "departure-unexplained", ("rules", "cover")),
    ]
    assert reading.job.trench.bedding.si == 0.1
    assert "spare" in reading.job.cables
    assert [(d.at, d.standard_text, d.job_text) for d in reading.departures] == [
        (("rules", "cover"), "500 mm", "450 mm"),
        (("rules", "slack", "length"), "2 m", "1.5 m (5 ft)"),
    ]
    place = reading.places.locate(("trench", "bedding"))
    assert place.file.endswith("house.yml")
    assert place.excerpt == "trench: {bedding: 100 mm}"


def test_a_mistake_in_the_standard_is_placed_in_the_standard(tmp_path: Path) -> None:
    write(tmp_path, HOUSE.replace("100 mm", "100 mV"), "house.yml")
    text = change(("format: 1\n", "format: 1\nstandard: house.yml\n"), ("  bedding: 75 mm\n", ""))
    finding = next(f for f in read_job(write(tmp_path, text)).findings if f.level == "error")
    assert finding.code == "unit-wrong-kind"
    assert finding.file.endswith("house.yml")
    assert (finding.line, finding.excerpt) == (6, "trench: {bedding: 100 mV}")


def test_a_standard_reads_by_itself(tmp_path: Path) -> None:
    rules = BASE[BASE.index("rules:") : BASE.index("path:")]
    named = "title: House\nnumber: S1\nrevision: A\ndate: 2026-01-05\ncontractor: Example Groundworks\n"
    reading = read_standard(write(tmp_path, named + rules))
    assert reading.findings == ()
    assert reading.standard is not None
    assert reading.standard.stated("rules", "cover").si == 0.45
    assert reading.standard.stated("rules", "earthing", "rod", "length").si == 2.4
    assert reading.standard.stated("supply", "volts") is None


def test_a_standard_may_leave_any_key_to_the_job(tmp_path: Path) -> None:
    reading = read_standard(write(tmp_path, HOUSE))
    assert reading.standard is not None
    assert [(f.level, f.code) for f in reading.findings] == [("note", "standard-unnamed")]
    assert reading.standard.stated("rules", "slack", "length").si == 2.0
    assert reading.standard.stated("rules", "strip") is None
    assert reading.standard.stated("cables", "spare", "cores", "b") == "violet"
    assert reading.standard.stated("cables", "spare", "reel") is None


@pytest.mark.parametrize(
    ("old", "new", "code", "hint"),
    [
        ("  cover: 500 mm\n", "  cover: 500 mm\n  covr: 1 m\n", "key-unknown", "did you mean cover?"),
        ("  cover: 500 mm", "  cover: 500", "unit-missing", ""),
        ("per: tail", "per: tial", "word-unknown", "did you mean tail?"),
        ("trench:", "trentch:", "standard-key", "did you mean trench?"),
        ("trench:", "conditions: {soil: comon earth}\ntrench:", "soil-unknown", "did you mean common earth?"),
    ],
)
def test_a_mistake_in_a_lone_standard_is_placed(tmp_path: Path, old: str, new: str, code: str, hint: str) -> None:
    text = HOUSE.replace(old, new, 1)
    reading = read_standard(write(tmp_path, text), soils={"common earth"})
    assert reading.standard is None
    finding = next(f for f in reading.findings if f.level == "error")
    assert (finding.code, finding.hint if hint else "") == (code, hint)
    assert finding.excerpt == text.split("\n")[finding.line - 1]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (HOUSE, True),
        ("rules: {cover: 450 mm}\n", True),
        ("{rules: {cover: 450 mm}}\n", True),
        ("rulse: 1\ntrench: {bedding: 1 m}\n", True),
        (BASE, False),
        ("{job: {number: 1}, rules: {cover: 450 mm}}\n", False),
        ("rules: {cover: 450 mm}\npath: {cable: main}\n", False),
        ("format: 1\n", False),
        ("- rules\n", False),
        ("rules: {cover: [\n", False),
    ],
)
def test_a_standard_is_told_from_a_job(tmp_path: Path, text: str, expected: bool) -> None:
    assert is_standard(write(tmp_path, text)) is expected


def test_each_departure_has_its_reason(tmp_path: Path) -> None:
    write(tmp_path, HOUSE, "house.yml")
    said = "standard: ../house.yml\ndepartures:\n  rules.cover: The client asks for it.\n  rules.slack: Small boxes.\n"
    text = change(("format: 1\n", f"format: 1\n{said}"), ("  bedding: 75 mm\n", ""))
    reading = read_job(write(tmp_path, text, "a/job.yml"))
    assert reading.findings == ()
    assert [(d.at, d.reason) for d in reading.departures] == [
        (("rules", "cover"), "The client asks for it."),
        (("rules", "slack", "length"), "Small boxes."),
    ]


@pytest.mark.parametrize(
    ("key", "level", "code", "hint"),
    [
        ("rules.covr", "error", "departure-unknown", "did you mean rules.cover?"),
        ("weather", "error", "departure-unknown", ""),
        ("rules.strip", "warning", "departure-none", ""),
    ],
)
def test_a_reason_that_fits_no_departure(tmp_path: Path, key: str, level: str, code: str, hint: str) -> None:
    write(tmp_path, HOUSE, "house.yml")
    said = f"standard: ../house.yml\ndepartures:\n  rules: All of it.\n  {key}: Because.\n"
    text = change(("format: 1\n", f"format: 1\n{said}"), ("  bedding: 75 mm\n", ""))
    reading = read_job(write(tmp_path, text, "a/job.yml"))
    assert [(f.level, f.code, f.hint) for f in reading.findings] == [(level, code, hint)]
    assert reading.findings[0].excerpt == f"  {key}: Because."
