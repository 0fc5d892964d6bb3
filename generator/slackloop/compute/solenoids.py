"""Volts at each solenoid over its lead: while it pulls in, and while it holds."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.compute.conductor import loop_ohms_per_m
from slackloop.compute.places import JobPlaces, boxes_in_order
from slackloop.job import resolve
from slackloop.job.finding import Finding
from slackloop.job.models import Box, Cable, Job
from slackloop.path.network import Network
from slackloop.reference.tables import ReferenceTables


@dataclass(frozen=True)
class SolenoidAnswer:
    """One station: lead metres, its loop ohms at the hottest soil, volts at the solenoid at inrush and while it holds.

    ``longest_lead_m`` is the longest lead of the same conductor that still gives the least volts.
    """

    box_id: str
    station: int
    lead_m: float
    lead_ohms: float
    volts: float
    holding_volts: float
    least_volts: float
    longest_lead_m: float

    @property
    def holds(self) -> bool:
        """Whether the solenoid gets its least volts."""
        return self.volts >= self.least_volts


def solenoid_volts(output_volts: float, drawn_a: float, lead_ohms: float) -> float:
    """Volts at a solenoid, V: the output's volts less the current drawn × the loop resistance of the lead (Ohm's law).

    Takes the coil's current as in phase with its volts, which is never optimistic.
    """
    return output_volts - drawn_a * lead_ohms


def solenoid_answers(job: Job, network: Network, tables: ReferenceTables) -> tuple[SolenoidAnswer, ...]:
    """Every station whose solenoid is known, in path order."""
    answers: list[SolenoidAnswer] = []
    for box in boxes_in_order(job, network.boxes):
        name = resolve.solenoid(job, box)
        if box.device is None or name is None:
            continue
        device, solenoid, lead_m = job.devices[box.device], job.solenoids[name], resolve.lead_m(job, box)
        per_m = _lead_ohms_per_m(job, box, tables)
        spare_volts = device.output_volts.si - solenoid.least_volts.si
        for station in box.stations:
            answers.append(
                SolenoidAnswer(
                    box_id=box.id,
                    station=station,
                    lead_m=lead_m,
                    lead_ohms=lead_m * per_m,
                    volts=solenoid_volts(device.output_volts.si, solenoid.inrush.si, lead_m * per_m),
                    holding_volts=solenoid_volts(device.output_volts.si, solenoid.holding.si, lead_m * per_m),
                    least_volts=solenoid.least_volts.si,
                    longest_lead_m=max(spare_volts, 0.0) / (solenoid.inrush.si * per_m),
                )
            )
    return tuple(answers)


def solenoid_findings(job: Job, network: Network, tables: ReferenceTables) -> tuple[Finding, ...]:
    """An error for each box whose solenoid falls short of its least volts."""
    places, findings, seen = JobPlaces(job), list[Finding](), set[str]()
    for answer in solenoid_answers(job, network, tables):
        if answer.holds or answer.box_id in seen:
            continue
        seen.add(answer.box_id)
        findings.append(
            Finding(
                level="error",
                code="solenoid-volts-low",
                message=f"{answer.box_id}: the solenoid of station {answer.station} gets {answer.volts:.1f} V "
                f"at inrush over a lead of {answer.lead_m:g} m, and needs {answer.least_volts:g} V.",
                at=places.box(answer.box_id, "lead"),
                box=answer.box_id,
                expected=f"a lead of {answer.longest_lead_m:.0f} m or less"
                if answer.longest_lead_m > 0
                else f"an output of more than {answer.least_volts:g} V",
                hint="Shorten the lead, or use a larger conductor."
                if answer.longest_lead_m > 0
                else "No lead is short enough: choose a device or a solenoid that fits the other.",
            )
        )
    return tuple(findings)


def _lead_ohms_per_m(job: Job, box: Box, tables: ReferenceTables) -> float:
    """Loop resistance of a lead at the hottest soil, ohm/m: its cable, or the device's own leads when short."""
    assert box.device is not None
    hottest = job.conditions.soil_temperature.high.si
    name = resolve.lead_cable(job, box) if resolve.has_long_lead(job, box) else None
    wire: Cable | None = job.cables[name] if name is not None else None
    leads = job.devices[box.device].leads
    if wire is not None:
        return loop_ohms_per_m(wire.conductor, wire.build, tables, hottest)
    return loop_ohms_per_m(leads.conductor, leads.build, tables, hottest)
