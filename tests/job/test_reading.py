"""Whole files: what is read, many mistakes in one run, the standard, places, speed."""

from __future__ import annotations

import json
import pickle
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from job.refusal_samples import BASE, BASE_JOB, change, write
from slackloop.site.models import Job
from slackloop.site.reader import read_job
from slackloop.site.schema import homes_of_keys

HERE = Path(__file__).parent
EXAMPLES = sorted((HERE.parents[1] / "site_data" / "jobs").glob("*.yml"))


def test_the_base_job_reads_without_a_finding() -> None:
    reading = read_job(BASE_JOB)
    assert reading.findings == ()
    assert reading.job is not None
    assert [box.id for box in reading.job.path.boxes] == ["B01", "B02", "B03"]
    assert reading.job.path.boxes[0].address == "101"
    assert reading.job.rules.slack.length.si == 1.5


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.stem for path in EXAMPLES])
def test_example_jobs_read(path: Path) -> None:
    reading = read_job(path)
    assert reading.job is not None, [f.message for f in reading.findings]


def test_there_are_example_jobs() -> None:
    assert EXAMPLES


def test_every_key_of_the_format_reads() -> None:
    reading = read_job(HERE / "full.yml")
    assert [f.message for f in reading.findings] == []
    assert reading.job is not None
    assert reading.job.path.boxes[2].note == "Under | the <oak>"


TEN = change(
    ("units: metric", "units: metrik"),
    ("date: 2026-03-02", "date: 2026-13-02"),
    ("stations_at_once: 4", "stations_at_once: four"),
    ("    reel: 750 m", "    real: 750 m"),
    ("slack: {length: 1.5 m (5 ft)", "slack: {length: 5 ft (2.5 m)"),
    ("  cover: 450 mm\n", ""),
    ("  bedding: 75 mm", "  bedding: 75"),
    ("warning_tape: true", "warning_tape: yes"),
    ("run: 41 m, surface: lawn, device: twin, stations: [3]", "run: 41 m, surface: lawn, device: twim, stations: [2]"),
    ("from: B02, run: 30 m", "from: B20, run: 0 m"),
)


def test_ten_mistakes_give_their_ten_places_in_one_run(tmp_path: Path) -> None:
    reading = read_job(write(tmp_path, TEN))
    errors = [f for f in reading.findings if f.level == "error"]
    lines = TEN.split("\n")
    at = {(f.code, lines[f.line - 1][f.column - 1 :].split(",")[0].split("}")[0]) for f in errors}
    assert at >= {
        ("word-unknown", "metrik"),
        ("date-wrong", "2026-13-02"),
        ("number-not-whole", "four"),
        ("key-unknown", "real: 750 m"),
        ("both-units-differ", "5 ft (2.5 m)"),
        ("key-missing", "rules:"),
        ("unit-missing", "75"),
        ("yaml-ambiguous", "yes"),
        ("name-undefined", "twim"),
        ("station-duplicate", "2]"),
        ("from-unknown", "B20"),
        ("not-positive", "0 m"),
    }
    assert len(errors) == 12
    assert [f.line for f in reading.findings] == sorted(f.line for f in reading.findings)
    assert {f.box for f in errors if f.code in ("from-unknown", "not-positive")} == {"B03"}


def test_text_is_taken_as_written(tmp_path: Path) -> None:
    text = change(
        ("number: T-1", "number: 2031"), ("revision: B", "revision: 1.50"), ("title: Test path", "title: true"),
        ("address: 101", "address: 1e3"), ("id: B03", "id: 12"),
    )  # fmt: skip
    job = read_job(write(tmp_path, text)).job
    assert job is not None
    assert (job.job.number, job.document.revision, job.job.title) == ("2031", "1.50", "true")
    assert (job.path.boxes[0].address, job.path.boxes[2].id) == ("1e3", "12")


