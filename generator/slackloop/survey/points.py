"""Rows of a survey as points that the boxes of a job can be made of; a row that is wrong is named and left out."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from pydantic import ValidationError

from slackloop.site.assumptions import ASSUMED, UNKNOWN, without_assumed
from slackloop.site.plain_fields import CONTROLLER, FURTHEST_M, shown
from slackloop.site.valve_boxes import NO_DEVICE, SURFACES, Box, Surface
from slackloop.source.ambiguous_scalar import resolve, span, surprise
from slackloop.source.finding import Placed
from slackloop.source.lost_text import SET_ME
from slackloop.source.source_file import UNPRINTABLE
from slackloop.source.suggestions import did_you_mean, listed
from slackloop.survey.csv_rows import MOST_PIECES, Found, Row
from slackloop.units.amount import count
from slackloop.units.quantity import comma_mend

UNIT_M = {"m": 1.0, "ft": 0.3048, "us-ft": 1200 / 3937}
"""Metres in a unit of x and y: the foot of 1959, and the US survey foot of 1893 (NIST SP 811, appendix B)."""
MOST_STATIONS = 200
OWN_KEYS = frozenset(("id", "lon", "lat", "x", "y", "unit", "outputs", "stations", "line"))
_WITH_COMMA = re.compile(r"[-+]?[0-9]+(?:,[0-9]+)+")
OTHER_WORDS: Mapping[Surface, tuple[str, ...]] = {
    "lawn": ("grass", "turf", "meadow"), "planting": ("bed", "beds", "border", "shrubs"),
    "path": ("footpath", "sidewalk", "footway"), "paved": ("paving", "patio", "slabs", "pavers"),
    "drive": ("parking", "car park"), "road": ("street", "highway"), "building": ("house",),
}  # fmt: skip
"""Usual words for surfaces that are suggested from, never taken for them."""
TABLES = {"device": "devices", "cable": "cables", "lead_cable": "cables", "connector": "connectors",
          "solenoid": "solenoids"}  # fmt: skip


@dataclass(frozen=True)
class Known:
    """What the base job defines: names by table, the outputs of each device, and the device that boxes get else."""

    names: Mapping[str, Sequence[str]]
    outputs: Mapping[str, int]
    device: str | None = None


@dataclass(frozen=True)
class Point:
    """One point: place as given (degrees, or metres), what the row says of the box, and what was guessed about it."""

    id: str
    place: tuple[float, float]
    facts: dict[str, str]
    """Texts by the key of a box, but for its stations."""
    stations: tuple[int, ...]
    outputs: int | None
    """How many stations it has where the row gives a number and no stations."""
    row: Row
    guessed: tuple[str, ...] = ()


@dataclass
class Points:
    """All good points, in degrees or metres, and lines of a table."""

    points: list[Point] = field(default_factory=list)
    controller: Point | None = None
    in_degrees: bool = True
    unit: str = ""
    """The unit of x and y; empty where none is given."""
    lines: list[list[tuple[float, float]]] = field(default_factory=list)


def take_points(found: Found, known: Known) -> Points:
    """Every good row as a point; the others become findings of ``found``."""
    taken = Points(in_degrees=not any("x" in row.cells for row in found.rows))
    without_ids = not any("id" in row.cells for row in found.rows if "line" not in row.cells)
    first: dict[str, dict[str, Row]] = {"id": {}, "station": {}, "address": {}}
    lines: dict[str, list[tuple[float, float]]] = {}
    width = max(2, len(str(len(found.rows))))
    for number, row in enumerate(found.rows, 1):
        place = _place(row, taken.in_degrees)
        if isinstance(place, Placed):
            found.keep(place)
            continue
        if "line" in row.cells:
            lines.setdefault(row.cells["line"], []).append(place)
            continue
        made_up = f"P{number:0{width}d}" if without_ids else ""
        point = _point(row, place, made_up, known)
        wrong = point if isinstance(point, Placed) else _again(point, first)
        if wrong is not None:
            found.keep(wrong)
        elif isinstance(point, Point) and point.id.casefold() == CONTROLLER:
            taken.controller = point
        elif isinstance(point, Point):
            taken.points.append(point)
    taken.unit = next((row.cells["unit"] for row in found.rows if "unit" in row.cells), "")
    taken.lines = [each for each in lines.values() if len(each) > 1]
    if sum(len(each) - 1 for each in (*found.lines, *taken.lines)) > MOST_PIECES:
        found.too_many_pieces(found.rows[0].file, 1)
    return taken


def _place(row: Row, in_degrees: bool) -> tuple[float, float] | Placed:
    """Where a row is, in degrees or metres."""
    keys = ("lon", "lat") if in_degrees else ("x", "y")
    numbers = []
    for key in keys:
        text = row.cells.get(key, "")
        try:
            number = float(text) if text.isascii() and "_" not in text else math.nan
        except ValueError:
            number = math.nan
        if not math.isfinite(number):
            said, expected = f"{key} is empty", "degrees with decimals" if in_degrees else "a plain number"
            if text:
                said = f"{key}: {shown(text)} is not a number"
            if _WITH_COMMA.fullmatch(text):
                expected = "a decimal point; or semicolons between the columns, and a comma in every number"
                return row.wrong(said, text, expected, comma_mend(text))
            return row.wrong(said, text, expected)
        numbers.append(number)
    if in_degrees:
        for key, number, most in (("lon", numbers[0], 180), ("lat", numbers[1], 90)):
            if abs(number) > most:
                hint = "longitude comes first, then latitude" if key == "lat" and abs(numbers[0]) <= 90 else ""
                return row.wrong(f"{key}: {number:g} is outside -{most} to {most}", row.cells[key], "degrees", hint)
        return numbers[0], numbers[1]
    unit = row.cells.get("unit", "m").casefold()
    if unit not in UNIT_M:
        return row.wrong(f"unit: {shown(unit)} is not known", unit, ", ".join(UNIT_M))
    metres = numbers[0] * UNIT_M[unit], numbers[1] * UNIT_M[unit]
    for key, number in zip(keys, metres, strict=True):
        if abs(number) > FURTHEST_M:
            said = f"{key}: {row.cells[key][:40]} is further than {FURTHEST_M / 1000:,.0f} km"
            return row.wrong(said, row.cells[key])
    return metres


def _point(row: Row, place: tuple[float, float], made_up: str, known: Known) -> Point | Placed:
    identity = made_up or row.cells.get("id", "")
    if not identity:
        return row.wrong("it has no id", expected="an id for each point, as other rows have")
    for key, text in row.cells.items():
        bad = UNPRINTABLE.search(text)
        if bad is not None:
            return row.wrong(f"{key}: the character U+{ord(bad[0]):04X} cannot be printed", hint="delete the character")
        if text.startswith(SET_ME):
            return row.wrong(f"{key}: {SET_ME} marks a value that is not set", text, hint="leave the cell empty")
    if identity.casefold() == UNKNOWN or identity.casefold().startswith(ASSUMED):
        return row.wrong(f"the id {identity[:40]} begins as a fact does that nobody is sure of", identity,
                         "another id, such as B01")  # fmt: skip
    if identity.casefold() == CONTROLLER:
        return Point(CONTROLLER, place, {}, (), None, row)
    stations = _stations(row)
    if isinstance(stations, Placed):
        return stations
    outputs = row.cells.get("outputs")
    if outputs is not None and not (outputs.isascii() and outputs.isdigit() and int(outputs[:6]) <= MOST_STATIONS):
        return row.wrong(f"outputs: {shown(outputs)} is not a number of outputs", outputs,
                         f"a whole number up to {MOST_STATIONS}")  # fmt: skip
    facts = {key: text for key, text in row.cells.items() if key not in OWN_KEYS}
    if "surface" in facts:
        facts["surface"] = _surface(facts["surface"])
    wrong = _unknown_name(row, facts, known) or _refused(row, identity, facts, stations)
    if wrong is not None:
        return wrong
    guessed = ("id made up",) if made_up else ()
    point = Point(identity, place, facts, stations, int(outputs) if outputs and not stations else None, row, guessed)
    return _with_device(point, known)


def _with_device(point: Point, known: Known) -> Point | Placed:
    """The point with a device that has outputs for its stations, where the row names none and the usual one has too
    few; a row that asks for more than its own device has is wrong."""
    wanted = len(point.stations) or point.outputs or 0
    named = point.facts.get("device")
    name = named or known.device
    if name == NO_DEVICE or name is None:
        if wanted:
            return point.row.wrong("it has stations and no device", expected="a device on this point, or no stations")
        return point
    has = known.outputs.get(name)
    if has is None or wanted <= has:
        return point
    if named is None:
        enough = sorted((number, i) for i, number in enumerate(known.outputs.values()) if number >= wanted)
        if enough:
            chosen = list(known.outputs)[enough[0][1]]
            return replace(
                point, facts={**point.facts, "device": chosen}, guessed=(*point.guessed, "device by its outputs")
            )
    return point.row.wrong(
        f"it has {count(wanted, 'station', 'stations')}, and the device {name} has {count(has, 'output', 'outputs')}",
        named or "", f"at most {has}",
    )  # fmt: skip


def _stations(row: Row) -> tuple[int, ...] | Placed:
    """The numbers of ``1 2``, ``1;2``, ``1, 2`` or ``1-2``."""
    text = row.cells.get("stations", "")
    numbers: list[int] = []
    for piece in text.replace(";", " ").replace(",", " ").replace("/", " ").strip("[] ").split():
        some = span(piece)
        if not some or len(numbers) + len(some) > MOST_STATIONS:
            return row.wrong(f"stations: {shown(text)} is not a list of station numbers", text, "as 1 2, or 1-2")
        numbers += some
    twice = next((number for number in numbers if numbers.count(number) > 1), None)
    if twice is not None:
        return row.wrong(f"station {twice} is given twice", text, "a station number for each output")
    return tuple(numbers)


def _unknown_name(row: Row, facts: dict[str, str], known: Known) -> Placed | None:
    for key, table in TABLES.items():
        name = facts.get(key)
        if name is None or (key == "device" and name == NO_DEVICE) or name in known.names.get(table, ()):
            continue
        hint = did_you_mean(name, known.names.get(table, ()))
        there = listed(known.names.get(table, ())) or "a name of the base job"
        return row.wrong(f"{key}: {shown(name)} is not under {table} in the base job", name, there, hint)
    return None


def _refused(row: Row, identity: str, facts: dict[str, str], stations: tuple[int, ...]) -> Placed | None:
    """What the job file would refuse in this box, by its own rules."""
    raw: dict[str, Any] = {key: resolve(text) if not surprise(text)[0] else text for key, text in facts.items()}
    if raw.get("device") == NO_DEVICE:
        del raw["device"]
    assumed = {key: text[len(ASSUMED) :] for key, text in facts.items() if text.casefold().startswith(ASSUMED)}
    raw |= {key: resolve(text.strip()) for key, text in assumed.items() if text.strip() and key not in ("name", "note")}
    if facts.get("address", "").casefold() == UNKNOWN:
        del raw["address"]
    raw.setdefault("surface", SURFACES[0])
    try:
        Box.model_validate({"id": identity, "from": CONTROLLER, "run": "1 m", "stations": list(stations), **raw})
    except ValidationError as error:
        detail = error.errors(include_url=False)[0]
        context, key = detail.get("ctx") or {}, str(detail["loc"][0]) if detail["loc"] else ""
        words = identity if key == "id" else facts.get(key, "")
        if "message" in context:
            said = f"{key}: {context['message']}"
            return row.wrong(said, words, context.get("expected", ""), context.get("hint", ""))
        expected = str(context.get("expected", "")).replace("'", "")
        said = f"{key}: {shown(words)} is not one of the words known here"
        return row.wrong(said, words, expected, _meant_surface(words) if key == "surface" else "")
    return None


def _surface(text: str) -> str:
    """A surface as the job writes it: ``Lawn`` and ``LAWN`` are ``lawn``."""
    assumed, word = without_assumed(text)
    return f"{assumed}{word.casefold()}" if word.casefold() in SURFACES else text


def _meant_surface(text: str) -> str:
    """The surface that was most likely meant, as a hint; nothing where none is near."""
    word = without_assumed(text)[1].casefold()
    meant = next((surface for surface, words in OTHER_WORDS.items() if word in words), "")
    return f"did you mean {meant}?" if meant else did_you_mean(word, SURFACES)


def _again(point: Point, first: dict[str, dict[str, Row]]) -> Placed | None:
    """What this point has that an earlier one has too: id, station or address; a new point is noted."""
    mine = [("id", point.id.casefold() if point.id.casefold() == CONTROLLER else point.id)]
    mine += [("station", str(number)) for number in point.stations]
    mine += [("address", point.facts["address"])] if point.facts.get("address", UNKNOWN).casefold() != UNKNOWN else []
    for kind, value in mine:
        earlier = first[kind].get(value)
        if earlier is not None:
            where = earlier.name if earlier.file is point.row.file else f"{earlier.file.name}, {earlier.name}"
            said = f"the {kind} {shown(value)} is that of {where} too"
            return point.row.wrong(said, value, f"{'an' if kind != 'station' else 'a'} {kind} of its own")
    for kind, value in mine:
        first[kind][value] = point.row
    return None
