"""Inductance of the pair at mains frequency, to show how little it adds to the resistance.

Two parallel round conductors, current spread evenly over each (F. W. Grover, Inductance Calculations, from memory;
the test integrates the field instead):

    L' = (mu0 / pi) (ln(s / r) + 1/4)     henry per metre of run, both cores
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackloop.site.models import Cable
from slackloop.units.figure import is_unknown

MU_0 = 4e-7 * math.pi
"""Permeability of free space, H/m (SI before 2019; the difference since is below 1e-9)."""

SPACING_WITHOUT_JACKET = 4.0
"""Where the cable's outside diameter is not given: centres taken this many conductor diameters apart."""


@dataclass(frozen=True)
class Reactance:
    """One cable at mains frequency: ohms a metre of run, and by how much impedance exceeds resistance.

    ``excess`` is the fraction by which sqrt(R² + X²) is more than R.
    """

    loop_ohms_per_m: float
    reactance_ohms_per_m: float
    excess: float


def loop_henries_per_m(spacing_m: float, radius_m: float) -> float:
    """Inductance of a pair, H per metre of run. ``spacing_m`` between centres, at least twice ``radius_m``."""
    return MU_0 / math.pi * (math.log(spacing_m / radius_m) + 0.25)


def cable_reactance(cable: Cable, loop_ohms_per_m: float, hertz: float) -> Reactance:
    """Reactance of a cable, with its cores taken as far apart as its outside allows: never too low.

    ``loop_ohms_per_m`` is its loop resistance in ohms a metre of run, ``hertz`` the supply's frequency.
    """
    radius_m = math.sqrt(cable.conductor.area_mm2 / math.pi) / 1000.0
    outside_m = cable.jacket_od.si if cable.jacket_od and not is_unknown(cable.jacket_od.si) else 0.0
    spacing_m = max(outside_m - 2.0 * radius_m, 2.0 * radius_m) if outside_m else SPACING_WITHOUT_JACKET * 2 * radius_m
    ohms = 2.0 * math.pi * hertz * loop_henries_per_m(spacing_m, radius_m)
    return Reactance(loop_ohms_per_m, ohms, math.hypot(loop_ohms_per_m, ohms) / loop_ohms_per_m - 1.0)
