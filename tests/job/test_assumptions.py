"""Facts that are assumed or unknown: listed with their place, with a value or without one, never guessed."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from job.refusal_samples import BASE
from samples import job_text
from slackloop.cli import main
from slackloop.document.worked import work
from slackloop.site.reader import read_job
from slackloop.site.standard import read_standard

STANDARD = Path(__file__).parents[2] / "site_data" / "standards"


def read(text: str, folder: Path):
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return read_job(path)


def changed(*pairs: tuple[str, str]) -> str:
    text = BASE
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return text


ASSUMED = (
    ("conductor: 14 AWG", "conductor: Assumed 14 AWG"), ("stations_at_once: 4", "stations_at_once: assumed 4"),
    ("run: 62 m, surface: lawn", "run: assumed 62 m, surface: assumed lawn"), ("soil: common", "soil: assumed common"),
    ("stations: [3]", "stations: [assumed 3]"), ("warning_tape: true", "warning_tape: assumed true"),
)  # fmt: skip


def test_what_is_assumed_keeps_its_value_and_is_listed(tmp_path: Path) -> None:
    sure, unsure = read(BASE, tmp_path), read(changed(*ASSUMED), tmp_path)
    assert sure.job == unsure.job
    assert sure.fingerprint_source != unsure.fingerprint_source, "a copy that is not sure is another issue"
    assert {(each.key, each.kind, each.text) for each in unsure.assumptions} == {
        ("cables.main.conductor", "assumed", "14 AWG"), ("supply.stations_at_once", "assumed", "4"),
        ("path.boxes[B01].run", "assumed", "62 m"), ("path.boxes[B01].surface", "assumed", "lawn"),
        ("conditions.soil", "assumed", "common earth"), ("path.boxes[B02].stations[0]", "assumed", "3"),
        ("trench.warning_tape", "assumed", "true"),
    }  # fmt: skip
    lines = changed(*ASSUMED).split("\n")
    for each in unsure.assumptions:
        line, column = (int(part) for part in each.where.rsplit(":", 2)[1:])
        assert lines[line - 1][column - 1 :].casefold().startswith(f"assumed {each.text}".casefold())


def test_text_that_is_shown_as_it_is_may_begin_with_the_word(tmp_path: Path) -> None:
    text = changed(("title: Test path", "title: assumed path"), ("id: B03", "note: unknown, id: B03"))
    text = text.replace("prepared: Site engineer", "prepared: unknown")
    reading = read(text, tmp_path)
    assert reading.assumptions == ()
    assert reading.job is not None
    assert (reading.job.job.title, reading.job.path.boxes[2].note) == ("assumed path", "unknown")


def test_a_text_that_is_assumed_is_listed_and_its_word_taken_off(tmp_path: Path) -> None:
    connector = "connectors:\n  sealed:\n    title: Gel-filled sealed connector\n    listing: UL 486D"
    boxes = [
        "{id: B1, from: controller, run: 50 m, surface: lawn, device: one, name: assumed Gate, phase: assumed 2A,"
        " stations: [{number: 1, name: assumed North}],"
        " crossing: {sleeve: 50 mm, length: 9 m, depth: 900 mm, owner: assumed City, permit: Assumed P-7}}",
        "{run: assumed 20 m, id: assumed B2, from: B1, surface: lawn, note: Assumed dry from drawing 12.}",
        "{ids: assumed B3..B4, from: B2, run: 20 m, surface: lawn}",
    ]
    materials = "materials: [{title: assumed Gravel, per: box, quantity: 0.05 m3, part: assumed G-1}]\npath:\n"
    text = job_text(boxes).replace("path:\n", materials, 1)
    assert connector in text
    text = text.replace(connector, connector.replace(": UL", ": assumed UL") + "\n    part: assumed C-7\n"
                        "    closing: assumed snap shut")  # fmt: skip
    reading = read(text, tmp_path)
    job = reading.job
    assert job is not None, [each.message for each in reading.findings]
    assert [(each.key, each.text) for each in reading.assumptions] == [
        ("connectors.sealed.listing", "UL 486D"), ("connectors.sealed.part", "C-7"),
        ("connectors.sealed.closing", "snap shut"), ("materials[0].title", "Gravel"), ("materials[0].part", "G-1"),
        ("path.boxes[B1].name", "Gate"), ("path.boxes[B1].phase", "2A"), ("path.boxes[B1].stations[0].name", "North"),
        ("path.boxes[B1].crossing.owner", "City"), ("path.boxes[B1].crossing.permit", "P-7"),
        ("path.boxes[B2].run", "20 m"), ("path.boxes[B2].id", "B2"), ("path.boxes[B2].note", "dry from drawing 12."),
        ("path.boxes[B3].id", "B3"), ("path.boxes[B4].id", "B4"),
    ]  # fmt: skip
    assert [box.id for box in job.path.boxes] == ["B1", "B2", "B3", "B4"]
    assert job.path.boxes[1].note == "Assumed dry from drawing 12.", "a note loses no word of its own"
    dumped = job.model_dump_json().casefold().replace("assumed dry from", "")
    assert "assumed" not in dumped
    sure = read(re.sub(r"[Aa]ssumed (?!dry)", "", text), tmp_path)
    assert sure.job == job
    lines = text.split("\n")
    for each in reading.assumptions:
        line, column = (int(part) for part in each.where.rsplit(":", 2)[1:])
        assert lines[line - 1][column - 1 :].casefold().startswith("assumed ")


def test_a_chain_lists_the_fact_of_each_box_and_what_is_shared_once(tmp_path: Path) -> None:
    boxes = ["{ids: B1..B3, from: controller, run: assumed 9 m, stations: assumed from 7, address: assumed from 21}"]
    text = job_text(boxes).replace("path:\n", "path:\n  each: {surface: assumed lawn, device: one}\n", 1)
    reading = read(text, tmp_path)
    assert reading.job is not None, [each.message for each in reading.findings]
    assert [(each.key, each.text) for each in reading.assumptions] == [
        ("path.each.surface", "lawn"),
        *((f"path.boxes[B{n}].{key}", text) for n in (1, 2, 3)
          for key, text in (("run", "9 m"), ("stations[0]", str(n + 6)), ("address", str(n + 20)))),
    ]  # fmt: skip
    assert [box.station_numbers for box in reading.job.path.boxes] == [(7,), (8,), (9,)]


@pytest.mark.parametrize("status", ["draft", "for construction"])
def test_a_job_for_construction_that_is_not_sure_is_warned(status: str, tmp_path: Path) -> None:
    text = changed(ASSUMED[0]).replace("status: for construction", f"status: {status}").replace(
        "status: draft", f"status: {status}"
    )
    warned = [each for each in read(text, tmp_path).findings if each.code == "assumptions-open"]
    assert len(warned) == (status == "for construction")
    assert all("1 fact is assumed" in each.message and each.asks for each in warned)


def test_a_standard_may_be_unsure_too(tmp_path: Path) -> None:
    name = next(iter(sorted(STANDARD.glob("*.yml"))))
    text = name.read_text(encoding="utf-8").replace("volts: ", "volts: assumed ", 1)
    path = tmp_path / "house.yml"
    path.write_text(text, encoding="utf-8")
    reading = read_standard(path)
    assert reading.standard is not None, [each.message for each in reading.findings]


BOXES = (
    "{ids: B1..B6, from: controller, run: 40 m, surface: lawn, device: one, stations: from 1}",
    "{ids: C1..C3, from: B3, run: 20 m, surface: lawn, device: one, stations: from 10, cable: old}",
)
OLD = "  old: {conductor: 14 AWG, build: solid, cores: {a: orange, b: grey}, jacket_od: 9 mm, reel: 100 m}\ndevices:\n"


UNKNOWN = (("inrush: 0.35 A", "inrush: unknown"), ("least_volts: 22 V", "least_volts: unknown"))


@pytest.mark.parametrize(
    ("pairs", "told"),
    [
        (ASSUMED[:1], "; 1 fact is assumed"), (ASSUMED[:3], "; 4 facts are assumed"), ((), ""),
        (UNKNOWN[:1], "; 1 fact is not known"),
        ((*UNKNOWN, *ASSUMED[:1]),
         "; 2 facts are not known, 1 is assumed"),
        ((*UNKNOWN[:1], *ASSUMED[:2]),
         "; 1 fact is not known, 2 are assumed"),
    ],
)  # fmt: skip
def test_check_ends_with_what_is_open(
    pairs: tuple[tuple[str, str], ...], told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.yml"
    path.write_text(changed(*pairs), encoding="utf-8")
    assert main(["check", str(path)]) in (0, 1)
    last = capsys.readouterr().out.rstrip("\n").split("\n")[-1]
    assert re.match(r"(pass|fail): [0-9]+ errors?, [0-9]+ warnings?, [0-9]+ notes?", last), last
    assert re.sub(r"^.*notes?|; [0-9]+ (?:warning|question)s? (?:is|are) (?:not )?answered", "", last) == told


def record_of(folder: Path, capsys: pytest.CaptureFixture[str], *pairs: tuple[str, str]) -> dict:
    text = job_text(BOXES).replace("devices:\n", OLD, 1).replace("    device: two", "")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    main(["check", "--json", str(path)])
    return json.loads(capsys.readouterr().out)


def test_a_conductor_that_nobody_knows_leaves_what_does_not_rest_on_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Constant currents: the volts at B1 to B6 do not ask what cable the branch is of."""
    whole = record_of(tmp_path, capsys)
    part = record_of(tmp_path, capsys, ("old: {conductor: 14 AWG", "old: {conductor: unknown"))
    for box, values in part["boxes"].items():
        for key in ("standby_volts", "worst_volts", "loop_ohms_20c", "loop_ohms_cold", "loop_ohms_hot"):
            assert values[key] == (None if box.startswith("C") else whole["boxes"][box][key]), (box, key)
    assert part["supply"] == whole["supply"] | {"most_stations_at_once": None}
    assert part["boxes"]["B3"]["splices"][0] | {"area_mm2": None, "fits": None} == part["boxes"]["B3"]["splices"][0]
    assert part["boxes"]["B4"]["splices"] == whole["boxes"]["B4"]["splices"]
    assert part["assumptions"] == [
        {"key": "cables.old.conductor", "kind": "unknown", "text": "unknown", "where": part["assumptions"][0]["where"]}
    ]


