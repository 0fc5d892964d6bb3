"""A chain gives the figures of the same boxes written out one by one, and several devices in a box those of a circuit.

The same job is written out by ``witness.written_out``, and volts are solved by ``witness.nodal``.
"""

import json
from pathlib import Path

import numpy as np
import pytest

from samples import job_text
from slackloop.cli import main
from slackloop.compute.circuit.volts import Feeder
from slackloop.site.reader import read_job
from witness.nodal import LARGEST_AWG, fitted_devices, path_edges, soil, worst_volts
from witness.spice import NEEDS_NGSPICE, operating_point
from witness.written_out import as_text, written_out

MICROVOLT = 1e-6
SENSOR = (
    "devices:\n  sensor: {title: Flow sensor, outputs: 0, standby: 2 mA, load: current, least_volts: 20 V,\n"
    "        leads: {conductor: 18 AWG, build: stranded}}\n"
)
EACH = "path:\n  each: {surface: lawn, device: one, lead: 3 ft, cover: 500 mm}\n"
BOXES = (
    "{ids: A001..A024, from: controller, run: 25.5 m, stations: from 1, address: from 101}",
    "{id: A025, from: A024, run: 18 m, devices: [{device: two, address: 131, stations: [25, 26]}, "
    "{device: sensor, address: 132}]}",
    "{ids: C1..C12, from: A008, run: 21 m, device: two, stations: from 27, address: from 201, surface: gravel}",
    "{id: C13, from: C12, run: 33 m, surface: drive, stations: [{number: 51, name: Infield, lead: 1.4 m}]}",
    "{id: D1, from: A014, run: 29 m, surface: paved, cover: 460 mm, device: none}",
    "{ids: D2..D9, from: D1, run: 20 m, stations: from 60}",
)
RING = ("{from: A025, to: C13, run: 75 m}",)


def repeated(*closures: str, **changes: str) -> str:
    text = job_text(BOXES, closures, ring="true" if closures else "false", **changes)
    text = text.replace("devices:\n", SENSOR, 1).replace("path:\n", EACH, 1)
    return text.replace("  current: ac\n", "  current: ac\n  always_on: [3, 26]\n", 1)


def record_of(text: str, path: Path, capsys: pytest.CaptureFixture[str]) -> dict:
    path.write_text(text, encoding="utf-8")
    main(["check", "--json", str(path)])
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("closures", [(), RING], ids=["tree", "ring"])
def test_a_chain_is_the_same_job_as_its_boxes_one_by_one(
    closures: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = repeated(*closures)
    short = record_of(text, tmp_path / "short.yml", capsys)
    whole = record_of(as_text(written_out(text)), tmp_path / "whole.yml", capsys)
    assert len(short["boxes"]) == 47
    for record in (short, whole):
        record["findings"] = sorted((each["code"], each["message"]) for each in record["findings"])
    assert short == whole


@pytest.mark.parametrize("closures", [(), RING], ids=["tree", "ring"])
def test_volts_with_several_devices_in_a_box_are_those_of_the_circuit(
    closures: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = repeated(*closures)
    record, job = record_of(text, tmp_path / "job.yml", capsys), written_out(text)
    assert len(fitted_devices(next(box for box in job["path"]["boxes"] if box["id"] == "A025"))) == 2
    worst, rest = worst_volts(job), worst_volts(job, at_once=0)
    assert worst["A025"] < rest["A025"] - 0.1, "the case should lose something worth comparing"
    for box, values in record["boxes"].items():
        assert values["worst_volts"] == pytest.approx(worst[box], abs=MICROVOLT), box
        assert values["standby_volts"] == pytest.approx(rest[box], abs=MICROVOLT), box


@NEEDS_NGSPICE
def test_two_devices_in_a_box_at_rest_agree_with_ngspice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = repeated()
    record, job = record_of(text, tmp_path / "job.yml", capsys), written_out(text)
    boxes = job["path"]["boxes"]
    at = {"controller": -1} | {box["id"]: i for i, box in enumerate(boxes)}
    edges = path_edges(job, soil(job)[1], awg_factor=LARGEST_AWG)
    parent, ohms = tuple(at[one] for one, _, _ in edges), np.array([ohms for _, _, ohms in edges])
    amps = np.array([sum(_milliamps(job, box)) / 1000 for box in boxes])
    found = [record["boxes"][box["id"]]["standby_volts"] for box in boxes]
    assert found == pytest.approx(operating_point(Feeder(parent, ohms, 36.0), amps, tmp_path), abs=MICROVOLT)


def _milliamps(job: dict, box: dict) -> list[float]:
    """What each device of a box takes with only stations 3 and 26 operated."""
    draws = []
    for fitted in fitted_devices(box):
        device = job["devices"][fitted["device"]]
        numbers = [each["number"] if isinstance(each, dict) else each for each in fitted.get("stations", ())]
        running = sum(number in (3, 26) for number in numbers)
        each = float(device["per_output"].split()[0]) if running else 0.0
        draws.append(float(device["standby"].split()[0]) + running * each)
    return draws


def test_constant_power_devices_in_one_box_are_bounded_as_in_two(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The second device of a box, moved into a box of its own a millimetre on: volts may differ by a millivolt."""
    text = repeated(load="power")
    beside = text.replace(
        ", devices: [{device: two, address: 131, stations: [25, 26]}, {device: sensor, address: 132}]}",
        ", device: two, address: 131, stations: [25, 26]}\n"
        "    - {id: A026, from: A025, run: 1 mm, device: sensor, address: 132}",
    ).replace("slack: {length: 1.5 m (5 ft), per: tail}", "slack: {length: 0 m, per: tail}")
    text = text.replace("slack: {length: 1.5 m (5 ft), per: tail}", "slack: {length: 0 m, per: tail}")
    one, two = (record_of(each, tmp_path / "job.yml", capsys) for each in (text, beside))
    for box, values in one["boxes"].items():
        assert values["worst_volts"] == pytest.approx(two["boxes"][box]["worst_volts"], abs=2e-3), box


def test_a_finding_in_a_chain_names_its_box_and_the_line_of_the_chain(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = repeated(volts="23 V")
    record = record_of(text, tmp_path / "job.yml", capsys)
    low = [each for each in record["findings"] if each["code"] == "volts-low"]
    line = 1 + text.split("\n").index(f"    - {BOXES[2]}")
    assert {each["box"] for each in low} >= {"C5", "C12"}
    assert {each["where"].split(":")[1] for each in low if each["box"].startswith("C1")} >= {str(line)}


def test_a_long_chain_is_read_and_a_longer_one_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_text(job_text(["{ids: B1..B20000, from: controller, run: 1 m, surface: lawn}"]), encoding="utf-8")
    job = read_job(path).job
    assert job is not None
    assert (len(job.path.boxes), job.path.boxes[-1].id, job.path.boxes[-1].from_) == (20_000, "B20000", "B19999")
    path.write_text(
        job_text([f"{{ids: {name}1..{name}15000, from: controller, run: 1 m, surface: lawn}}" for name in "BC"]),
        encoding="utf-8",
    )
    reading = read_job(path)
    assert {each.code for each in reading.findings if each.level == "error"} == {"chain-ids"}
