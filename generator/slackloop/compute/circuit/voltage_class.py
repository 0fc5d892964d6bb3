"""The path's volts against the published limits of extra-low voltage."""

from __future__ import annotations

from typing import Literal

from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Job
from slackloop.source.finding import Finding
from slackloop.units.figure import written


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
        Finding(
            level="warning",
            code="above-extra-low-voltage",
            message=f"The path has {written(job.supply.volts.text)} {current}, above {limit:g} V ({row.title}; "
            f"{row.source}). A touch can kill.",
            at=("supply", "volts"),
            expected=f"{limit:g} V {current} or less",
            hint=f"Leave the electrical design to a {tables.code_bases[job.job.code_basis].words.electrician}.",
            asks="the designer",
        ),
    )
