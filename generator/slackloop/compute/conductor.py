"""Resistance of copper conductors: AWG by its own formula, mm² by the limits of IEC 60228."""

from __future__ import annotations

from typing import Literal

from slackloop.reference.tables import ReferenceTables
from slackloop.units.quantity import ConductorSize

Build = Literal["solid", "stranded"]

REFERENCE_C = 20.0
"""Temperature at which resistances of copper are stated, °C (IEC 60028)."""


def ideal_ohms_per_m(area_mm2: float, conductivity_m_per_ohm_mm2: float) -> float:
    """Resistance of a copper rod at 20 °C, ohm/m: 1 ÷ (conductivity × area).

    ``area_mm2`` more than 0. Annealed copper conducts 58 m/(ohm·mm²) at 20 °C (IEC 60028).
    """
    return 1.0 / (conductivity_m_per_ohm_mm2 * area_mm2)


def ohms_per_m_20c(size: ConductorSize, build: Build, tables: ReferenceTables) -> float:
    """Resistance of one core at 20 °C, ohm per metre of cable.

    AWG: ASTM B258 area and IEC 60028 copper; a stranded core is longer than the cable by the lay factor.
    mm²: the greatest resistance that IEC 60228 allows, classes 1 and 2, plain copper; the same for both builds.
    An area that IEC 60228 does not list takes the ideal resistance times the largest allowance of that table,
    so that it is never optimistic.
    """
    ideal = ideal_ohms_per_m(size.area_mm2, tables.copper.conductivity_m_per_ohm_mm2)
    if size.system == "AWG":
        return ideal * (tables.copper.lay_factor if build == "stranded" else 1.0)
    row = tables.conductors.iec_60228.get(size.number)
    if row is not None:
        return row.ohms_per_km / 1000.0
    return ideal * largest_allowance(tables)


def largest_allowance(tables: ReferenceTables) -> float:
    """Largest ratio of a limit of IEC 60228 to the ideal resistance of the same area (about 1.07)."""
    conductivity = tables.copper.conductivity_m_per_ohm_mm2
    return max(
        row.ohms_per_km / 1000.0 / ideal_ohms_per_m(row.mm2, conductivity)
        for row in tables.conductors.iec_60228.values()
    )


def at_temperature(ohms_20c: float, temp_c: float, alpha_per_c: float) -> float:
    """Resistance at ``temp_c`` (°C) of copper that has ``ohms_20c`` ohm at 20 °C.

    R = R20 × (1 + α(T − 20)), α = 0.00393 /°C (IEC 60028). Holds from about −40 °C to 100 °C;
    50 ohm at 20 °C is 65.72 ohm at 100 °C.
    """
    return ohms_20c * (1.0 + alpha_per_c * (temp_c - REFERENCE_C))


def loop_ohms_per_m(size: ConductorSize, build: Build, tables: ReferenceTables, temp_c: float = REFERENCE_C) -> float:
    """Loop resistance of a pair, ohm per metre of run at ``temp_c`` (°C): out on one core, back on the other."""
    return at_temperature(2.0 * ohms_per_m_20c(size, build, tables), temp_c, tables.copper.alpha_per_c)
