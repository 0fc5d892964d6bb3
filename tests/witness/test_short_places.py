"""A short put at every box and in the middle of every run is found again, its reading worked out by ``witness.nodal``.

The cable that is shorted is never quite the one of the tables: its resistance lies between nominal and the largest,
its soil anywhere in the job's range, and the meter is off by as much as it may be. The band must hold the true place
each time. The edges of the band are worked out a second way, by walking along the cable in sixty steps.
"""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import numpy as np
import pytest
import yaml

from samples import DEMO, job_text, random_boxes
from slackloop.cli import main
from slackloop.compute.circuit.short_places import Curve, ShortFinder, ShortPlace
from slackloop.document.worked import Worked, work
from witness.nodal import JOBS, LARGEST_AWG, Job, Section, Shorts, job_from, sections, soil

EDGE_M, STEPS, CLEAR_OHMS = 1e-6, 60, 1e-6
METER_FRACTION, METER_OHMS = 0.01, 0.05
TWO_RINGS = job_text(
    random_boxes(20, seed=5), ["{from: B20, to: controller, run: 80 m}", "{from: B13, to: B7, run: 60 m}"], ring="true"
)


def demo_job(worked: Worked) -> Job:
    """The demonstration with the lengths of its runs stated, where the file has coordinates."""
    job = yaml.safe_load(DEMO.read_text(encoding="utf-8"))
    length_m = {run.id: run.length_m for run in worked.analysis.network.runs}
    for box in job["path"]["boxes"]:
        box["run"] = f"{length_m[box['id']]!r} m"
    return job


def made(text: str, folder: Path) -> Path:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return path


def places(worked: Worked, ohms: float, celsius: float | None, *, opened: bool = False) -> tuple[ShortPlace, ...]:
    return finder(worked, celsius, opened).places(ohms)


def finder(worked: Worked, celsius: float | None, opened: bool) -> ShortFinder:
    return ShortFinder(worked.job, worked.analysis.network, worked.tables, celsius, opened=opened)


def holds(found: tuple[ShortPlace, ...], run: Section, trench_m: float) -> bool:
    return any(
        place.run_id == run.id
        and place.nearest_m - EDGE_M <= trench_m <= place.farthest_m + EDGE_M
        and place.nearest_m - EDGE_M <= place.likely_m <= place.farthest_m + EDGE_M
        for place in found
    )


def readings_along(job: Job, *, opened: bool) -> dict[tuple[str, str], float]:
    """The reading at 20 °C at each box's splice, in its slack, and half way along each run."""
    shorts = Shorts(job, 20.0, opened=opened)
    return {
        (run.id, name): shorts.reading(run.id, cable_m)
        for run in shorts.runs
        for name, cable_m in (
            ("slack", run.slack_one_m / 2),
            ("middle", run.slack_one_m + run.run_m / 2),
            ("end", run.circuit_m),
        )
    }


@pytest.mark.parametrize(
    "name", ["demonstration", "links", "ring", "ring open", "garden", "two rings", "two rings open"]
)
def test_a_short_at_every_box_and_in_every_run_is_found(name: str, tmp_path: Path) -> None:
    plain, opened = name.removesuffix(" open"), name.endswith(" open")
    path = {"demonstration": DEMO, "two rings": tmp_path / "job.yml"}.get(plain, JOBS / f"{plain}.yml")
    if plain == "two rings":
        made(TWO_RINGS, tmp_path)
    worked = work(path)
    job = demo_job(worked) if path == DEMO else job_from(path.read_text(encoding="utf-8"))
    coldest, hottest = soil(job)
    by_gauge = all("AWG" in cable["conductor"] for cable in job["cables"].values())
    cases = itertools.cycle(
        itertools.product(
            (coldest, (coldest + hottest) / 2, hottest), (1.0, 1.01, LARGEST_AWG), (-1.0, 0.0, 1.0), (True, False)
        )
    )
    runs, finders = {run.id: run for run in sections(job)}, {}
    for (run_id, where), at_20c in readings_along(job, opened=opened).items():
        run = runs[run_id]
        trench_m = {"middle": run.run_m / 2, "end": run.run_m}.get(where, 0.0)
        celsius, factor, off, told = next(cases)
        true = at_20c * (1 + 0.00393 * (celsius - 20)) * (factor if by_gauge else 1.0)
        read = max(true + off * 0.999 * (METER_FRACTION * true + METER_OHMS) / (1 + METER_FRACTION), 0.0)
        given = celsius if told else None
        if given not in finders:
            finders[given] = finder(worked, given, opened)
        assert holds(finders[given].places(read), run, trench_m), (run_id, where, celsius, factor, off, told)


