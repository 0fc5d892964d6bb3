"""Resistance of copper conductors: AWG by its own formula, mm² by the limits of IEC 60228.

A conductor has two resistances. A meter is compared with the **nominal** one; volts are worked out with the
**largest** that the conductor may have and still be listed. For mm² sizes both are the limit of IEC 60228.

Inductance of the pair at mains frequency, to show how little it adds to the resistance.

Two parallel round conductors, current spread evenly over each (F. W. Grover, Inductance Calculations, from memory;
the test integrates the field instead):

    L' = (mu0 / pi) (ln(s / r) + 1/4)     henry per metre of run, both cores

Insulation resistance of the pair, compared with the published least values.

The supply's frequency: the job's own, else that of the country whose rules bind.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from slackloop.compute.circuit.supply_class import above_extra_low
from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.rows import IecOhms, InsulationRow
from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Cable, Job
from slackloop.site.specification import Build
from slackloop.source.finding import Finding
from slackloop.units.conductor_size import ConductorSize
from slackloop.units.figure import is_unknown, written

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


def published_row(job: Job, basis: CodeBasis, tables: ReferenceTables) -> InsulationRow | None:
    """The published row for this path under its code basis, or None where the basis names none."""
    kind = "low" if above_extra_low(job.supply.volts.si, job.supply.current, tables) else "extra-low"
    name = basis.insulation.get(kind)
    return tables.insulation.get(name) if name is not None else None


def insulation_findings(job: Job, basis: CodeBasis, tables: ReferenceTables) -> tuple[Finding, ...]:
    """A test that asks for less than the published row."""
    row, test = published_row(job, basis, tables), job.rules.tests.insulation
    if row is None:
        return ()
    findings: list[Finding] = []
    if test.least.si < row.least_mohm * 1e6:
        findings.append(
            Finding("warning", "insulation-least-low",
                    f"The job passes an insulation reading of {written(test.least.text)}; {row.source} requires "
                    f"{row.least_mohm:g} MΩ ({row.circuit}).", at=("rules", "tests", "insulation", "least"),
                    expected=f"{row.least_mohm:g} MΩ or more", asks="the designer")
        )  # fmt: skip
    if test.volts.si < row.test_volts_dc:
        findings.append(
            Finding("warning", "insulation-volts-low",
                    f"The job tests insulation at {written(test.volts.text)}; {row.source} requires "
                    f"{row.test_volts_dc:g} V dc ({row.circuit}).", at=("rules", "tests", "insulation", "volts"),
                    expected=f"{row.test_volts_dc:g} V or more", asks="the designer")
        )  # fmt: skip
    return tuple(findings)


def mains_hz(job: Job, basis: CodeBasis) -> float | None:
    """Frequency of an ac supply in hertz; None for dc, and where neither the job nor its code basis gives one."""
    if job.supply.current == "dc":
        return None
    if job.supply.frequency is not None:
        return job.supply.frequency.si
    return basis.mains.hertz if basis.mains is not None else None


def frequency_findings(job: Job, basis: CodeBasis) -> tuple[Finding, ...]:
    """A warning where the supply is ac and its frequency is not known: the reactance cannot be calculated."""
    if job.supply.current == "dc" or mains_hz(job, basis) is not None:
        return ()
    return (
        Finding(
            "warning",
            "frequency-unknown",
            f"the supply is ac and its frequency is not given; the code basis {basis.id} names no country to take it "
            "from, so the reactance of the cables is not calculated",
            ("supply", "current"),
            expected="supply.frequency, as frequency: 50 Hz or frequency: 60 Hz",
        ),
    )
