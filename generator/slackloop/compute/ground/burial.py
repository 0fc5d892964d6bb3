"""Armour or a duct for each buried cable, and a mark over it, where the code basis asks for them."""

from __future__ import annotations

from slackloop.compute.job_places import JobPlaces, some_of
from slackloop.reference.code_basis import CodeBasis
from slackloop.site.models import Job
from slackloop.site.network import Network, Run
from slackloop.source.finding import Finding


def bare_runs(job: Job, network: Network) -> dict[str, list[Run]]:
    """Runs with neither armour nor a duct for their whole length, by the name of their cable."""
    found: dict[str, list[Run]] = {}
    for run in network.all_runs:
        if run.duct is None and not run.existing and not job.cables[run.cable].armour:
            found.setdefault(run.cable, []).append(run)
    return found


def burial_findings(job: Job, network: Network, basis: CodeBasis) -> tuple[Finding, ...]:
    """One warning a cable that has neither armour nor a duct, and one where nothing marks the cable from above."""
    if basis.burial is None:
        return ()
    clause = basis.clause(basis.burial.clause)
    cited, words = basis.cite(basis.burial.clause), clause.text if clause is not None else ""
    places = JobPlaces(job)
    findings = [
        Finding(
            level="warning",
            code="burial-armour",
            message=f"Cable {cable} has no armour, and {len(runs)} run{'s' if len(runs) > 1 else ''} of it "
            f"{'have' if len(runs) > 1 else 'has'} no duct ({some_of([run.id for run in runs])}). {cited}: {words}",
            at=places.run(runs[0]) if len(runs) == 1 else ("cables", cable),
            box=runs[0].to_id if len(runs) == 1 and not runs[0].closure else "",
            expected="armour: true on the cable, or a duct on each of its runs",
            hint="Put the answer under answers:.",
            asks=f"the {basis.words.authority}",
            of=tuple(run.id for run in runs),
        )
        for cable, runs in bare_runs(job, network).items()
    ]
    if not job.trench.warning_tape:
        findings.append(
            Finding("warning", "burial-mark", f"No warning tape is laid. {cited}: {words}",
                    at=("trench", "warning_tape"), expected="warning_tape: true, or cable covers",
                    asks=f"the {basis.words.authority}")
        )  # fmt: skip
    return tuple(findings)
