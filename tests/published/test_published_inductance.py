"""Reactance of a pair against the textbook form with the geometric mean radius, and the constant of the SI."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import scipy.constants

from samples import chain, job_text
from slackloop.compute.circuit.conductor import MU_0, SPACING_WITHOUT_JACKET, cable_reactance
from slackloop.document.worked import work

AWG_14_MM = 64.08 * 0.0254


def textbook_ohms_per_m(diameter_mm: float, spacing_mm: float, hertz: float) -> float:
    """Stevenson, Elements of Power System Analysis: 2e-7 ln(D / 0.7788 r) henry a metre of each wire; from memory."""
    return 2 * math.pi * hertz * 2 * 2e-7 * math.log(spacing_mm / (0.7788 * diameter_mm / 2))


def test_permeability_of_free_space_is_what_scipy_says() -> None:
    assert pytest.approx(scipy.constants.mu_0, rel=1e-9) == MU_0


@pytest.mark.parametrize("hertz", [50.0, 60.0])
def test_cores_at_the_width_of_the_jacket(tmp_path: Path, hertz: float) -> None:
    """14 AWG is 64.08 mil (ASTM B258): in a jacket of 9.5 mm its cores are at most 7.872 mm apart."""
    (tmp_path / "job.yml").write_text(job_text(chain(3)), encoding="utf-8")
    cable = work(tmp_path / "job.yml").job.cables["main"]
    found = cable_reactance(cable, 0.0166, hertz)
    reactance = textbook_ohms_per_m(AWG_14_MM, 9.5 - AWG_14_MM, hertz)
    assert found.reactance_ohms_per_m == pytest.approx(reactance, rel=2e-4)
    assert found.excess == pytest.approx(math.sqrt(0.0166**2 + reactance**2) / 0.0166 - 1, rel=2e-3)


def test_cores_without_a_jacket_of_known_width(tmp_path: Path) -> None:
    text = job_text(chain(3)).replace("    jacket_od: 9.5 mm\n", "")
    (tmp_path / "job.yml").write_text(text, encoding="utf-8")
    cable = work(tmp_path / "job.yml").job.cables["main"]
    assert cable.jacket_od is None
    spacing = SPACING_WITHOUT_JACKET * AWG_14_MM
    assert spacing == 4 * AWG_14_MM
    assert cable_reactance(cable, 0.0166, 60.0).reactance_ohms_per_m == pytest.approx(
        textbook_ohms_per_m(AWG_14_MM, spacing, 60.0), rel=2e-4
    )


def test_a_flat_jacket_puts_the_cores_side_by_side(tmp_path: Path) -> None:
    """Cores can lie no closer than their own diameter, however narrow the outside is said to be."""
    text = job_text(chain(3)).replace("jacket_od: 9.5 mm", "jacket_od: 2.5 mm")
    (tmp_path / "job.yml").write_text(text, encoding="utf-8")
    cable = work(tmp_path / "job.yml").job.cables["main"]
    assert cable_reactance(cable, 0.0166, 60.0).reactance_ohms_per_m == pytest.approx(
        textbook_ohms_per_m(AWG_14_MM, AWG_14_MM, 60.0), rel=2e-4
    )