@pytest.mark.parametrize("mark", ["\ufeff", ""])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_byte_order_mark_and_line_endings_change_nothing(mark: str, ending: str, tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_bytes((mark + BASE.replace("\n", ending)).encode())
    reading = read_job(path)
    assert reading.findings == ()
    assert reading.fingerprint_source == read_job(BASE_JOB).fingerprint_source


def test_the_fingerprint_follows_meaning_not_layout(tmp_path: Path) -> None:
    plain = read_job(BASE_JOB).fingerprint_source
    remark = read_job(write(tmp_path, "# a remark\n" + BASE.replace("number: T-1", 'number: "T-1"'))).fingerprint_source
    other = read_job(write(tmp_path, change(("run: 41 m", "run: 42 m")))).fingerprint_source
    assert plain == remark
    assert plain != other
    assert json.loads(plain)["path"]["boxes"][1]["run"] == "41 m"


def test_a_job_survives_its_own_json() -> None:
    job = read_job(BASE_JOB).job
    assert job is not None
    assert Job.model_validate(job.model_dump(mode="json", by_alias=True)) == job


def test_locate_falls_back_to_the_nearest_parent() -> None:
    places = read_job(BASE_JOB).places
    lines = BASE.split("\n")
    exact = places.locate(("path", "boxes", 1, "run"))
    assert lines[exact.line - 1][exact.column - 1 :].startswith("41 m")
    parent = places.locate(("path", "boxes", 1, "cover"))
    assert lines[parent.line - 1][parent.column - 1 :].startswith("{id: B02")
    above = places.locate(("rules", "tests", "nothing", "at", "all"))
    assert lines[above.line - 1].strip() == "tests:"
    assert places.locate(("nowhere",)).line == 1


def test_reading_changes_nothing_on_disk(tmp_path: Path) -> None:
    shutil.copy(BASE_JOB, tmp_path / "job.yml")
    before = [(p.name, p.stat().st_mtime_ns) for p in tmp_path.iterdir()]
    read_job(tmp_path / "job.yml")
    assert [(p.name, p.stat().st_mtime_ns) for p in tmp_path.iterdir()] == before


def test_every_key_is_described_in_the_schema() -> None:
    schema = Job.model_json_schema(by_alias=True)
    for name, part in {**schema["$defs"], "Job": schema}.items():
        for key, value in part.get("properties", {}).items():
            target = schema["$defs"].get(value.get("$ref", "").rpartition("/")[2], {})
            assert value.get("description") or target.get("description"), f"{name}.{key}"
    assert "path.boxes[…]" in homes_of_keys()["surface"]


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("HTTPS://Example.ORG/Site", "https://example.org/Site"),
        ("https://example.org:8443/a/", "https://example.org:8443/a/"),
        ("https://example.org/a%20b", "https://example.org/a%20b"),
        ("http://[2001:DB8::1]/", "http://[2001:db8::1]/"),
        ("", ""),
    ],
)
def test_an_address_is_read_with_its_scheme_and_host_in_lower_case(tmp_path: Path, written: str, read: str) -> None:
    path = write(tmp_path, BASE.replace("units: metric", f'units: metric\n  address: "{written}"'))
    job = read_job(path).job
    assert job is not None
    assert job.job.address == read


@pytest.mark.parametrize("day", ["1980-01-01", "2107-12-31"])
def test_the_first_and_last_day_of_a_workbook_are_dates(tmp_path: Path, day: str) -> None:
    path = write(tmp_path, BASE.replace("date: 2026-03-02", f"date: {day}"))
    job = read_job(path).job
    assert job is not None
    assert job.document.date.isoformat() == day


def test_a_reading_can_be_sent_to_another_process() -> None:
    reading = read_job(BASE_JOB)
    again = pickle.loads(pickle.dumps(reading))
    assert again.job == reading.job
    assert again.places.locate(("path", "boxes", 1)) == reading.places.locate(("path", "boxes", 1))


def test_schema_examples_match_their_own_patterns() -> None:
    checked = 0
    schema = Job.model_json_schema(by_alias=True)
    stack: list[Any] = [schema]
    while stack:
        here = stack.pop()
        if isinstance(here, dict):
            if "pattern" in here and "examples" in here:
                assert all(re.search(here["pattern"], example) for example in here["examples"]), here
                checked += 1
            stack += here.values()
        elif isinstance(here, list):
            stack += here
    assert checked > 20
