"""Spare length, conductor sizes and reactance, against what the path does when it is really built so."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad

from samples import chain, job_text, random_boxes
from slackloop.cli import main
from slackloop.compute.alternatives import Outlook, outlook
from slackloop.compute.circuit.conductor import cable_reactance, loop_henries_per_m
from slackloop.document.worked import work


def outlook_of(text: str, folder: Path) -> Outlook:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    worked = work(path)
    return outlook(worked.job, worked.analysis.network, worked.tables, worked.analysis.lengths)


def verdict_and_volts(text: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> tuple[str, float]:
    path = folder / "longer.yml"
    path.write_text(text, encoding="utf-8")
    main(["check", "--json", str(path)])
    record = json.loads(capsys.readouterr().out)
    low = [f for f in record["findings"] if f["code"] in ("volts-low", "supply-over", "volts-collapse")]
    return "fail" if low else "pass", min(box["worst_volts"] or 0.0 for box in record["boxes"].values())


@pytest.mark.parametrize("per", ["tail", "box"])
@pytest.mark.parametrize("load", ["current", "power"])
def test_spare_length_is_where_a_job_with_that_box_turns(
    load: str, per: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The job is written again with the new box a little nearer and a little farther, and checked by the command."""
    boxes = chain(20)
    changes = {"conductor": "16 AWG", "load": load, "volts": "36 V"}

    def text_of(lines: list[str]) -> str:
        slack = f"slack: {{length: 4 m, per: {per}}}"
        return job_text(lines, **changes).replace("slack: {length: 1.5 m (5 ft), per: tail}", slack)

    (end,) = outlook_of(text_of(boxes), tmp_path).ends
    assert end.spare_m is not None
    assert end.spare_m > 50

    def with_box(metres: float) -> str:
        new = f"{{id: NEW, from: B20, run: {metres:.3f} m, surface: lawn, device: two, stations: [901, 902]}}"
        return verdict_and_volts(text_of([*boxes, new]), tmp_path, capsys)[0]

    assert with_box(end.spare_m - 0.01) == "pass"
    more_m = 0.1 if load == "current" else 0.1 + 0.01 * end.spare_m  # a bound for constant power is not exact
    assert with_box(end.spare_m + more_m) == "fail"


def test_each_size_is_the_job_written_with_that_size(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    boxes = random_boxes(30, seed=9)
    for row in outlook_of(job_text(boxes), tmp_path).sizes:
        _, volts = verdict_and_volts(job_text(boxes, conductor=row.label), tmp_path, capsys)
        assert row.lowest_volts == pytest.approx(volts, abs=1e-6)
        assert row.chosen == (row.label == "14 AWG")


def test_no_room_is_said_where_the_supply_has_none(tmp_path: Path) -> None:
    found = outlook_of(job_text(chain(5), limit="0.2592 A"), tmp_path)
    assert [end.spare_m for end in found.ends] == [None]


@pytest.mark.parametrize(("spacing_mm", "radius_mm"), [(20.0, 0.8), (40.0, 1.0)])
def test_inductance_agrees_with_the_field_integrated(spacing_mm: float, radius_mm: float) -> None:
    """Flux of both wires between their surfaces, by scipy's quadrature, and mu0/8pi inside each wire.

    The closed form puts the far surface at the other wire's centre, which is right to 2 % at 20 radii or more.
    """
    mu_0 = 4e-7 * np.pi
    spacing, radius = spacing_mm / 1e3, radius_mm / 1e3
    outside, _ = quad(lambda x: mu_0 / (2 * np.pi) * (1 / x + 1 / (spacing - x)), radius, spacing - radius)
    assert loop_henries_per_m(spacing, radius) == pytest.approx(outside + 2 * mu_0 / (8 * np.pi), rel=0.02)


def test_reactance_of_every_size_is_negligible_beside_resistance(tmp_path: Path) -> None:
    """Up to 10 AWG the impedance at 60 Hz is within 1 % of the resistance, even with cores at the jacket's width."""
    path = tmp_path / "job.yml"
    path.write_text(job_text(chain(3)), encoding="utf-8")
    cable = work(path).job.cables["main"]
    found = cable_reactance(cable, 0.0166, 60.0)
    assert 0 < found.excess < 0.01
    assert found.reactance_ohms_per_m / found.loop_ohms_per_m > 0.001, "small, but not nothing"
