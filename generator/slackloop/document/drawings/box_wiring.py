"""Everything that meets in one valve box, as plain text and drawn: cable ends, splices a and b, device, valves.

Core a has bars across it and core b has none, so that grey tells them apart too. Each wire carries its letter at both
ends, white on black for b.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from slackloop.document.drawings import wire_routes
from slackloop.document.drawings.lettering import fit, roomiest, text_width, wrap
from slackloop.document.drawings.svg import INK, Canvas, Figure, number, rounded_route
from slackloop.document.drawings.symbols import draw_earth_symbol
from slackloop.document.drawings.wire_routes import CoreLine, Cores, Letters
from slackloop.language.messages import said


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
    canvas.words(middle, y + 12, roomiest((f"lead {lead}", lead), TEXT, room), anchor="middle")


TAIL_HEIGHT = 72.0
STUB_END = 44.0
STUB_HALF = 9.0
SPREAD = 12.0
"""From the end of the jacket to where its cores run level."""
PART_WIDTH = 104.0
EARTH_ROOM = 16.0
"""Below a surge part, for the earth lead: beside lead b, its sign would look like lead b's own."""
EARTH_LEAD = "earth lead"
CORE_A_DOWN = 31.0
CORE_B_DOWN = 55.0
BADGE_AFTER = 10.0
"""From where a core runs level to the middle of its letter."""
FIRST_LANE = 150.0
LANES_WIDTH = 84.0
FRAME = 92.0
"""Width of the frame that stands for a connector, and of what is written in it."""
CORE_ROOM = 68.0
JACKET_SHADE = "#bdbdbd"
BARS_NOTE = "The bars on core a are in the drawing only."
"""What stands beside the drawing wherever it is shown."""

def box_wiring_figure(id: str, box: WiredBox) -> Figure:
    """Draw one box's wiring: cable ends one under the other to the left, splices a and b to the right, device below.

    ``box.runs`` must hold at least one cable end, else ``ValueError``.
    """
    if not box.runs:
        raise ValueError(f"box {box.id} has no run")
    canvas = Canvas(id, f"Wiring of {box.id}", describe(box))
    cores: Cores = ([], [])
    letters: Letters = ([], [])
    y = 0.0
    for place, run in enumerate(box.runs, start=1):
        ends = _draw_tail(canvas, run, y, f"tail{place}")
        for core, splice, places in zip(ends, cores, letters, strict=True):
            splice.append(core)
            start, level = core[0][-1]
            places.append((start + BADGE_AFTER, level))
        y += TAIL_HEIGHT + (0.0 if _is_cable(run) else EARTH_ROOM)
    path_bottom = y
    several = len(box.devices) > 1
    for place, device in enumerate(box.devices, start=1):
        for down, splice, places in zip(PATH_LEADS, cores, letters, strict=True):
            splice.append((((DEVICE_WIDTH, y + 3 + down),), ""))
            places.append((DEVICE_WIDTH + 13, y + 3 + down))
        path_bottom = y + HEAD
        drawn = replace(device, stations=()) if several else device
        y = draw_device(canvas, drawn, y + 3, str(place) if several else "")
    for place, device in enumerate(box.devices if several else (), start=1):
        if device.stations:
            y = draw_outputs(canvas, device, y + 3, str(place))
    bottom = max(y, _draw_splices(canvas, cores, letters, path_bottom))
    wire_routes.draw_letters(canvas, letters)
    return canvas.figure(bottom + 2)


def _draw_tail(canvas: Canvas, run: WiredRun, top: float, name: str) -> tuple[CoreLine, CoreLine]:
    """Draw a cable end: where it goes, its cable, its length; return where its cores a and b come out."""
    a, b = top + CORE_A_DOWN, top + CORE_B_DOWN
    middle = (a + b) / 2
    if not _is_cable(run):
        return _draw_part(canvas, run, top, name)
    size = f", {run.cable}" if run.cable else ""
    if run.jacketed:
        canvas.rect(0, middle - STUB_HALF, STUB_END, 2 * STUB_HALF, fill=JACKET_SHADE, stroke="#000000", name=name)
    x = STUB_END + SPREAD + BADGE_AFTER + wire_routes.BADGE + 4
    with canvas.group(font_size=TEXT, fill=INK):
        canvas.words(2, top + 12, fit(f"{run.label}{size}", TEXT, FIRST_LANE - 4 if top else 240), bold=True)
        canvas.words(2, b + 13, fit(run.length.split(" (")[0], TEXT, STUB_END + 12))
        canvas.words(x, a - 6, fit(run.colour_a, TEXT, FIRST_LANE - x - 2))
        canvas.words(x, b + 15, fit(run.colour_b, TEXT, FIRST_LANE - x - 2))
    ends = []
    for level, apart, colour in ((a, -4, run.colour_a), (b, 4, run.colour_b)):
        inside = () if run.jacketed else ((2.0, middle + apart),)
        ends.append(((*inside, (STUB_END, middle + apart), (STUB_END + SPREAD, level)), colour))
    return ends[0], ends[1]


