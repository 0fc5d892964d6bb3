"""Whole files: what is read, many mistakes in one run, the standard, places, speed."""

from __future__ import annotations

import json
import pickle
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from job.refusal_samples import BASE_JOB
from slackloop.site.models import Job
from slackloop.site.reader import is_standard, read_job, read_standard, read_tree
from slackloop.site.schema_walk import homes_of_keys
from work_count import growth

HERE = Path(__file__).parent
BASE = BASE_JOB.read_text(encoding="utf-8")
EXAMPLES = sorted((HERE.parents[1] / "site_data" / "jobs").glob("*.yml"))


def write(folder: Path, text: str, name: str = "job.yml") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def change(*pairs: tuple[str, str]) -> str:
    text = BASE
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return text


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
    tree, findings, _ = read_tree(write(tmp_path, HOUSE))
    assert tree is not None
    assert not findings
    assert set(tree) == {"format", "title", "rules", "trench", "cables"}


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


def big(boxes: int) -> str:
    head = BASE[: BASE.index("  boxes:\n")]
    rows = [
        f"    - {{id: B{i}, from: {f'B{i - 1}' if i else 'controller'}, run: {40 + i % 50} m, surface: lawn, "
        f"device: twin, stations: [{2 * i + 1}, {2 * i + 2}]}}\n"
        for i in range(boxes)
    ]
    return head + "  boxes:\n" + "".join(rows)


def test_the_work_of_reading_grows_with_the_boxes_and_no_faster(tmp_path: Path) -> None:
    def reading_of(boxes: int) -> Callable[[], object]:
        path = tmp_path / f"{boxes}.yml"
        path.write_text(big(boxes), encoding="utf-8")
        assert read_job(path).job is not None
        return lambda: read_job(path)

    assert growth(reading_of, 50, times=4) < 4.5


def wrong(boxes: int) -> str:
    return big(boxes).replace("device: twin", "device: twim").replace(" m, surface", ", surface")


def test_the_work_of_refusing_grows_with_the_boxes_and_no_faster(tmp_path: Path) -> None:
    def reading_of(boxes: int) -> Callable[[], object]:
        path = tmp_path / f"{boxes}.yml"
        path.write_text(wrong(boxes), encoding="utf-8")
        return lambda: read_job(path)

    assert growth(reading_of, 200, times=4) < 5


def test_findings_of_ten_thousand_wrong_boxes_are_few(tmp_path: Path) -> None:
    reading = read_job(write(tmp_path, wrong(10_000)))
    assert reading.job is None
    assert len(reading.findings) == 200
    left_out = [f for f in reading.findings if f.code == "findings-left-out"]
    assert [(f.level, f.message) for f in left_out] == [("note", "only 199 findings are shown; correct these first")]


@pytest.mark.parametrize("item", ["a", "{}", "[]", "{a: 1}"])
def test_a_list_of_a_million_items_is_refused_before_it_takes_the_memory(tmp_path: Path, item: str) -> None:
    """Each wrong item costs more than a kilobyte where it is told, and two hundred are enough."""
    head = BASE[: BASE.index("  boxes:\n")]
    path = write(tmp_path, f"{head}  boxes: [" + f"{item}, " * 900_000 + f"{item}]\n")
    assert [finding.code for finding in read_job(path).findings] == ["file-too-many-values"]


def test_twenty_thousand_boxes_are_read(tmp_path: Path) -> None:
    assert read_job(write(tmp_path, big(20_000))).job is not None


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
