"""Everything that is computed for one job, in one value: the tables, and the findings that follow from them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from slackloop.compute.cable import materials, reels, splices
from slackloop.compute.cable.circuit_length import BoxSlack, CircuitLengths, box_slack, circuit_lengths, slack_findings
from slackloop.compute.cable.order_lines import OrderLine, PhasedOrder, phased_orders
from slackloop.compute.cable.reels import ReelPlan
from slackloop.compute.cable.splice_findings import core_colour_findings, splice_findings
from slackloop.compute.cable.splices import Splice
from slackloop.compute.circuit import loop, makers_limits, solenoids
from slackloop.compute.circuit.conductor import frequency_findings, insulation_findings
from slackloop.compute.circuit.loop import LoopReadings
from slackloop.compute.circuit.makers_limits import MakersLimit
from slackloop.compute.circuit.path_volts import SupplyAnswer, VoltsAnswer, solve_path
from slackloop.compute.circuit.rings import Break
from slackloop.compute.circuit.solenoids import SolenoidAnswer, energy_findings
from slackloop.compute.circuit.supply_class import power_class_findings, voltage_findings
from slackloop.compute.day_plan import DayPlan, day_plans, length_findings, search_findings
from slackloop.compute.ground import burial, cover, electrodes, trench
from slackloop.compute.ground.cover import CoverAnswer
from slackloop.compute.ground.electrodes import Electrode, ElectrodeAnswer
from slackloop.compute.ground.trench import TrenchAnswer
from slackloop.compute.likely_values import likely_findings
from slackloop.reference.rows import SoilRow
from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Job
from slackloop.site.network import Network, build_network
from slackloop.source.finding import Finding

Verdict = Literal["pass", "fail"]

BEDDING_SOIL = "sand"


@dataclass(frozen=True)
class ComputedJob:
    """One job computed.

    Tuples by box are in path order; ``lengths`` by run id, ``covers`` and trench runs by run, closing runs last.
    """

    network: Network
    lengths: CircuitLengths
    volts: VoltsAnswer
    supply: SupplyAnswer
    breaks: tuple[tuple[str, Break], ...]
    loops: LoopReadings
    splices: tuple[tuple[Splice, ...], ...]
    solenoid_splices: tuple[tuple[Splice, ...], ...]
    slack: tuple[BoxSlack, ...]
    covers: tuple[CoverAnswer, ...]
    trench: TrenchAnswer
    electrodes: ElectrodeAnswer
    reels: tuple[ReelPlan, ...]
    materials: tuple[OrderLine, ...]
    phased_orders: tuple[PhasedOrder, ...]
    solenoids: tuple[SolenoidAnswer, ...]
    limits: tuple[MakersLimit, ...]
    days: tuple[DayPlan, ...]
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """``fail`` when any finding is an error."""
        return "fail" if any(finding.level == "error" for finding in self.findings) else "pass"


def compute_job(job: Job, tables: ReferenceTables, driven: tuple[Electrode, ...] = ()) -> ComputedJob:
    """Compute every table of a job whose references have been checked.

    ``driven`` are the electrodes where they are in the ground already; without them the rules of the job place them.
    """
    network = build_network(job)
    basis = tables.code_bases[job.job.code_basis]
    lengths = circuit_lengths(job, network)
    path = solve_path(job, network, tables, lengths)
    dug = trench.run_trenches(job, network, _soil(job.conditions.soil, tables))
    earth = electrodes.plan(job, network, tables.rod_groups)
    if driven:
        earth = replace(earth, places=driven)
    path_splices = splices.box_splices(job, network, {place.where for place in earth.places})
    station_splices = splices.solenoid_splices(job, network)
    slacks = box_slack(job, network, tables)
    covers = cover.run_covers(job, network, basis)
    plans = reels.reel_plans(job, network, lengths)
    days = day_plans(job, network, dug)
    limits = makers_limits.makers_limits(job, network, lengths)
    solenoid_answers = solenoids.solenoid_answers(job, network, tables, path.volts.worst_volts)
    lines = materials.bill(job, network, path_splices, station_splices, plans, dug, earth, _soil(BEDDING_SOIL, tables))
    computed = ComputedJob(
        network=network,
        lengths=lengths,
        volts=path.volts,
        supply=path.supply,
        breaks=path.breaks,
        loops=loop.readings(job, network, tables, lengths),
        splices=path_splices,
        solenoid_splices=station_splices,
        slack=slacks,
        covers=covers,
        trench=dug,
        electrodes=earth,
        reels=plans,
        materials=lines,
        phased_orders=phased_orders(job, network, lines, plans),
        solenoids=solenoid_answers,
        limits=limits,
        days=days,
        findings=path.findings,
    )
    return replace(computed, findings=(*path.findings, *_findings(job, tables, computed)))


def _findings(job: Job, tables: ReferenceTables, computed: ComputedJob) -> Iterator[Finding]:
    """What is found in the tables, in their order."""
    network, basis = computed.network, tables.code_bases[job.job.code_basis]
    yield from splice_findings(job, network, computed.splices, computed.solenoid_splices)
    yield from core_colour_findings(job, network)
    yield from slack_findings(job, network, computed.slack)
    yield from cover.cover_findings(job, network, computed.covers, basis)
    yield from burial.sleeve_findings(job, network, computed.covers)
    yield from burial.burial_findings(job, network, basis)
    yield from trench.trench_findings(job, network, computed.trench, basis)
    yield from electrodes.electrode_findings(job, network, computed.electrodes, tables.rod_groups)
    yield from likely_findings(job, tables, computed.electrodes)
    yield from reels.reel_findings(job, computed.reels)
    yield from solenoids.solenoid_findings(job, computed.solenoids)
    yield from energy_findings(job, network, computed.volts.worst_volts)
    yield from makers_limits.limit_findings(job, computed.limits)
    yield from length_findings(job, network, computed.days)
    yield from search_findings(job, computed.days)
    yield from frequency_findings(job, basis)
    yield from insulation_findings(job, basis, tables)
    yield from voltage_findings(job, tables)
    yield from power_class_findings(job, basis)


def _soil(name: str, tables: ReferenceTables) -> SoilRow:
    soil = tables.soils.find(name)
    if soil is None:
        raise ValueError(f"no row for the soil {name!r}: the reader must have refused it")
    return soil
