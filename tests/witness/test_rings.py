"""Rings against independent solutions: open and closed readings by ``witness.nodal``, volts of constant power.

For constant power each choice of outputs is solved by itself, by repeated substitution on the nodal solution, until
the volts stand still. What we print must never be above what any choice gives.
"""

import json
import random
from pathlib import Path

import numpy as np
import pytest

from samples import chain, job_text, random_boxes
from slackloop.cli import main
from witness.nodal import (
    JOBS,
    LARGEST_AWG,
    Job,
    job_from,
    loads,
    loop_readings,
    number,
    path_edges,
    sections,
    shared_ohms,
    soil,
)

MICROVOLT, CLOSE_VOLTS = 1e-6, 2e-3
CASES = {
    "ring": (JOBS / "ring.yml").read_text(encoding="utf-8"),
    "two rings": job_text(
        random_boxes(24, seed=5),
        ["{from: B24, to: controller, run: 80 m}", "{from: B13, to: B7, run: 60 m}"],
        ring="true",
    ),
    "from the controller": job_text(chain(9), ["{from: controller, to: B9, run: 75 m}"], ring="true"),
}


def record_of(text: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> dict:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    main(["check", "--json", str(path)])
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("name", CASES)
def test_open_and_closed_readings(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record, job = record_of(CASES[name], tmp_path, capsys), job_from(CASES[name])
    closed, opened = loop_readings(job, 20.0), loop_readings(job, 20.0, opened=True)
    assert any(opened[box] > closed[box] + 0.1 for box in record["boxes"]), "a ring must make a difference"
    for box, values in record["boxes"].items():
        assert values["loop_ohms_20c"] == pytest.approx(closed[box], rel=1e-8)
        assert values["loop_open_ohms_20c"] == pytest.approx(opened[box], rel=1e-8)
    closing = [run for run in sections(job) if run.closes]
    assert list(record["closures"]) == [run.id for run in closing]
    for run in closing:
        found = record["closures"][run.id]
        before_m = record["boxes"][run.one]["cable_m"] if run.one in record["boxes"] else 0.0
        assert found["loop_open_ohms_20c"] == pytest.approx(opened[f"open end of {run.id}"], rel=1e-8)
        assert found["cable_m"] == pytest.approx(before_m + run.circuit_m)
        assert record["runs"][run.id]["length_m"] == pytest.approx(run.run_m)


def test_a_path_without_rings_has_one_reading(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = record_of(job_text(chain(4)), tmp_path, capsys)
    assert record["closures"] == {}
    assert all("loop_open_ohms_20c" not in values for values in record["boxes"].values())


def volts_of_choice(job: Job, shared: np.ndarray, standby: np.ndarray, drawn: np.ndarray) -> np.ndarray:
    """Volts at every node where each load takes its amperes at the supply's volts as constant power."""
    supply_volts = number(job["supply"]["volts"])
    watts = (standby + drawn) * supply_volts
    volts = np.full(len(standby), supply_volts)
    for _ in range(200):
        volts = supply_volts - shared @ (watts / volts)
    return volts


def test_the_ring_of_constant_power_is_never_optimistic(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """For each box the outputs that take most from it, and 400 choices at random; slack counted."""
    record, job = record_of(CASES["ring"], tmp_path, capsys), job_from(CASES["ring"])
    index, shared = shared_ohms(path_edges(job, soil(job)[1], awg_factor=LARGEST_AWG))
    standby, owners, draws = loads(job, index)
    rng, at_once = random.Random(9), job["supply"]["stations_at_once"]
    choices = [np.argsort(-shared[index[box], owners] * draws)[:at_once] for box in record["boxes"]]
    choices += [np.array(rng.sample(range(len(owners)), at_once)) for _ in range(400)]
    lowest = np.full(len(index), np.inf)
    for choice in choices:
        drawn = np.zeros(len(index))
        np.add.at(drawn, owners[choice], draws[choice])
        lowest = np.minimum(lowest, volts_of_choice(job, shared, standby, drawn))
    for box, values in record["boxes"].items():
        assert values["worst_volts"] <= lowest[index[box]] + MICROVOLT, box
        assert values["worst_volts"] >= lowest[index[box]] - CLOSE_VOLTS, box
