"""What protects a buried cable: armour, ducts and sleeves, checked and counted."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.compute.ground.cover import CoverAnswer
from slackloop.reference.code_basis import CodeBasis
from slackloop.site.models import Job
from slackloop.site.network import JobPlaces, Network, Run
from slackloop.source.finding import Finding
from slackloop.source.suggestions import FEW, listed
from slackloop.units.amount import count
from slackloop.units.figure import printed, stated

_WITHIN_M = 1e-9


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
            message=f"Cable {cable} has no armour, and {count(len(runs), 'run', 'runs')} of it "
            f"{'have' if len(runs) > 1 else 'has'} no duct ({listed([run.id for run in runs], FEW)}). {cited}: {words}",
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


@dataclass(frozen=True)
class Pipe:
    """Sleeve or duct of one size: what it is called, metres of it, and the boxes whose runs lie in it."""

    title: str
    length_m: float
    boxes: tuple[str, ...]
    parts: tuple[tuple[str, float], ...] = ()
    """Metres of each run, by its id."""


def pipes(network: Network) -> tuple[Pipe, ...]:
    """Sleeves by size, then ducts by size; those of existing runs are there."""
    found: dict[str, list[tuple[float, Run]]] = {}
    new = [run for run in network.all_runs if not run.existing]
    for run in new:
        if run.crossing is not None and not run.in_old_sleeve:
            found.setdefault(f"sleeve {run.crossing.sleeve.text}", []).append((run.crossing.length.si, run))
    for run in new:
        if run.duct is not None:
            found.setdefault(f"duct {run.duct.text} inside", []).append((run.length_m, run))
    return tuple(
        Pipe(title, sum(length for length, _ in each), tuple(run.to_id for _, run in each),
             tuple((run.id, length) for length, run in each))
        for title, each in found.items()
    )  # fmt: skip


def sleeve_findings(job: Job, network: Network, covers: tuple[CoverAnswer, ...]) -> tuple[Finding, ...]:
    """Errors: a sleeve longer than its run, too small for its cable, or with less cover than a row that binds."""
    places, findings, units = JobPlaces(job), list[Finding](), job.job.units

    def fault(run: Run, code: str, message: str, key: str, expected: str) -> None:
        at = (*places.run(run, "crossing"), key) if key != "duct" else places.run(run, "duct")
        findings.append(Finding("error", code, f"Run {run.id}: {message}", at, run.to_id, expected=expected))

    for run, cover in zip(network.all_runs, covers, strict=True):
        od = job.cables[run.cable].jacket_od
        for key, inside in (("sleeve", run.crossing.sleeve if run.crossing else None), ("duct", run.duct)):
            if inside is not None and od is not None and inside.si <= od.si:
                fault(run, "sleeve-narrow", f"the {key} of {inside.text} does not take a cable of {od.text}", key,
                    f"a {key} wider than {od.text}")  # fmt: skip
        if run.crossing is None:
            continue
        if run.crossing.length.si > run.length_m + _WITHIN_M:
            long = stated(run.crossing.length, "nearest").brief(units)
            fault(run, "sleeve-long", f"its sleeve is {long} long, and the run {run.length.brief(units)}", "length",
                "a sleeve no longer than its run")  # fmt: skip
        depth = run.crossing.depth
        if cover.min_m is not None and cover.binding == "binds" and depth.si < cover.min_m - _WITHIN_M:
            least = printed(units, "least", metres=cover.min_m, inch=cover.min_inches)
            here = stated(depth, "least").brief(units)
            fault(run, "cover-low", f"cover over the sleeve is {here}, and {cover.clause} asks for {least} "
                  f"({cover.row})", "depth", f"{least} or more")  # fmt: skip
    return tuple(findings)
