"""The trench: depth built up from cover, pipe and bedding; volumes by soil; what the depth sets off."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackloop.reference.code_basis import CodeBasis, ExcavationRow
from slackloop.reference.rows import SoilRow
from slackloop.site.models import Job
from slackloop.site.network import JobPlaces, Network, Run
from slackloop.site.valve_boxes import Crossing
from slackloop.source.finding import Finding
from slackloop.source.suggestions import FEW, listed
from slackloop.units.figure import length, printed, stated


@dataclass(frozen=True)
class RunTrench:
    """Trench of one run, metres and m³: ``dug`` is in the ground, ``loose`` and ``surplus`` as dug out.

    ``zone`` is the height of the bedding zone, never more than the depth; ``backfill`` is the space over it, filled
    with dug soil and compacted.
    """

    run_id: str
    length_m: float
    depth_m: float
    zone_m: float
    dug_m3: float
    loose_m3: float
    bedding_m3: float
    surplus_m3: float
    backfill_m3: float
    existing: bool = False
    """Whether the run was there before: nothing is dug for it, and every figure is 0."""
    crossing_depth_m: float | None = None
    """Depth where it crosses in a sleeve; None without one, and where the sleeve is bored."""
    dug_m: float = 0.0
    """Length that is dug: the whole run but for what is bored."""

    @property
    def deepest_m(self) -> float:
        """Its depth, or that of its crossing where it is more."""
        return max(self.depth_m, self.crossing_depth_m or 0.0)


@dataclass(frozen=True)
class TrenchAnswer:
    """Trench of the whole path: every run, then closing runs, and their sums."""

    runs: tuple[RunTrench, ...]
    length_m: float
    dug_m3: float
    loose_m3: float
    bedding_m3: float
    surplus_m3: float
    backfill_m3: float

    @property
    def deepest_m(self) -> float:
        """Depth of the deepest run, metres; 0 where nothing is dug."""
        return max((run.deepest_m for run in self.dug_runs), default=0.0)

    @property
    def dug_runs(self) -> tuple[RunTrench, ...]:
        """The runs that are dug."""
        return tuple(run for run in self.runs if not run.existing)


@dataclass(frozen=True)
class Trigger:
    """One row of the code basis on excavation, and whether this trench is deep enough to set it off."""

    row: ExcavationRow
    set_off: bool
    run_ids: tuple[str, ...]


def depth_m(cover_m: float, diameter_m: float, bedding_m: float) -> float:
    """Dug depth, metres: cover + outside diameter of the pipe (or the cable, when alone) + bedding under it."""
    return cover_m + diameter_m + bedding_m


def crossing_depth_m(crossing: Crossing, bedding_m: float) -> float:
    """Dug depth at a crossing, metres: cover over the sleeve + its diameter + bedding under it."""
    return depth_m(crossing.depth.si, crossing.sleeve.si, bedding_m)


def bedding_height_m(bedding_m: float, diameter_m: float, depth: float) -> float:
    """Height of the bedding zone, metres: the same thickness under and over the pipe, and never above ground."""
    return min(2.0 * bedding_m + diameter_m, depth)


def loose_m3(bank_m3: float, soil: SoilRow) -> float:
    """Volume of dug-out soil, m³, from its volume in the ground (US Army FM 5-434 Table 1-1)."""
    return bank_m3 * soil.bank_to_loose


def bank_for_backfill_m3(space_m3: float, soil: SoilRow) -> float:
    """Volume in the ground, m³, of the soil that fills ``space_m3`` when compacted (US Army FM 5-434 Table 1-1)."""
    return space_m3 / soil.bank_to_compacted


def run_trench(run: Run, job: Job, soil: SoilRow) -> RunTrench:
    """Trench of one run (the job format's own rules).

    The bedding is the zone less the pipe; the cable's own volume is ignored. Backfill space is dug less the zone;
    the soil it takes is at most what was dug; what is left is surplus, as loose. A run that was there before is not
    dug, and neither is what is bored or lies in a sleeve that is there; over the length of a sleeve in a trench the
    depth is what the sleeve needs, and never less than beside it.
    """
    if run.existing:
        return RunTrench(run.id, *(0.0,) * 8, existing=True)
    crossing = run.crossing
    crossed_m = min(crossing.length.si, run.length_m) if crossing is not None else 0.0
    is_undug = crossing is not None and crossing.method != "open"
    dug_m = run.dug_m
    pipe = job.trench.shared_with_pipe
    cable = job.cables[run.cable].jacket_od
    pipe_m = pipe.si if pipe is not None else 0.0
    diameter = pipe_m if pipe is not None else (cable.si if cable is not None else 0.0)
    width, bedding = job.trench.width.si, job.trench.bedding.si
    depth = depth_m(run.cover_m, diameter, bedding)
    deep_m = None if crossing is None or is_undug else max(depth, crossing_depth_m(crossing, bedding))
    dug = width * depth * dug_m + (width * (deep_m - depth) * crossed_m if deep_m is not None else 0.0)
    zone_m = bedding_height_m(bedding, diameter, depth)
    zone = width * zone_m * dug_m
    bedding_volume = max(zone - math.pi / 4.0 * pipe_m**2 * dug_m, 0.0)
    space = max(dug - zone, 0.0)
    back = min(bank_for_backfill_m3(space, soil), dug)
    return RunTrench(
        run_id=run.id,
        length_m=run.length_m,
        depth_m=depth,
        zone_m=zone_m,
        dug_m3=dug,
        loose_m3=loose_m3(dug, soil),
        bedding_m3=bedding_volume,
        surplus_m3=loose_m3(dug - back, soil),
        backfill_m3=space,
        crossing_depth_m=deep_m,
        dug_m=dug_m,
    )


def run_trenches(job: Job, network: Network, soil: SoilRow) -> TrenchAnswer:
    """Trench of every run and the sums."""
    runs = tuple(run_trench(run, job, soil) for run in network.all_runs)
    return TrenchAnswer(
        runs=runs,
        length_m=math.fsum(run.dug_m for run in runs),
        dug_m3=math.fsum(run.dug_m3 for run in runs),
        loose_m3=math.fsum(run.loose_m3 for run in runs),
        bedding_m3=math.fsum(run.bedding_m3 for run in runs),
        surplus_m3=math.fsum(run.surplus_m3 for run in runs),
        backfill_m3=math.fsum(run.backfill_m3 for run in runs),
    )


def triggers(trench: TrenchAnswer, basis: CodeBasis) -> tuple[Trigger, ...]:
    """Every excavation row of the code basis; a row without a depth is set off at any depth."""
    answers: list[Trigger] = []
    for row in basis.excavation:
        least = row.least_depth_m
        runs = tuple(run.run_id for run in trench.dug_runs if least is None or run.deepest_m >= least - 1e-9)
        answers.append(Trigger(row, bool(runs), runs))
    return tuple(answers)


def trench_findings(job: Job, network: Network, trench: TrenchAnswer, basis: CodeBasis) -> tuple[Finding, ...]:
    """Rules that apply from a depth, a trench too narrow for its pipe, bedding that would reach above ground."""
    findings: list[Finding] = []
    units = job.job.units
    for trigger in triggers(trench, basis):
        row = trigger.row
        if row.least_depth_m is not None and trigger.set_off:
            deepest = max((run for run in trench.runs if run.run_id in trigger.run_ids), key=lambda run: run.deepest_m)
            from_depth = printed(units, "most", metres=row.from_depth_m, feet=row.from_depth_ft)
            findings.append(
                Finding("warning", f"trench-{row.id}",
                        f"The trench is up to {length(deepest.deepest_m, 'least').brief(units)} deep (runs "
                        f"{listed(trigger.run_ids, FEW)}). From {from_depth} {row.source} asks: {row.text}",
                        at=("rules", "cover"), asks="the competent person", of=trigger.run_ids)
            )  # fmt: skip
    pipe = job.trench.shared_with_pipe
    if pipe is not None and pipe.si > job.trench.width.si:
        findings.append(
            Finding("error", "trench-narrow",
                    f"The trench is {stated(job.trench.width, 'least').brief(units)} wide and its pipe "
                    f"{stated(pipe, 'nearest').brief(units)}.",
                    at=("trench", "width"), expected="a trench wider than its pipe", hint="Ask for a wider trench.")
        )  # fmt: skip
    else:
        findings += _narrower_than_cable(job, network)
    shallow = [run for run in network.all_runs if not run.existing and run.cover_m < job.trench.bedding.si]
    if shallow:
        findings.append(
            Finding("warning", "bedding-above-ground",
                    f"Bedding over the pipe is {stated(job.trench.bedding, 'least').brief(units)}, more than the cover "
                    f"on {listed([run.id for run in shallow], FEW)}.", at=JobPlaces(job).run(shallow[0]),
                    hint="Ask for more cover or less bedding.", of=tuple(run.id for run in shallow))
        )  # fmt: skip
    return tuple(findings)


def _narrower_than_cable(job: Job, network: Network) -> list[Finding]:
    """An error where a cable that is laid is thicker than the trench is wide."""
    units = job.job.units
    laid = dict.fromkeys(run.cable for run in network.all_runs if not run.existing and run.dug_m > 0.0)
    thick = [(od, name) for name in laid if (od := job.cables[name].jacket_od) and od.si > job.trench.width.si]
    return [
        Finding("error", "trench-narrow",
                f"The trench is {stated(job.trench.width, 'least').brief(units)} wide and its cable {name} "
                f"{stated(od, 'nearest').brief(units)} thick.",
                at=("trench", "width"), expected="a trench wider than its cable", hint="Ask for a wider trench.")
        for od, name in thick[:1]
    ]  # fmt: skip
