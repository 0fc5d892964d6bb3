"""The supply's frequency: the job's own, else that of the country whose rules bind."""

from __future__ import annotations

from slackloop.reference.code_basis import CodeBasis
from slackloop.site.models import Job
from slackloop.source.finding import Finding


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
