"""Resistance of copper conductors: AWG by its own formula, mm² by the limits of IEC 60228.

A conductor has two resistances. A meter is compared with the **nominal** one; volts are worked out with the
**largest** that the conductor may have and still be listed. For mm² sizes both are the limit of IEC 60228.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from slackloop.reference.rows import IecOhms
from slackloop.reference.tables import ReferenceTables
from slackloop.site.specification import Build
from slackloop.units.quantity import ConductorSize

Basis = Literal["nominal", "largest"]
"""``nominal`` for readings, ``largest`` for volts."""

REFERENCE_C = 20.0
"""Temperature at which resistances of copper are stated, °C (IEC 60028)."""


def ideal_ohms_per_m(area_mm2: float, conductivity_m_per_ohm_mm2: float) -> float:
    """Resistance of a copper rod at 20 °C, ohm/m: 1 ÷ (conductivity × area).

    ``area_mm2`` more than 0. Annealed copper conducts 58 m/(ohm·mm²) at 20 °C (IEC 60028).
    """
    return 1.0 / (conductivity_m_per_ohm_mm2 * area_mm2)


def ohms_per_m_20c(size: ConductorSize, build: Build, tables: ReferenceTables, basis: Basis = "nominal") -> float:
    """Resistance of one core at 20 °C, ohm per metre of cable.

    AWG: ASTM B258 area and IEC 60028 copper; a stranded or flexible core is longer than the cable by the lay factor.
    The largest is the nominal × ``largest_over_nominal`` (UL 1581): 8.45 ohm/km for 14 AWG solid.
    mm²: the greatest resistance that IEC 60228 allows, plain copper, class 1 (solid) and 2 (stranded) alike, class 5
    (flexible) by its own table. An area that IEC 60228 does not list takes the ideal resistance times the largest
    allowance of that table, so that it is never optimistic.
    """
    if size.system == "AWG":
        ideal = ideal_ohms_per_m(size.area_mm2, tables.copper.conductivity_m_per_ohm_mm2)
        return ideal * (1.0 if build == "solid" else tables.copper.lay_factor) * largest_over(size, tables, basis)
    limits = iec_limits(build, tables)
    row = limits.get(size.number)
    if row is not None:
        return row.ohms_per_km / 1000.0
    conductivity = tables.copper.conductivity_m_per_ohm_mm2
    return ideal_ohms_per_m(size.area_mm2, conductivity) * largest_allowance(limits, conductivity)


def largest_over(size: ConductorSize, tables: ReferenceTables, basis: Basis = "largest") -> float:
    """How much more than nominal a conductor may have: 1 for mm² sizes, whose nominal is a limit already."""
    return tables.copper.largest_over_nominal if size.system == "AWG" and basis == "largest" else 1.0


def iec_limits(build: Build, tables: ReferenceTables) -> Mapping[float, IecOhms]:
    """The limits of IEC 60228 by area in mm²: class 5 for a flexible core, classes 1 and 2 else."""
    return tables.conductors.iec_60228_class_5 if build == "flexible" else tables.conductors.iec_60228


def largest_allowance(limits: Mapping[float, IecOhms], conductivity_m_per_ohm_mm2: float) -> float:
    """Largest ratio of a limit of IEC 60228 to the ideal resistance of the same area (about 1.07 in class 1)."""
    return max(
        row.ohms_per_km / 1000.0 / ideal_ohms_per_m(row.mm2, conductivity_m_per_ohm_mm2) for row in limits.values()
    )


def at_temperature(ohms_20c: float, temp_c: float, alpha_per_c: float) -> float:
    """Resistance at ``temp_c`` (°C) of copper that has ``ohms_20c`` ohm at 20 °C.

    R = R20 × (1 + α(T − 20)), α = 0.00393 /°C (IEC 60028). Holds from about −40 °C to 100 °C;
    50 ohm at 20 °C is 65.72 ohm at 100 °C.
    """
    return ohms_20c * (1.0 + alpha_per_c * (temp_c - REFERENCE_C))


def loop_ohms_per_m(
    size: ConductorSize,
    build: Build,
    tables: ReferenceTables,
    temp_c: float = REFERENCE_C,
    basis: Basis = "nominal",
) -> float:
    """Loop resistance of a pair, ohm per metre of run at ``temp_c`` (°C): out on one core, back on the other."""
    return at_temperature(2.0 * ohms_per_m_20c(size, build, tables, basis), temp_c, tables.copper.alpha_per_c)


def largest_loop_ohms_per_m(size: ConductorSize, build: Build, tables: ReferenceTables, temp_c: float) -> float:
    """Loop resistance of a pair at its largest, ohm per metre of run at ``temp_c`` (°C): what volts are based on."""
    return loop_ohms_per_m(size, build, tables, temp_c, "largest")
