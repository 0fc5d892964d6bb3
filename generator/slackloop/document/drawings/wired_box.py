"""What stands in one valve box, as plain text for its drawing."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class WiredRun:
    """One cable end in the box: ``label`` ("from B01"), ``length`` ("62 m (203 ft)"), cable and its core colours."""

    label: str
    length: str
    cable: str
    colour_a: str
    colour_b: str
    jacketed: bool = True
    slack: str = ""


@dataclass(frozen=True)
class WiredStation:
    """One output: station number, ``lead`` length as text; ``far_splices`` where the lead has a cable of its own."""

    station: str
    lead: str
    solenoid: str
    far_splices: bool = False
    name: str = ""


@dataclass(frozen=True)
class WiredDevice:
    """The device: what the crew calls it, its address, its stations; ``lead_size`` is that of its own leads."""

    title: str
    address: str
    lead_size: str
    stations: tuple[WiredStation, ...] = ()


@dataclass(frozen=True)
class WiredBox:
    """A box to draw: its id and name, cable ends in order (in first), devices, connector titles, electrode."""

    id: str
    name: str
    runs: tuple[WiredRun, ...]
    devices: tuple[WiredDevice, ...]
    connector: str
    solenoid_connector: str = ""
    electrode: bool = False


def describe(box: WiredBox) -> str:
    """Return the wiring in words, every name in full."""
    said = [f"Box {box.id}{', ' + box.name if box.name else ''}."]
    for run in box.runs:
        slack = f", slack {run.slack}" if run.slack else ""
        said.append(f"Run {run.label}, {run.length}, {run.cable}{slack}: core a {run.colour_a}, core b {run.colour_b}.")
    if not box.devices:
        said.append("No device in this box.")
    for device in box.devices:
        address = f", address {device.address}" if device.address else ""
        said.append(f"Device {device.title}{address}, leads {device.lead_size}.")
        for station in device.stations:
            far = ", spliced at both ends of its lead" if station.far_splices else ", spliced once on each lead"
            name = f", {station.name}" if station.name else ""
            said.append(f"Station {station.station}{name}: solenoid {station.solenoid}, lead {station.lead}{far}.")
    met = len(box.runs) + len(box.devices)
    if met > 1 and not box.connector:
        said.append("The splices here are there already.")
    else:
        both = f"All a cores are in one {box.connector}, all b cores in another."
        said.append(both if met > 1 else "Nothing is joined here.")
    if box.solenoid_connector and any(device.stations for device in box.devices):
        said.append(f"Solenoid side: {box.solenoid_connector}.")
    if box.electrode:
        said.append("This box has an earth electrode.")
    return " ".join(said)
