"""Where a published or stated limit turns a finding on: just inside and just outside of it."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.compute.cable.reels import reel_findings
from slackloop.compute.circuit.conductor import iec_limits, largest_allowance
from slackloop.compute.ground.electrodes import PIN_DEPTH
from slackloop.document.worked import Worked, work
from slackloop.reference.tables import load_tables


def worked(folder: Path, *changes: tuple[str, str]) -> Worked:
    text = job_text(chain(3))
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (folder / "job.yml").write_text(text, encoding="utf-8")
    return work(folder / "job.yml")


@pytest.mark.parametrize(
    ("asked", "least", "low"),
    [("volts: 250 V, least: 0.5 Mohm", "", False), ("volts: 250 V, least: 0.499 Mohm", "0.499 MΩ", True),
     ("volts: 249 V, least: 0.5 Mohm", "249 V", True)],
)  # fmt: skip
def test_insulation_of_an_extra_low_circuit(tmp_path: Path, asked: str, least: str, low: bool) -> None:
    """IEC 60364-6 Table 6.1: SELV and PELV at 250 V dc, 0.5 megohm."""
    found = worked(tmp_path, ("volts: 500 V, least: 10 Mohm", asked)).analysis.findings
    told = [each for each in found if each.code in ("insulation-least-low", "insulation-volts-low")]
    assert bool(told) is low
    assert all(least in each.message for each in told)


def test_waste_that_a_whole_reel_leaves(tmp_path: Path) -> None:
    """The job asks for 5 % of waste: a reel must hold 1.05 times the piece that it is for."""
    given = worked(tmp_path)
    (plan, *_) = given.analysis.reels
    longest = max(piece.length_m for piece in plan.pieces)
    for share, code in ((1.0495, True), (1.0505, False)):
        tight = dataclasses.replace(plan, reel_m=longest * share)
        codes = {each.code for each in reel_findings(given.job, (tight,))}
        assert ("run-without-waste" in codes) is code


def test_waste_is_ordered_and_kept_free_on_each_reel(tmp_path: Path) -> None:
    """By hand: 5 % over what is laid is ordered, and each piece takes 1.05 times its length of its reel."""
    for plan in worked(tmp_path).analysis.reels:
        laid = sum(piece.length_m for piece in plan.pieces)
        assert plan.order_m == pytest.approx(1.05 * laid, rel=1e-12)
        left = sum(reel.left_m for reel in plan.reels)
        assert len(plan.reels) * (plan.reel_m or 0) - left == pytest.approx(1.05 * laid, rel=1e-9)


def test_a_piece_of_two_reels_takes_two_with_its_waste(tmp_path: Path) -> None:
    (plan, *_) = worked(tmp_path).analysis.reels
    piece = plan.pieces[0]
    for share, reels in ((1.0001, 2), (0.9999, 3)):
        half_m = 1.05 * piece.length_m / 2 * share
        assert dataclasses.replace(plan, reels=(), too_long=(piece,), reel_m=half_m).reel_count == reels


def test_a_pipe_wider_than_its_trench_is_told_in_millimetres(tmp_path: Path) -> None:
    (found,) = [each for each in worked(tmp_path, ("width: 150 mm", "width: 60 mm")).analysis.findings
                if each.code == "trench-narrow"]  # fmt: skip
    assert "60 mm wide and its pipe 63 mm" in found.message


def test_pins_of_a_four_pin_test() -> None:
    """MIL-HDBK-419A vol. II, figure 1-1: depth of penetration B less than A/20."""
    assert PIN_DEPTH == 1 / 20


@pytest.mark.parametrize(("build", "allowance"), [("solid", 7.41 * 58 * 2.5), ("flexible", 39.0 * 58 * 0.5)])
def test_largest_allowance_of_iec_60228(build: str, allowance: float) -> None:
    """By hand over the table: the ideal is 1000/(58 A) ohm/km; the limit of that size lies furthest above it."""
    limits = iec_limits(build, load_tables())  # type: ignore[arg-type]
    by_hand = max(row.ohms_per_km * 58 * row.mm2 for row in limits.values()) / 1000
    assert largest_allowance(limits, 58.0) == pytest.approx(by_hand, rel=1e-12)
    assert by_hand == pytest.approx(allowance / 1000, rel=0.03)
