"""A forgiving view of the job's plain values, so that checks run even where other fields are wrong."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from slackloop.site.plain_fields import CONTROLLER
from slackloop.site.valve_boxes import NO_DEVICE
from slackloop.source.ambiguous_scalar import TypedScalar
from slackloop.source.finding import At
from slackloop.source.source_map import Places
from slackloop.units.conductor_size import parse_conductor
from slackloop.units.quantity import parse_quantity
from slackloop.units.unit_table import QuantityError

BOXES: At = ("path", "boxes")
CLOSURES: At = ("path", "ring_closures")


def text_of(value: object) -> str | None:
    """The text of a scalar that is not empty, else nothing."""
    if isinstance(value, str) and value.strip():
        return str(value)
    return None


def box_id(box: dict[str, object], index: int) -> str:
    """What a box is called in a message: its id, else its number in the list."""
    return text_of(box.get("id")) or f"box {index + 1} of the list"


def whole_of(value: object) -> int | None:
    """The whole number that a scalar states, else nothing."""
    number = value.value if isinstance(value, TypedScalar) else value
    return number if isinstance(number, int) and not isinstance(number, bool) else None


def is_true(value: object) -> bool:
    """Whether a scalar states true."""
    return value is True or (isinstance(value, TypedScalar) and value.value is True)


def length_of(value: object) -> float | None:
    """The length in m that a scalar states, else nothing."""
    return quantity_of(value, "length")


def quantity_of(value: object, dimension: str) -> float | None:
    """The quantity of a dimension that a scalar states, in the unit used inside, else nothing."""
    text = text_of(value)
    if text is None:
        return None
    try:
        return parse_quantity(text, dimension).si
    except QuantityError:
        return None


def copper_m_of(value: object) -> float | None:
    """The diameter in m of the copper of a conductor that a scalar states, taken as one round wire; else nothing."""
    try:
        return 2.0 * math.sqrt(parse_conductor(text_of(value) or "").area_mm2 / math.pi) / 1000.0
    except QuantityError:
        return None


@dataclass(frozen=True)
class RawDevice:
    """What a box says of one device: its place, and its stations, each with its place, number and keys of its own."""

    box_index: int
    box: dict[str, object]
    at: At
    facts: dict[str, object]
    stations: tuple[tuple[At, int | None, dict[str, object]], ...]

    @property
    def name(self) -> str | None:
        """The name of the device, nothing where there is none."""
        name = text_of(self.facts.get("device"))
        return None if name == NO_DEVICE else name


class RawJob:
    """Plain maps and lists of one job, with the places of its keys."""

    def __init__(self, raw: object, places: Places, refused: set[At], file: str) -> None:
        self._raw = raw
        self.places = places
        self.refused = refused
        self.file = file

    def get(self, *at: str | int) -> object:
        """The value at a key path, or nothing."""
        value = self._raw
        for part in at:
            if isinstance(value, dict) and isinstance(part, str):
                value = value.get(part)
            elif isinstance(value, list) and isinstance(part, int) and part < len(value):
                value = value[part]
            else:
                return None
        return value

    def map_at(self, *at: str | int) -> dict[str, object]:
        """The map at a key path, or an empty one."""
        value = self.get(*at)
        return value if isinstance(value, dict) else {}

    def _maps(self, at: At) -> list[tuple[int, dict[str, object]]]:
        value = self.get(*at)
        items = value if isinstance(value, list) else []
        return [(index, item) for index, item in enumerate(items) if isinstance(item, dict)]

    @cached_property
    def boxes(self) -> list[tuple[int, dict[str, object]]]:
        """Every box that is a map, with its number in the list."""
        return self._maps(BOXES)

    @cached_property
    def closures(self) -> list[tuple[int, dict[str, object]]]:
        """Every ring closure that is a map, with its number in the list."""
        return self._maps(CLOSURES)

    @cached_property
    def index_of(self) -> dict[str, int]:
        """The number in the list of the first box with each id."""
        found: dict[str, int] = {}
        for index, box in self.boxes:
            identity = text_of(box.get("id"))
            if identity is not None:
                found.setdefault(identity, index)
        return found

    @cached_property
    def fitted(self) -> list[RawDevice]:
        """What every box says of its device, or of each of several; a box that says nothing of one is there too."""
        found: list[RawDevice] = []
        for index, box in self.boxes:
            found.append(_raw_device(index, box, (*BOXES, index), box))
            several = box.get("devices")
            for place, facts in enumerate(several if isinstance(several, list) else ()):
                if isinstance(facts, dict):
                    found.append(_raw_device(index, box, (*BOXES, index, "devices", place), facts))
        return found

    @cached_property
    def box_at(self) -> dict[int, dict[str, object]]:
        """The boxes by their number in the list."""
        return dict(self.boxes)

    @cached_property
    def run_cables(self) -> set[str]:
        """Names of the cables that some run uses."""
        default = text_of(self.get("path", "cable"))
        named = {text_of(part.get("cable")) or default for _, part in (*self.boxes, *self.closures)}
        return {name for name in named if name is not None}

    def ends(self) -> Iterator[str]:
        """Every id that a run may start from."""
        yield CONTROLLER
        yield from self.index_of

    def from_job(self, at: At) -> bool:
        """Whether a key stands in the job file itself and not in the standard."""
        return self.places.locate_key(at).file == self.file


def _raw_device(index: int, box: dict[str, object], at: At, facts: dict[str, object]) -> RawDevice:
    stations = facts.get("stations")
    found: list[tuple[At, int | None, dict[str, object]]] = []
    for place, value in enumerate(stations if isinstance(stations, list) else ()):
        here = (*at, "stations", place)
        if isinstance(value, dict):
            found.append(((*here, "number"), whole_of(value.get("number")), value))
        else:
            found.append((here, whole_of(value), {}))
    return RawDevice(index, box, at, facts, tuple(found))
