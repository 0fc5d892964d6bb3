"""The record of ``check --json`` against the nodal solution of ``witness.nodal``, slack counted."""

import json
from pathlib import Path

import pytest
import yaml

from samples import DEMO, chain, job_text, random_boxes
from slackloop.cli import main
from witness.nodal import JOBS, job_from, loop_readings, sections, soil, worst_volts

MICROVOLT = 1e-6


def record_of(path: Path, capsys: pytest.CaptureFixture[str]) -> dict:
    main(["check", "--json", str(path)])
    return json.loads(capsys.readouterr().out)


CASES = {
    "chain": job_text(chain(25)),
    "tree": job_text(random_boxes(60, seed=3), source="0.4 ohm"),
    "320 boxes": job_text(random_boxes(320, seed=4), at_once="12", conductor="10 AWG"),
    "ring": job_text(chain(12), ["{from: B12, to: B2, run: 75 m}"], ring="true"),
    "two rings": job_text(
        random_boxes(40, seed=5),
        ["{from: B40, to: controller, run: 80 m}", "{from: B33, to: B7, run: 60 m}"],
        ring="true",
    ),
    "slack shared in a box": job_text(chain(12), ["{from: B12, to: B2, run: 75 m}"], ring="true").replace(
        "per: tail", "per: box"
    ),
    "garden": (JOBS / "garden.yml").read_text(encoding="utf-8"),
    "links": (JOBS / "links.yml").read_text(encoding="utf-8"),
}


@pytest.mark.parametrize("name", CASES)
def test_worst_volts_agree_within_a_microvolt(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES[name], encoding="utf-8")
    record = record_of(path, capsys)
    for box, volts in worst_volts(yaml.safe_load(CASES[name])).items():
        assert record["boxes"][box]["worst_volts"] == pytest.approx(volts, abs=MICROVOLT), box


@pytest.mark.parametrize("name", CASES)
def test_readings_and_cable_lengths_count_slack(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES[name], encoding="utf-8")
    record, job = record_of(path, capsys), job_from(CASES[name])
    to_box = {"controller": 0.0}
    for run in sections(job):
        if not run.closes:
            to_box[run.other] = to_box[run.one] + run.circuit_m
    coldest, hottest = soil(job)
    for key, celsius in (("loop_ohms_20c", 20.0), ("loop_ohms_cold", coldest), ("loop_ohms_hot", hottest)):
        witness = loop_readings(job, celsius)
        for box, values in record["boxes"].items():
            assert values[key] == pytest.approx(witness[box], rel=1e-8), (box, key)
            assert values["cable_m"] == pytest.approx(to_box[box], abs=1e-6)


def test_demo_agrees_within_a_microvolt(capsys: pytest.CaptureFixture[str]) -> None:
    job = yaml.safe_load(DEMO.read_text(encoding="utf-8"))
    record = record_of(DEMO, capsys)
    for box in job["path"]["boxes"]:
        box.setdefault("run", f"{record['runs'][box['id']]['length_m']} m")
    for box, volts in worst_volts(job).items():
        assert record["boxes"][box]["worst_volts"] == pytest.approx(volts, abs=MICROVOLT), box


def test_a_path_that_asks_too_much_fails_with_a_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    text = job_text(chain(60), at_once="40", conductor="18 AWG")
    path.write_text(text, encoding="utf-8")
    assert main(["check", "--json", str(path)]) == 1
    record = json.loads(capsys.readouterr().out)
    low = [finding for finding in record["findings"] if finding["code"] == "volts-low"]
    assert record["verdict"] == "fail"
    wanted = {box for box, volts in worst_volts(yaml.safe_load(text)).items() if volts < 22.0}
    assert {finding["box"] for finding in low} == wanted
    line = int(low[0]["where"].split(":")[-2])
    assert low[0]["box"] in text.splitlines()[line - 1]
