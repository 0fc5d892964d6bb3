"""Energy balance of a device: what it gives to a solenoid against what it can take from the path for it.

No device gives out more power than it takes in for longer than a moment (conservation of energy). A sheet that says so
mixes figures: most often the solenoid's holding current is that of full volts, and the device holds with less.
"""

from __future__ import annotations

from slackloop.compute.circuit.solenoids import output_volts
from slackloop.site import effective_values as resolve
from slackloop.site.box_contents import placed_devices
from slackloop.site.models import Job
from slackloop.source.finding import Finding

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
        unit = "VA" if job.supply.current == "ac" else "W"
        findings.append(
            Finding(
                "warning",
                "energy-balance",
                f"{device.title} takes at most {job.supply.volts.si:g} V × {taken_a * 1e3:.4g} mA = {taken:.3g} {unit} "
                f"from the path with one output running, and would give {given_volts:g} V × "
                f"{solenoid.holding.si * 1e3:.4g} mA = {given:.3g} {unit} to hold a solenoid ({solenoid_name})",
                ("devices", name, "per_output"),
                expected="a device that takes at least what it gives out",
                hint="ask the maker for the current that an output takes from the path while it holds this solenoid, "
                "and for the solenoid's holding current on this device",
                asks="the maker of the device",
            )
        )
    return tuple(findings)
