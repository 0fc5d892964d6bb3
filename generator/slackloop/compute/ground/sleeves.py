"""Sleeves and ducts: what lies around a run, checked against run, cable and cover, and counted for the order."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.compute.ground.cover import CoverAnswer
from slackloop.compute.job_places import JobPlaces
from slackloop.site.models import Job
from slackloop.site.network import Network, Run
from slackloop.source.finding import Finding
from slackloop.units.figure import printed, stated

_WITHIN_M = 1e-9


@dataclass(frozen=True)
class Pipe:
    """Sleeve or duct of one size: what it is called, metres of it, and the boxes whose runs lie in it."""

    title: str
    length_m: float
    boxes: tuple[str, ...]


def pipes(network: Network) -> tuple[Pipe, ...]:
    """Sleeves by size, then ducts by size; those of existing runs are there."""
    found: dict[str, list[tuple[float, str]]] = {}
    new = [run for run in network.all_runs if not run.existing]
    for run in new:
        if run.crossing is not None:
            found.setdefault(f"sleeve {run.crossing.sleeve.text}", []).append((run.crossing.length.si, run.to_id))
    for run in new:
        if run.duct is not None:
            found.setdefault(f"duct {run.duct.text} inside", []).append((run.length_m, run.to_id))
    return tuple(
        Pipe(title, sum(length for length, _ in each), tuple(box for _, box in each if box in network.index))
        for title, each in found.items()
    )


def sleeve_findings(job: Job, network: Network, covers: tuple[CoverAnswer, ...]) -> tuple[Finding, ...]:
    """Errors: a sleeve longer than its run, too small for its cable, or with less cover than a row that binds."""
    places, findings, units = JobPlaces(job), list[Finding](), job.job.units

    def say(run: Run, code: str, message: str, key: str, expected: str) -> None:
        at = (*places.run(run, "crossing"), key) if key != "duct" else places.run(run, "duct")
        findings.append(Finding("error", code, f"Run {run.id}: {message}", at, run.to_id, expected=expected))

    for run, cover in zip(network.all_runs, covers, strict=True):
        od = job.cables[run.cable].jacket_od
        for key, inside in (("sleeve", run.crossing.sleeve if run.crossing else None), ("duct", run.duct)):
            if inside is not None and od is not None and inside.si <= od.si:
                say(run, "sleeve-narrow", f"the {key} of {inside.text} does not take a cable of {od.text}", key,
                    f"a {key} wider than {od.text}")  # fmt: skip
        if run.crossing is None:
            continue
        if run.crossing.length.si > run.length_m + _WITHIN_M:
            long = stated(run.crossing.length, "nearest").brief(units)
            say(run, "sleeve-long", f"its sleeve is {long} long, and the run {run.length.brief(units)}", "length",
                "a sleeve no longer than its run")  # fmt: skip
        depth = run.crossing.depth
        if cover.min_m is not None and cover.binding == "binds" and depth.si < cover.min_m - _WITHIN_M:
            least = printed(units, "least", metres=cover.min_m, inch=cover.min_inches)
            say(run, "cover-low", f"cover over the sleeve is {stated(depth, 'least').brief(units)}, and {cover.clause} "
                f"asks for {least} ({cover.row})", "depth", f"{least} or more")  # fmt: skip
    return tuple(findings)
