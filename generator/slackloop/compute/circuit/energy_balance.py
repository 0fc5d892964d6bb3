"""Energy balance of a device: what it gives to a solenoid, compared with what it can take from the path for it.

No device gives out more power than it takes in for longer than a moment (conservation of energy). A sheet that says so
mixes figures: most often the solenoid's holding current is that of full volts, and the device holds with less.
"""

from __future__ import annotations

from slackloop.compute.circuit.solenoids import output_volts
from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import placed_devices
from slackloop.site.models import Job
from slackloop.source.finding import Finding
from slackloop.units.figure import Figure, amps, stated, volts
from slackloop.units.ladder import Kind

_CLOSE = 1e-9


def energy_findings(job: Job) -> tuple[Finding, ...]:
    """A warning for each pair of device and solenoid in which more power is given out than taken in.

    Both are worked out in the device's favour: the path at its full volts with nothing lost on the way, the current at
    rest counted too, one output running, and the solenoid holding. On ac they are volt-amperes.
    """
    pairs = dict.fromkeys(
        (placed.kind, station.solenoid)
        for box in job.path.boxes
        for placed in placed_devices(job, box)
        for station in placed.stations
    )
    findings: list[Finding] = []
    for name, solenoid_name in pairs:
        if solenoid_name is None:
            continue
        device, solenoid = job.devices[name], job.solenoids[solenoid_name]
        given_volts = output_volts(device, job.supply.volts.si)
        if given_volts is None:
            continue
        taken_a = device.standby.si + resolve.per_output_a(device)
        taken, given = job.supply.volts.si * taken_a, given_volts * solenoid.holding.si
        if not given > taken * (1.0 + _CLOSE):
            continue  # enough, or not known
        kind: Kind = "volt-amperes" if job.supply.current == "ac" else "watts"
        taken_from = f"{_told(stated(job.supply.volts, 'nearest'))} × {_told(amps(taken_a, 'nearest'))}"
        given_at = f"{_told(volts(given_volts, 'nearest'))} × {_told(stated(solenoid.holding, 'nearest'))}"
        findings.append(
            Finding(
                "warning",
                "energy-balance",
                f"{device.title} takes at most {taken_from} = {_told(Figure(taken, kind, 'nearest'))} from the path "
                f"with one output on. It would give {given_at} = {_told(Figure(given, kind, 'nearest'))} to "
                f"hold a solenoid ({solenoid_name})",
                ("devices", name, "per_output"),
                expected="a device that takes at least what it gives out",
                hint="ask the maker: the current of an output from the path while it holds this solenoid, and the "
                "solenoid's holding current on this device",
                asks="the maker of the device",
            )
        )
    return tuple(findings)


def _told(figure: Figure) -> str:
    """A figure in the words of the makers' sheets, which are the same in both unit systems."""
    return figure.alone("metric")