@pytest.mark.parametrize("name", ["tree", "ring", "ring open"])
def test_the_band_ends_where_the_reading_leaves_it(name: str, tmp_path: Path) -> None:
    """Walked along in steps of a hundredth: inside the band exactly where the two readings overlap."""
    opened = name.endswith(" open")
    text = TWO_RINGS if name != "tree" else job_text(random_boxes(12, seed=3))
    worked, job = work(made(text, tmp_path)), job_from(text)
    coldest, hottest = soil(job)
    mild, at_14 = Shorts(job, 20.0, opened=opened), Shorts(job, 14.0, opened=opened)
    runs = mild.runs[::5]
    along = {
        (run.id, cable_m): mild.reading(run.id, cable_m)
        for run in runs
        for cable_m in np.linspace(0.0, run.circuit_m, STEPS).tolist()
    }
    for run in runs:
        read = at_14.reading(run.id, run.circuit_m * 0.4)
        error = METER_FRACTION * read + METER_OHMS
        for celsius in (None, 14.0):
            low, high = (coldest, hottest) if celsius is None else (celsius, celsius)
            found = places(worked, read, celsius, opened=opened)
            for other in runs:
                for cable_m in np.linspace(0.0, other.circuit_m, STEPS).tolist():
                    nominal = along[other.id, cable_m]
                    least = nominal * (1 + 0.00393 * (low - 20))
                    most = nominal * (1 + 0.00393 * (high - 20)) * LARGEST_AWG
                    trench_m = min(max(cable_m - other.slack_one_m, 0.0), other.run_m)
                    margin = min(read + error - least, most - read + error)
                    if margin > CLEAR_OHMS:
                        assert holds(found, other, trench_m), (run.id, other.id, cable_m)
                    if margin < -CLEAR_OHMS and 0 < trench_m < other.run_m:
                        assert not holds(found, other, trench_m), (run.id, other.id, cable_m)


@pytest.mark.parametrize(("ring", "opened"), [(False, False), (True, True), (True, False)])
def test_a_run_is_named_for_just_the_readings_of_its_band(tmp_path: Path, ring: bool, opened: bool) -> None:
    path = JOBS / "ring.yml"
    if not ring:
        path = made(job_text(random_boxes(25, 7)), tmp_path)
    worked = work(path)
    found = finder(worked, None, opened)
    bands = found.bands()
    assert set(bands) == {run.id for run in worked.analysis.network.all_runs}
    for run, (low, high) in bands.items():
        for reading, named in ((low * 1.0001 + 1e-9, True), (high * 0.9999, True), (low - 1e-4, False),
                               (high + 1e-4, False)):  # fmt: skip
            if reading >= 0:
                assert (run in {each.run_id for each in found.places(reading)}) is named, (run, reading, low, high)


def test_likely_is_where_the_expected_reading_is(tmp_path: Path) -> None:
    text = job_text(random_boxes(12, seed=3))
    worked, job = work(made(text, tmp_path)), job_from(text)
    for run in sections(job):
        read = Shorts(job, 9.0).reading(run.id, run.slack_one_m + 0.3 * run.run_m)
        likely = [place.likely_m for place in places(worked, read, 9.0) if place.run_id == run.id]
        assert likely == [pytest.approx(0.3 * run.run_m, abs=1e-3)]


def test_json_names_the_ends_in_path_order(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = made(TWO_RINGS, tmp_path)
    assert main(["locate", str(path), "--loop-ohms", "1.2", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert set(record) == {"places"}
    order = [(run.one, run.other) for run in sections(job_from(TWO_RINGS))]
    found = [(place["from"], place["to"]) for place in record["places"]]
    assert found == sorted(found, key=order.index)
    assert all(set(place) == {"from", "to", "nearest_m", "likely_m", "farthest_m"} for place in record["places"])


def test_a_reading_beyond_the_path_gives_an_empty_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["locate", str(DEMO), "--loop-ohms", "999", "--json"]) == 1
    assert json.loads(capsys.readouterr().out) == {"places": []}


def test_a_better_meter_and_a_known_soil_narrow_the_band(tmp_path: Path) -> None:
    text = job_text(random_boxes(12, seed=3))
    sharp = text.replace("    loop_tolerance: 10 %", "    loop_tolerance: 10 %\n    meter: {percent: 0 %, ohms: 0 ohm}")
    job = job_from(text)
    run = sections(job)[5]
    read = Shorts(job, 14.0).reading(run.id, run.slack_one_m + 0.5 * run.run_m)

    def wide(text: str, celsius: float | None) -> float:
        found = [p for p in places(work(made(text, tmp_path)), read, celsius) if p.run_id == run.id]
        return sum(place.farthest_m - place.nearest_m for place in found)

    assert wide(text, None) > wide(text, 14.0) > wide(sharp, 14.0)
    assert wide(sharp, 14.0) < 0.5 * wide(text, 14.0)


def test_an_arched_reading_is_highest_where_its_slope_is_nothing() -> None:
    """By calculus: 5 + 2t − 2t² turns at t = 0.5, t − 0.625t² at 0.8, and t − 0.498t² beyond the run, at 1.004."""
    assert Curve(5.0, 2.0, -2.0).peak() == pytest.approx(0.5, rel=1e-12)
    assert Curve(0.0, 1.0, -0.625).peak() == pytest.approx(0.8, rel=1e-12)
    assert Curve(0.0, 1.0, -0.498).peak() is None
    assert Curve(0.0, 1.0, 0.0).peak() is None