def _is_cable(run: WiredRun) -> bool:
    """Whether an end is a cable's; a surge part has leads of its own."""
    return run.jacketed or bool(run.slack)


def _draw_part(canvas: Canvas, run: WiredRun, top: float, name: str) -> tuple[CoreLine, CoreLine]:
    """Draw a part with two leads of its own, the surge part: a frame with its title, and its way to the electrode."""
    canvas.rect(2, top + 6, PART_WIDTH, TAIL_HEIGHT - 12, radius=3, width=1.6, name=name)
    with canvas.group(font_size=TEXT, fill=INK):
        for place, words in enumerate(wrap(run.label, TEXT, PART_WIDTH - 8, 2)):
            canvas.words(6, top + 20 + 14 * place, words, bold=True)
        canvas.words(6, top + TAIL_HEIGHT - 11, fit(AS_MARKED, TEXT, PART_WIDTH - 10))
    draw_earth_symbol(canvas, 14, top + TAIL_HEIGHT - 6, width=1.6)
    with canvas.group(font_size=TEXT, fill=INK):
        canvas.words(25, top + TAIL_HEIGHT + 9, fit(EARTH_LEAD, TEXT, FIRST_LANE - 29))
    start = PART_WIDTH + 2
    return (((start, top + CORE_A_DOWN),), ""), (((start, top + CORE_B_DOWN),), "")


def _draw_splices(canvas: Canvas, cores: Cores, letters: Letters, bottom: float) -> float:
    """Draw both splices to the right and lead every core to its own; return the lowest y used."""
    count = len(cores[0])
    height = max(58.0, count * wire_routes.PITCH + 6)
    x = canvas.width - 2 - FRAME
    pitch = min(13.0, LANES_WIDTH / (2 * count))
    lanes = (FIRST_LANE + pitch * count, FIRST_LANE)
    centres = wire_routes.place_splices(cores, lanes, pitch, x, height, 0.0, bottom)
    for letter, splice, centre, lane, places in zip("ab", cores, centres, lanes, letters, strict=True):
        by_colour: dict[str, str] = {}
        for (_, colour), route in zip(splice, wire_routes.routes(splice, centre, lane, pitch, x + 12), strict=True):
            by_colour[colour] = by_colour.get(colour, "") + rounded_route(route, 6)
            places.append((x - 8, route[-1][1]))
        for number_of, (colour, data) in enumerate(by_colour.items(), start=1):
            wire_routes.draw_like_wires(canvas, data, colour, letter, f"core-{letter}{number_of}")
    for letter, splice, centre in zip("ab", cores, centres, strict=True):
        canvas.rect(x, centre - height / 2, FRAME, height, radius=8, width=1.4, name=f"splice-{letter}")
        reach = (count - 1) / 2 * wire_routes.PITCH + 6
        canvas.wire(f"M{number(x + 13)} {number(centre - reach)}V{number(centre + reach)}", INK, 4)
        colours = dict.fromkeys(colour for _, colour in splice if colour)
        colour = next(iter(colours)) if len(colours) == 1 else "see each end" if colours else ""
        with canvas.group(font_size=TEXT, fill=INK):
            title = said(f"core {letter}")
            canvas.text(x + 20, centre - 9, title, size=min(15.0, 15 * CORE_ROOM / text_width(title, 15)), bold=True)
            canvas.words(x + 20, centre + 7, "1 wire" if count == 1 else f"{count} wires", bold=True)
            canvas.words(x + 20, centre + 22, fit(colour, TEXT, FRAME - 22))
    return max(bottom, centres[1] + height / 2 + 4)