@pytest.mark.parametrize(
    ("pair", "at_rest"),
    [(("per_output: 30 mA", "per_output: unknown"), True), (("standby: 0.5 mA", "standby: unknown"), False)],
)
def test_a_current_that_nobody_knows_leaves_no_volts_that_rest_on_it(
    pair: tuple[str, str], at_rest: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    whole, part = record_of(tmp_path, capsys), record_of(tmp_path, capsys, pair)
    for box, values in part["boxes"].items():
        assert values["worst_volts"] is None
        assert values["standby_volts"] == (whole["boxes"][box]["standby_volts"] if at_rest else None)
        assert values["loop_ohms_20c"] == whole["boxes"][box]["loop_ohms_20c"]
    assert part["supply"]["worst_a"] is None
    assert part["supply"]["most_stations_at_once"] is None


@pytest.mark.parametrize(
    "pair",
    [("least_volts: 20 V", "least_volts: unknown"),
     ("inrush: 0.35 A, holding: 33 mA", "inrush: unknown, holding: unknown"),
     UNKNOWN[0], ("reel: 100 m", "reel: unknown"),
     ("jacket_od: 9 mm", "jacket_od: unknown")],
)  # fmt: skip
def test_other_facts_that_nobody_knows_leave_the_volts(
    pair: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    whole, part = record_of(tmp_path, capsys), record_of(tmp_path, capsys, pair)
    for box, values in part["boxes"].items():
        assert values["worst_volts"] == whole["boxes"][box]["worst_volts"]
    assert not [each for each in part["findings"] if each["level"] == "error"]


def test_a_cable_of_unknown_thickness_leaves_the_depth_of_its_own_trench_open(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    alone = ("  shared_with_pipe: 63 mm\n", "")
    part = record_of(tmp_path, capsys, alone, ("jacket_od: 9 mm", "jacket_od: unknown"))
    assert (part["trench"]["dug_m3"], part["trench"]["length_m"]) == (None, 300.0)


def test_nothing_is_worked_out_from_what_is_unknown_on_a_ring(tmp_path: Path) -> None:
    ring = job_text(BOXES, ["{from: B6, to: C3, run: 30 m}"], ring="true").replace("devices:\n", OLD, 1)
    path = tmp_path / "job.yml"
    path.write_text(ring.replace("old: {conductor: 14 AWG", "old: {conductor: unknown"), encoding="utf-8")
    analysis = work(path).analysis
    assert all(volts != volts for volts in analysis.volts.worst_volts)
    assert analysis.breaks == ()
