"""Valve boxes as a job file states them: one box, a chain of boxes, what all of them share, what is in a box."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

from pydantic import (
    BeforeValidator,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    ValidatorFunctionWrapHandler,
    WrapSerializer,
    WrapValidator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from slackloop.site.fields import Length
from slackloop.site.plain_fields import (
    BoxId,
    Coordinates,
    Name,
    NonEmptyText,
    PositiveCount,
    RunEnd,
    Text,
    Truth,
    whole_number,
)
from slackloop.site.site_contacts import Language
from slackloop.site.specification import Part, optional

Surface = Literal["lawn", "planting", "gravel", "path", "paved", "driveway", "drive", "road", "building"]
SURFACES: tuple[Surface, ...] = (
    "lawn", "planting", "gravel", "path", "paved", "driveway", "drive", "road", "building",
)  # fmt: skip
SURFACE_WORDS = (
    "What the run passes under: lawn, planting, gravel, path (a footpath), paved (no vehicles), driveway (of a one- or "
    "two-family dwelling), drive (any other drive, or parking), road or building."
)
NOTE_IN_ENGLISH = "(In English. Have it explained to you.)"
NO_DEVICE = "none"
"""What ``device`` says at a box without one, where ``path.each`` gives every other box a device."""

_DEVICE = "A name in devices; leave out, or write none, for a branch box."


def _or_none(value: object) -> object:
    return None if isinstance(value, str) and value.strip() == NO_DEVICE else value


DeviceName = Annotated[Name | None, BeforeValidator(_or_none)]
"""A name in devices, or the word for none."""


class BoxSize(Part):
    """Inside size of a valve box."""

    length: Length = Field(description="Inside length.")
    width: Length = Field(description="Inside width.")
    depth: Length = Field(description="Inside depth.")


class Station(Part):
    """One station: a number alone, or a map with what differs from the others of the box."""

    number: PositiveCount = Field(description="The station's number.")
    name: Text = Field(default="", description="What people call it, as North lawn.")
    lead: Length | None = optional("Length of its own lead, where it differs.")
    lead_cable: Name | None = optional("The cable of its own lead, where it differs.")
    solenoid: Name | None = optional("Its own solenoid, where it differs.")

    @property
    def is_plain(self) -> bool:
        """Whether it says nothing but its number."""
        return not (self.name or self.lead or self.lead_cable or self.solenoid)


class _StationSchema:
    """A station in the JSON Schema: a whole number, or a map."""

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"anyOf": [{"type": "integer", "minimum": 1}, handler(core)]}


def _read_station(value: object, handler: ValidatorFunctionWrapHandler) -> Station:
    if isinstance(value, dict | Station):
        found: Station = handler(value)
        return found
    plain: Station = handler({"number": whole_number(value)})
    return plain


def _write_station(station: Station, handler: object) -> object:
    return station.number if station.is_plain else handler(station)  # type: ignore[operator]


StationEntry = Annotated[Station, WrapValidator(_read_station), WrapSerializer(_write_station), _StationSchema()]


class BoxDevice(Part):
    """One device of a box that holds several."""

    device: Name = Field(description="A name in devices.")
    address: Text = Field(default="", description="Address set in this device.")
    stations: tuple[StationEntry, ...] = Field(
        default=(), description="Stations on this device's outputs: numbers, or maps with number, name, lead, …"
    )


class Crossing(Part):
    """A sleeve for the run where it passes under something."""

    sleeve: Length = Field(description="Size of the sleeve, its diameter.")
    length: Length = Field(description="Length of the sleeve.")
    depth: Length = Field(description="Cover over the sleeve.")
    owner: Text = Field(default="", description="Who owns what is crossed; left out: a line to fill in.")
    permit: Text = Field(default="", description="The permission to cross, number and date; left out: a line to fill.")
    method: Literal["open", "bored", "existing"] = Field(
        default="open",
        description="open: in a trench; bored: nothing is dug over the length of the sleeve; existing: the sleeve is "
        "there already, so it is neither dug nor ordered.",
    )


class SharedKeys(Part):
    """What a box, a chain of boxes and ``path.each`` may all state."""

    lead: Length | None = optional("Length of the lead to the solenoid; 1 m when left out.")
    lead_cable: Name | None = optional("The cable used for the lead, where it differs.")
    cable: Name | None = optional("The cable of the run to this box, where it differs.")
    connector: Name | None = optional("The connector used in this box, where it differs.")
    solenoid_connector: Name | None = optional("The connector used on the solenoid side of this box, where it differs.")
    solenoid: Name | None = optional("The solenoid of this box, where it differs.")
    cover: Length | None = optional("Cover over the run to this box, where it differs.")
    duct: Length | None = optional("Inside diameter of a duct for the whole run to this box.")
    box: BoxSize | None = optional("Inside size of this box, where it differs.")
    existing: Truth = Field(
        default=False,
        description="true: the box, its devices and the run to it were there before; nothing of them is dug or "
        "ordered.",
    )
    phase: Text = Field(
        default="",
        description="The phase of the work in which it is done, as 2A; phases follow in the order in which they are "
        "first named.",
    )


def _each_may_state(schema: JsonSchemaValue) -> None:
    """A surface may be left out where ``path.each`` states it, which no schema of one box can see."""
    schema["required"] = [key for key in schema["required"] if key != "surface"]


class Box(SharedKeys):
    """One valve box and the run that feeds it."""

    model_config = ConfigDict(json_schema_extra=_each_may_state)

    id: BoxId = Field(description="Id of the box, unique in the job.")
    from_: RunEnd = Field(alias="from", description="The box, or controller, that the run to this box starts from.")
    run: Length | None = optional("Length of the run along the trench, without slack.")
    at: Coordinates | None = optional("Easting and northing in metres; they give the run where run is left out.")
    surface: Surface = Field(description=SURFACE_WORDS)
    device: DeviceName = optional(_DEVICE)
    stations: tuple[StationEntry, ...] = Field(
        default=(), description="Stations on this device's outputs: numbers, or maps with number, name, lead, …"
    )
    address: Text = Field(default="", description="Address set in the device.")
    devices: tuple[BoxDevice, ...] = Field(
        default=(), description="Several devices in this box, in place of device, address and stations."
    )
    name: Text = Field(default="", description="A name people use for this box.")
    note: Text = Field(default="", description="A note for the crew, printed on the box page.")
    note_in: dict[Language, NonEmptyText] = Field(
        default_factory=dict, description="The note in each other language of the job, as note_in: {es: …}."
    )
    electrode: Truth = Field(default=False, description="true places an earth electrode here by hand.")
    crossing: Crossing | None = optional("A sleeve for the run to this box, where it crosses.")

    def note_for(self, language: str) -> str:
        """The note for who reads ``language``; one that is not given in it says that it is in English."""
        if not self.note or language == "en":
            return self.note
        return next((text for name, text in self.note_in.items() if name == language), f"{self.note} {NOTE_IN_ENGLISH}")

    @cached_property
    def fitted(self) -> tuple[BoxDevice, ...]:
        """The devices in this box, however the job states them."""
        if self.devices:
            return self.devices
        if self.device is None:
            return ()
        return (BoxDevice.model_construct(device=self.device, address=self.address, stations=self.stations),)

    @property
    def station_numbers(self) -> tuple[int, ...]:
        """The numbers of all stations of this box."""
        if not self.devices:
            return tuple([station.number for station in self.stations]) if self.device is not None else ()
        return tuple([station.number for device in self.devices for station in device.stations])


class Each(SharedKeys):
    """What holds for every box that does not say otherwise."""

    run: Length | None = optional("Length of the run, for a box without coordinates.")
    surface: Surface | None = optional(SURFACE_WORDS)
    device: Name | None = optional("A name in devices; a box without one writes device: none.")


class Chain(SharedKeys):
    """Boxes one after the other, each fed from the one before; written out before anything is computed."""

    ids: Annotated[str, Field(pattern=r"^.*[0-9]+ *\.\. *.*[0-9]+$")] = Field(
        description="First and last id, as B03..B12; ids count up with the width of the first."
    )
    from_: RunEnd = Field(alias="from", description="The box, or controller, that the first of them is fed from.")
    run: Length = Field(description="Length of each run along the trench, without slack.")
    surface: Surface | None = optional(SURFACE_WORDS)
    device: Name | None = optional(_DEVICE)
    stations: Annotated[str, Field(pattern=r"^from [0-9]+$")] = Field(
        default="", description="from 5: as many numbers for each box as its device has outputs, going on."
    )
    address: Annotated[str, Field(pattern=r"^from .*[0-9]+$")] = Field(
        default="", description="from 105: one for each device, counting up."
    )
