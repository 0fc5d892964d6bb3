"""Insulation resistance of the pair, compared with the published least values."""

from __future__ import annotations

from slackloop.compute.circuit.voltage_class import above_extra_low
from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.rows import InsulationRow
from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Job
from slackloop.source.finding import Finding
from slackloop.units.figure import written


def length_ohms(ohms_metre: float, length_m: float) -> float:
    """Insulation resistance of a length, ohm, from a cable's figure in ohm·m: it falls as 1 ÷ length.

    1,000 megohm·km over 2.5 km is 400 megohm. Says nothing about temperature: that needs the cable maker's figure.
    """
    return ohms_metre / length_m


def together_ohms(parts_ohms: tuple[float, ...]) -> float:
    """Insulation resistance of sections and splices together, ohm: their conductances add."""
    return 1.0 / sum(1.0 / ohms for ohms in parts_ohms)


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
