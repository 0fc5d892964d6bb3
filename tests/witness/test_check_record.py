"""The record of ``check --json`` against a nodal solution written here, from the text of the job file alone.

The file is read by PyYAML's safe loader; the network is solved by scipy's sparse solver; the choice of stations by
sorting what each output takes. Nothing of ours stands between the job file and the expected volts.
"""

import json
import re
from pathlib import Path

import numpy as np
import pytest
import yaml
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from samples import DEMO, chain, job_text, random_boxes
from slackloop.cli import main

MICROVOLT = 1e-6
METRES = {"m": 1.0, "ft": 0.3048}


def number(text: str) -> float:
    return float(re.match(r"[\d.]+", text)[0])


def metres(text: str) -> float:
    return number(text) * METRES[re.match(r"[\d.]+ (\w+)", text)[1]]


def loop_ohms_a_metre(conductor: str, celsius: float) -> float:
    """ASTM B258 for the diameter, IEC 60028 for the copper."""
    gauge = int(conductor.split()[0])
    area_mm2 = np.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2
    return 2 / (58 * area_mm2) * (1 + 0.00393 * (celsius - 20))


def expected_volts(job: dict) -> dict[str, float]:
    boxes = job["path"]["boxes"]
    index = {box["id"]: i for i, box in enumerate(boxes)}
    hot = number(job["conditions"]["soil_temperature"].split(" to ")[1])
    cables = {name: loop_ohms_a_metre(cable["conductor"], hot) for name, cable in job["cables"].items()}
    ends = [(box["from"], box["id"], metres(box["run"]), box.get("cable")) for box in boxes]
    ends += [(r["from"], r["to"], metres(r["run"]), r.get("cable")) for r in job["path"].get("ring_closures", ())]
    rows, columns, values = [], [], []
    for one, other, length, cable in ends:
        siemens = 1 / (length * cables[cable or job["path"]["cable"]])
        for here, there in ((one, other), (other, one)):
            if here == "controller":
                continue
            rows.append(index[here])
            columns.append(index[here])
            values.append(siemens)
            if there != "controller":
                rows.append(index[here])
                columns.append(index[there])
                values.append(-siemens)
    count = len(boxes)
    shared = splu(csc_matrix((values, (rows, columns)), shape=(count, count))).solve(np.eye(count))
    shared += number(job["supply"].get("source_resistance", "0 ohm"))
    standby, draws, owners = np.zeros(count), [], []
    for i, box in enumerate(boxes):
        if "device" in box:
            device = job["devices"][box["device"]]
            standby[i] = number(device["standby"]) / 1000
            for _ in box.get("stations", ()):
                draws.append(number(device["per_output"]) / 1000)
                owners.append(i)
    at_once = job["supply"]["stations_at_once"]
    lost = shared @ standby + np.sort(shared[:, owners] * np.array(draws), axis=1)[:, ::-1][:, :at_once].sum(axis=1)
    volts = number(job["supply"]["volts"]) - lost
    return {box["id"]: volts[i] for i, box in enumerate(boxes)}


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
}


@pytest.mark.parametrize("name", CASES)
def test_worst_volts_agree_within_a_microvolt(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES[name], encoding="utf-8")
    record = record_of(path, capsys)
    for box, volts in expected_volts(yaml.safe_load(CASES[name])).items():
        assert record["boxes"][box]["worst_volts"] == pytest.approx(volts, abs=MICROVOLT), box


def test_demo_agrees_within_a_microvolt(capsys: pytest.CaptureFixture[str]) -> None:
    job = yaml.safe_load(DEMO.read_text(encoding="utf-8"))
    record = record_of(DEMO, capsys)
    for box in job["path"]["boxes"]:
        box.setdefault("run", f"{record['runs'][box['id']]['length_m']} m")
    for box, volts in expected_volts(job).items():
        assert record["boxes"][box]["worst_volts"] == pytest.approx(volts, abs=MICROVOLT), box


def test_a_path_that_asks_too_much_fails_with_a_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    text = job_text(chain(60), at_once="40", conductor="18 AWG")
    path.write_text(text, encoding="utf-8")
    assert main(["check", "--json", str(path)]) == 1
    record = json.loads(capsys.readouterr().out)
    low = [finding for finding in record["findings"] if finding["code"] == "volts-low"]
    assert record["verdict"] == "fail"
    wanted = {box for box, volts in expected_volts(yaml.safe_load(text)).items() if volts < 22.0}
    assert {finding["box"] for finding in low} == wanted
    line = int(low[0]["where"].split(":")[-2])
    assert low[0]["box"] in text.splitlines()[line - 1]
