"""The supply against the limits of power-limited circuits, under a code basis that has them.

The path's volts against the published limits of extra-low voltage.
"""

from __future__ import annotations

from typing import Literal

from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Job
from slackloop.source.finding import Finding
from slackloop.units.figure import written


def class_limit_amps(volts: float, basis: CodeBasis, current: str) -> float | None:
    """The most current, A, that a power-limited source of ``volts`` may give above the plain limit of volts.

    None where the basis has no such rows, and where ``volts`` are inside the plain limit: the table then limits the
    power, which the job does not state. 0 above the last volts of the table.
    """
    row = basis.power_limit.row(current) if basis.power_limit is not None else None
    if row is None or volts <= row.volts:
        return None
    return row.above_amps if volts <= row.up_to_volts else 0.0


def power_class_findings(job: Job, basis: CodeBasis) -> tuple[Finding, ...]:
    """A question where the supply is outside the class, one where wet contact is likely, and a note on odd sources."""
    if basis.power_limit is None:
        return ()
    supply = job.supply
    row = basis.power_limit.row(supply.current)
    if row is None:
        return ()
    volts, told, asked = supply.volts.si, written(supply.volts.text), f"an answer from the {basis.words.authority}"
    clause = basis.cite(basis.power_limit.clause)
    most = class_limit_amps(volts, basis, supply.current)
    findings: list[Finding] = []
    if most is not None and supply.limit.si > most:
        rule = f"up to {most * 1000:g} mA above {row.volts:g} V" if most else f"up to {row.up_to_volts:g} V"
        findings.append(
            Finding("warning", "power-class",
                    f"The supply is {told} {supply.current} and gives up to {written(supply.limit.text)}. Class 2 "
                    f"allows {rule} ({clause}), so by these figures the path is no Class 2 circuit. Which rules bind "
                    f"it is a question for the {basis.words.authority}.", at=("supply", "volts"), expected=asked,
                    hint="Ask the maker which class the controller's output is listed for, and put the answer under "
                    "answers:.", asks=f"the {basis.words.authority}")
        )  # fmt: skip
    elif volts > row.wet_volts:
        findings.append(
            Finding("warning", "power-class-wet",
                    f"The supply is {told} {supply.current}. Where wet contact is likely, Class 2 stops at "
                    f"{row.wet_volts:g} V {supply.current} ({clause}). Whether it is likely in these boxes is a "
                    f"question for the {basis.words.authority}.", at=("supply", "volts"), expected=asked,
                    asks=f"the {basis.words.authority}")
        )  # fmt: skip
    findings.append(
        Finding("note", "power-class-waveform",
                f"Ask the controller's maker what its output looks like. For {row.odd_source}, Class 2 stops at "
                f"{row.odd_peak_volts:g} V peak, and at {row.odd_wet_peak_volts:g} V peak where wet contact is likely "
                f"({row.source}).", at=("supply", "current"))
    )  # fmt: skip
    return tuple(findings)


def limit_volts(row_id: str, current: Literal["ac", "dc"], tables: ReferenceTables) -> float | None:
    """One published limit in volts for this kind of current, or None where the row has no figure."""
    row = tables.voltage_limits[row_id]
    return row.ac_volts if current == "ac" else row.dc_volts


def above_extra_low(volts: float, current: Literal["ac", "dc"], tables: ReferenceTables) -> bool:
    """Whether volts are above the limit of SELV and PELV: 50 V ac, 120 V ripple-free dc (IEC 61140)."""
    limit = limit_volts("selv-pelv", current, tables)
    return limit is not None and volts > limit


def voltage_findings(job: Job, tables: ReferenceTables) -> tuple[Finding, ...]:
    """A warning where the path's volts are above extra-low voltage: it is then mains work."""
    volts, current = job.supply.volts.si, job.supply.current
    if not above_extra_low(volts, current, tables):
        return ()
    row, limit = tables.voltage_limits["selv-pelv"], limit_volts("selv-pelv", current, tables)
    return (
        Finding(level="warning", code="above-extra-low-voltage",
                message=f"The path has {written(job.supply.volts.text)} {current}, above {limit:g} V ({row.title}; "
                f"{row.source}). A touch can kill.", at=("supply", "volts"), expected=f"{limit:g} V {current} or less",
                hint=f"Leave the electrical design to a {tables.code_bases[job.job.code_basis].words.electrician}.",
                asks="the designer"),
    )  # fmt: skip
