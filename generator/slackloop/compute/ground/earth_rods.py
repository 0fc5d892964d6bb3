"""Resistance of earth rods, alone and in groups, and the soil resistivity behind it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping

from slackloop.reference.rows import RodGroupRow


def rod_ohms(resistivity_ohm_m: float, length_m: float, diameter_m: float) -> float:
    """Resistance to earth of one driven rod, ohm.

    R = ρ/(2πL)·(ln(4L/a) − 1), a the RADIUS (Dwight; IEEE Std 142). Uniform soil, rod much longer than thick.
    8 ft × 5/8 in in 100 ohm·m gives 39.9 ohm; with the diameter in place of the radius it would be 35 ohm, which
    is wrong.
    """
    radius_m = diameter_m / 2.0
    return resistivity_ohm_m / (2.0 * math.pi * length_m) * (math.log(4.0 * length_m / radius_m) - 1.0)


def resistivity_for_rod(target_ohms: float, length_m: float, diameter_m: float) -> float:
    """Soil resistivity, ohm·m, in which one driven rod just reaches ``target_ohms``: ``rod_ohms`` turned round."""
    return target_ohms / rod_ohms(1.0, length_m, diameter_m)


def group_factor(rods: int, table: Mapping[int, RodGroupRow]) -> float | None:
    """Factor F for ``rods`` rods one rod length apart (IEEE Std 142).

    1 for one rod; between published rows a straight line, which is our own reading between them;
    None above the last published row (24 rods).
    """
    if rods < 1:
        raise ValueError(f"a group has at least one rod, not {rods}")
    if rods == 1:
        return 1.0
    if rods in table:
        return table[rods].factor
    known = sorted({1: 1.0, **{n: row.factor for n, row in table.items()}}.items())
    for (n1, f1), (n2, f2) in itertools.pairwise(known):
        if n1 < rods < n2:
            return f1 + (f2 - f1) * (rods - n1) / (n2 - n1)
    return None


def group_ohms(rods: int, one_rod_ohms: float, table: Mapping[int, RodGroupRow]) -> float | None:
    """Resistance of a group one rod length apart, ohm: F × R1 ÷ n (IEEE Std 142); None above the last row."""
    factor = group_factor(rods, table)
    return None if factor is None else factor * one_rod_ohms / rods


def rods_for_target(one_rod_ohms: float, target_ohms: float, table: Mapping[int, RodGroupRow]) -> int | None:
    """Fewest rods one rod length apart that reach a target, or None where the published rows end before it."""
    for rods in range(1, max(table) + 1):
        ohms = group_ohms(rods, one_rod_ohms, table)
        if ohms is not None and ohms <= target_ohms:
            return rods
    return None


PIN_DEPTH = 1.0 / 20.0
"""Deepest pin of a four-pin test over the spacing of the pins (MIL-HDBK-419A vol. II, figure 1-1)."""


def wenner_ohm_m(spacing_m: float, reading_ohms: float) -> float:
    """Soil resistivity, ohm·m, from a four-pin test: ρ = 2π·a·R (Wenner), pins ``spacing_m`` apart.

    Holds where the pins are driven no deeper than a twentieth of their spacing (MIL-HDBK-419A vol. II, figure 1-1).
    """
    return 2.0 * math.pi * spacing_m * reading_ohms
