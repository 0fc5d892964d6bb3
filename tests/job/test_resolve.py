"""What holds for a box: runs from coordinates, leads, connectors, solenoids."""

from __future__ import annotations

from pathlib import Path

import pytest

from job.refusal_samples import BASE_JOB
from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import PlacedStation, placed_devices
from slackloop.site.models import Box, Job
from slackloop.site.reader import read_job

BASE = BASE_JOB.read_text(encoding="utf-8")


def job_of(folder: Path, *pairs: tuple[str, str]) -> Job:
    text = BASE
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    reading = read_job(path)
    assert reading.job is not None, [f.message for f in reading.findings]
    return reading.job


def placed_stations(job: Job, box: Box) -> list[PlacedStation]:
    return [station for device in placed_devices(job, box) for station in device.stations]


def test_run_from_coordinates_is_the_straight_line_and_the_detour(tmp_path: Path) -> None:
    """A 3-4-5 triangle: 50 m straight, 52.5 m with the default 5 %; 55 m with 10 %."""
    pairs = (
        ("run: 62 m", "at: [30, 40]"),
        ("run: 41 m", "at: [30, 140.0], run: 41 m"),
        ("run: 30 m", "at: [30.0, 150]"),
    )
    job = job_of(tmp_path, *pairs)
    lengths = [resolve.run_length_m(job, box) for box in job.path.boxes]
    assert lengths == pytest.approx([52.5, 41.0, 10.5])
    wider = job_of(
        tmp_path, *pairs, ("  solenoid: valve\n", "  solenoid: valve\n  detour: 10 %\n  controller_at: [60, 80]\n")
    )
    assert resolve.run_length_m(wider, wider.path.boxes[0]) == pytest.approx(55.0)


def test_the_controller_has_no_place_without_coordinates(tmp_path: Path) -> None:
    assert resolve.controller_at(job_of(tmp_path)) is None


LEAD_CABLE = (
    "    reel: 750 m",
    "    reel: 750 m\n  lead:\n    conductor: 16 AWG\n    build: solid\n    cores: {a: red, b: tan}",
)


def test_lead_cable_is_the_one_cable_that_no_run_uses(tmp_path: Path) -> None:
    job = job_of(tmp_path, LEAD_CABLE, ("stations: [3]}", "stations: [3], lead: 5 ft}"))
    stations = [station for box in job.path.boxes for station in placed_stations(job, box)]
    assert [station.lead_cable for station in stations] == ["lead", "lead", "lead"]
    assert [station.lead_m for station in stations] == pytest.approx([1.0, 1.0, 1.524])


def test_a_named_lead_cable_goes_first_and_none_is_none(tmp_path: Path) -> None:
    job = job_of(tmp_path, ("stations: [3]}", "stations: [3], lead_cable: main}"))
    stations = [station for box in job.path.boxes for station in placed_stations(job, box)]
    assert [station.lead_cable for station in stations] == [None, None, "main"]


def test_what_a_station_says_goes_before_its_box_and_the_box_before_the_path(tmp_path: Path) -> None:
    own = "stations: [{number: 3, name: North lawn, lead: 2 ft, lead_cable: main, solenoid: valve}], lead: 9 ft}"
    job = job_of(tmp_path, LEAD_CABLE, ("stations: [3]}", own), ("stations: [1, 2]", "stations: [1, {number: 2}]"))
    first, second, third = (station for box in job.path.boxes for station in placed_stations(job, box))
    assert (third.title, third.lead_cable, third.lead_m) == ("3 North lawn", "main", pytest.approx(0.6096))
    assert (third.has_long_lead, third.solenoid) == (False, "valve")
    assert (first.title, first.lead_m, second.lead_m, second.lead_cable) == ("1", 1.0, 1.0, "lead")


def test_connectors_and_solenoids(tmp_path: Path) -> None:
    small = BASE[BASE.index("  sealed:\n") : BASE.index("rules:")].replace("sealed", "small")
    job = job_of(
        tmp_path,
        ("rules:", small + "\nrules:"),
        ("  solenoid: valve\n", "  solenoid: valve\n  solenoid_connector: small\n"),
    )
    box = job.path.boxes[0]
    assert (resolve.connector(job, box), resolve.solenoid_connector(job, box)) == ("sealed", "small")
    assert (resolve.cable(job, box), resolve.cover_m(job, box)) == ("main", 0.45)
    assert placed_stations(job, box)[0].solenoid == "valve"
