"""What stands in one valve box, as plain text for its drawing.

The device of a box with its path leads, and a row for each station out to its solenoid.
"""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.document.drawings.lettering import fit, wrap
from slackloop.document.drawings.svg import INK, Canvas, number


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


TEXT = 13.0
"""Size of all words of a box: 11 pt on a card."""
DEVICE_WIDTH = 108.0
PATH_LEADS = (20.0, 48.0)
"""How far below the device's top its path leads a and b come out (drawing units)."""
HEAD = 66.0
STATION = 40.0
OUTPUTS_HEAD = 20.0
CAPSULE = 16.0
CAPSULE_HEIGHT = 11.0
NEAR = 132.0
SOLENOID = 112.0
APART = 9.0
"""From the middle of a station's row to each of its leads."""
AS_MARKED = "as marked"


def draw_device(canvas: Canvas, device: WiredDevice, top: float, number_in_box: str = "") -> float:
    """Draw a device below ``top``, its stations under each other; return where it ends.

    ``number_in_box`` ends the names of its shapes where the box holds several devices.
    """
    height = HEAD + STATION * len(device.stations)
    canvas.rect(2, top, DEVICE_WIDTH - 2, height, radius=3, width=1.6, name=f"device{number_in_box}")
    _draw_lines(canvas, device.stations, top + HEAD, number_in_box)
    room = DEVICE_WIDTH - 10
    with canvas.group(font_size=TEXT, fill=INK):
        y = top + 15
        for words in wrap(device.title, TEXT, room, 2):
            canvas.words(7, y, words, bold=True)
            y += 15
        if device.address:
            canvas.text(7, y + 3, fit(device.address, 18, room), size=18, bold=True)
        canvas.words(7, top + HEAD - 4, fit(AS_MARKED, TEXT, room))
        for place, station in enumerate(device.stations):
            _say_station(canvas, station, top + HEAD + STATION * (place + 0.5))
    return top + height + 4


def draw_outputs(canvas: Canvas, device: WiredDevice, top: float, number_in_box: str) -> float:
    """Draw the stations of one of several devices below ``top``, apart from its path leads; return where they end."""
    height = OUTPUTS_HEAD + STATION * len(device.stations)
    canvas.rect(2, top, DEVICE_WIDTH - 2, height, radius=3, width=1.6, name=f"outputs{number_in_box}")
    _draw_lines(canvas, device.stations, top + OUTPUTS_HEAD, number_in_box)
    with canvas.group(font_size=TEXT, fill=INK):
        canvas.words(7, top + 14, fit(device.address or device.title, TEXT, DEVICE_WIDTH - 10), bold=True)
        for place, station in enumerate(device.stations):
            _say_station(canvas, station, top + OUTPUTS_HEAD + STATION * (place + 0.5))
    return top + height + 4


def _draw_lines(canvas: Canvas, stations: tuple[WiredStation, ...], top: float, end: str) -> None:
    """All lines of the stations: two leads each, a connector on each lead, the valve, and what parts the rows."""
    left = canvas.width - 2 - SOLENOID
    leads, capsules, valves = "", "", ""
    for place, station in enumerate(stations):
        y = top + STATION * (place + 0.5)
        valves += f"M2 {number(y - STATION / 2)}H{number(DEVICE_WIDTH)}"
        valves += f"M{number(left)} {number(y - 17)}h{number(SOLENOID)}v34h{number(-SOLENOID)}z"
        for way in (-1, 1):
            level = number(y + APART * way)
            leads += f"M{number(DEVICE_WIDTH)} {level}H{number(left)}"
            capsules += f"M{number(NEAR)} {level}h{number(CAPSULE)}"
            if station.far_splices:
                capsules += f"M{number(left - CAPSULE - 12)} {level}h{number(CAPSULE)}"
    if stations:
        canvas.wire(leads, INK, 2.2, name=f"leads{end}")
        canvas.path(capsules, width=CAPSULE_HEIGHT, cap="round", name=f"capsules{end}")
        canvas.path(capsules, stroke="#d9d9d9", width=CAPSULE_HEIGHT - 2.4, cap="round")
        canvas.wire(valves, INK, 1.2, name=f"valves{end}")


def _say_station(canvas: Canvas, station: WiredStation, y: float) -> None:
    """The number of a station at the device and at its valve, and the length of its lead."""
    canvas.words(7, y + 5, fit(f"station {station.station}", TEXT, DEVICE_WIDTH - 10), bold=True)
    middle, room = canvas.width - 2 - SOLENOID / 2, SOLENOID - 6
    canvas.words(middle, y - 3, fit(f"valve {station.station}", TEXT, room), anchor="middle", bold=True)
    lead = station.lead.split(" (")[0]
    canvas.words(middle, y + 12, fit(f"lead {lead}", TEXT, room), anchor="middle")
