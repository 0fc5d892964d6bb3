"""Everything that meets in one valve box: cable ends, splices a and b, device, valves; told apart in grey too.

Core a has bars across it and core b has none. Each wire carries its letter at both ends, white on black for b.
"""

from __future__ import annotations

from dataclasses import replace

from slackloop.document.drawings.lettering import fit, text_width, wrap
from slackloop.document.drawings.svg import INK, Canvas, Figure, Point, number, rounded_route
from slackloop.document.drawings.symbols import draw_earth_symbol
from slackloop.document.drawings.wire_routes import PITCH, CoreLine, draw_like_wires, place_splices, routes
from slackloop.document.drawings.wired_box import (
    AS_MARKED,
    DEVICE_WIDTH,
    HEAD,
    PATH_LEADS,
    TEXT,
    WiredBox,
    WiredRun,
    describe,
    draw_device,
    draw_outputs,
)
from slackloop.language.messages import said

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
BADGE = 8.0
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

Letters = tuple[list[Point], list[Point]]


def box_wiring_figure(id: str, box: WiredBox) -> Figure:
    """Draw one box's wiring: cable ends one under the other to the left, splices a and b to the right, device below.

    ``box.runs`` must hold at least one cable end, else ``ValueError``.
    """
    if not box.runs:
        raise ValueError(f"box {box.id} has no run")
    canvas = Canvas(id, f"Wiring of {box.id}", describe(box))
    cores: tuple[list[CoreLine], list[CoreLine]] = ([], [])
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
    _draw_letters(canvas, letters)
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
    x = STUB_END + SPREAD + BADGE_AFTER + BADGE + 4
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


def _draw_splices(
    canvas: Canvas, cores: tuple[list[CoreLine], list[CoreLine]], letters: Letters, bottom: float
) -> float:
    """Draw both splices to the right and lead every core to its own; return the lowest y used."""
    count = len(cores[0])
    height = max(58.0, count * PITCH + 6)
    x = canvas.width - 2 - FRAME
    pitch = min(13.0, LANES_WIDTH / (2 * count))
    lanes = (FIRST_LANE + pitch * count, FIRST_LANE)
    centres = place_splices(cores, lanes, pitch, x, height, 0.0, bottom)
    for letter, splice, centre, lane, places in zip("ab", cores, centres, lanes, letters, strict=True):
        by_colour: dict[str, str] = {}
        for (_, colour), route in zip(splice, routes(splice, centre, lane, pitch, x + 12), strict=True):
            by_colour[colour] = by_colour.get(colour, "") + rounded_route(route, 6)
            places.append((x - 8, route[-1][1]))
        for number_of, (colour, data) in enumerate(by_colour.items(), start=1):
            draw_like_wires(canvas, data, colour, "a" if letter == "a" else "b", f"core-{letter}{number_of}")
    for letter, splice, centre in zip("ab", cores, centres, strict=True):
        canvas.rect(x, centre - height / 2, FRAME, height, radius=8, width=1.4, name=f"splice-{letter}")
        reach = (count - 1) / 2 * PITCH + 6
        canvas.wire(f"M{number(x + 13)} {number(centre - reach)}V{number(centre + reach)}", INK, 4)
        colours = dict.fromkeys(colour for _, colour in splice if colour)
        colour = next(iter(colours)) if len(colours) == 1 else "see each end" if colours else ""
        with canvas.group(font_size=TEXT, fill=INK):
            title = said(f"core {letter}")
            canvas.text(x + 20, centre - 9, title, size=min(15.0, 15 * CORE_ROOM / text_width(title, 15)), bold=True)
            canvas.words(x + 20, centre + 7, "1 wire" if count == 1 else f"{count} wires", bold=True)
            canvas.words(x + 20, centre + 22, fit(colour, TEXT, FRAME - 22))
    return max(bottom, centres[1] + height / 2 + 4)


def _draw_letters(canvas: Canvas, letters: Letters) -> None:
    """A letter on each end of each wire: ink on white for a, white on ink for b; one shape and one text a letter."""
    for letter, places, fill, ink in (("a", letters[0], "#ffffff", "#000000"), ("b", letters[1], "#000000", "#ffffff")):
        r, across, back = number(BADGE), number(2 * BADGE), number(-2 * BADGE)
        data = "".join(
            f"M{number(x - BADGE)} {number(y)}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 {back} 0z" for x, y in places
        )
        edge = INK if letter == "b" else "#000000"  # a black disc on a dark page keeps its edge
        canvas.element("path", name=f"letters-{letter}", d=data, fill=fill, stroke=edge, stroke_width=1.3)
        canvas.letters(letter, places, size=12, fill=ink)
