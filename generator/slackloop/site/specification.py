"""What the job is built from and to: ground, supply, parts and rules; a firm's standard may state these too."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from slackloop.site.fields import (
    AreaRange,
    Capacitance,
    CapacitanceOfLength,
    Conductor,
    ConductorRange,
    CountRange,
    Current,
    Frequency,
    Insulation,
    Length,
    Percent,
    Price,
    Resistance,
    Resistivity,
    TemperatureRange,
    Volts,
    ZeroOrMoreCurrent,
    ZeroOrMoreLength,
    ZeroOrMoreResistance,
    ZeroOrMoreVolts,
)
from slackloop.site.plain_fields import AtOnce, Count, Name, NonEmptyText, PositiveCount, Text, Truth

Build = Literal["solid", "stranded", "flexible"]
"""How a core is made: IEC 60228 class 1, class 2, class 5."""

_BUILD = "Build of each conductor: solid, stranded or flexible (IEC 60228 class 1, 2 or 5)."
_PART = "The order number that the job uses for it, printed where it is ordered."


def optional(description: str) -> Any:
    """A key that may be left out."""
    return Field(default=None, description=description)


class Part(BaseModel):
    """A map in the job file: unknown keys are refused, values never change after reading."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        arbitrary_types_allowed=True,
        populate_by_name=False,
        defer_build=True,  # the whole job is checked as one: validators of its parts would be built for nothing
    )


class Conditions(Part):
    """The ground and the site."""

    soil: Name = Field(description="Kind of soil, as common earth; it sets the volumes that are dug.")
    soil_resistivity: Resistivity | None = Field(
        default=None, description="Measured soil resistivity, as 60 ohm m; without it the handbook asks for it."
    )
    soil_temperature: TemperatureRange = Field(description="Coldest and hottest at cable depth, as 4 degC to 28 degC.")
    frost_depth: Length | None = optional("Depth to which the ground freezes.")
    hazards: tuple[NonEmptyText, ...] = Field(
        default=(), description="Hazards of this site, besides the standing ones."
    )


class SupplyLimits(Part):
    """What the makers' sheets allow on one path; each is held by the check where it is given."""

    devices: PositiveCount | None = optional("The most devices on the path.")
    farthest: Length | None = optional("The most cable from the controller to a box, with the slack in the boxes.")
    total: Length | None = optional("The most cable on the path, with the slack in the boxes.")
    branch_devices: PositiveCount | None = optional("The most devices on any one way from the controller.")
    capacitance: Capacitance | None = optional("The most capacitance of all cable together, as 1.5 uF.")


class Supply(Part):
    """The controller's end of the path."""

    volts: Volts = Field(description="Volts at the controller's path terminals.")
    lowest: Volts | None = optional("Lowest volts at the path terminals; as volts when left out.")
    frequency: Frequency | None = optional("Frequency of an ac supply, as 60 Hz; that of the code basis when left out.")
    current: Literal["ac", "dc"] = Field(description="Kind of current: ac or dc.")
    limit: Current = Field(description="The most current that the controller can deliver to the path.")
    stations_at_once: AtOnce = Field(description="The most outputs that may run together.")
    source_resistance: ZeroOrMoreResistance | None = optional("Resistance of the source itself; 0 ohm when left out.")
    ring_allowed: Truth = Field(default=False, description="Whether the device maker permits a closed ring.")
    always_on: tuple[PositiveCount, ...] = Field(
        default=(), description="Stations that run in every case, as a master valve: [1]."
    )
    limits: SupplyLimits | None = Field(
        default=None,
        description="Limits of the makers' sheets: devices, farthest, total, branch_devices, capacitance.",
    )


class Cores(Part):
    """The two cores of a cable, by the colour printed on the reel."""

    a: NonEmptyText = Field(description="Colour of the first core.")
    b: NonEmptyText = Field(description="Colour of the second core.")


class Cable(Part):
    """One kind of two-core cable."""

    conductor: Conductor = Field(description="Size of each core, as 14 AWG or 2.5 mm2.")
    build: Build = Field(description=_BUILD)
    cores: Cores = Field(description="Colours of cores a and b as printed on the reel; there is no default.")
    jacket: Text = Field(default="", description="Material of the outer jacket; leave out for an unjacketed cable.")
    jacket_od: Length | None = optional("Outside diameter of the cable.")
    reel: Length | None = optional("Length of cable on one reel.")
    least_bend: Length | None = optional("Least bending radius, from the cable maker's sheet.")
    capacitance: CapacitanceOfLength | None = Field(
        default=None, description="Capacitance between the cores, from the cable maker's sheet, as 60 nF/km."
    )
    existing: Truth = Field(
        default=False, description="Whether every run of this cable was there before: neither dug nor ordered."
    )
    armour: Truth = Field(default=False, description="Whether the cable is armoured.")
    part: Text = Field(default="", description=_PART)
    price: Price | None = Field(
        default=None, description="The job's own price, as 0.62 /m or 0.19 /ft, without a currency; to compare cables."
    )


class Leads(Part):
    """The tails that a device or solenoid comes with."""

    conductor: Conductor = Field(description="Size of each lead.")
    build: Build = Field(description=_BUILD)


class Device(Part):
    """One kind of addressable decoder."""

    title: NonEmptyText = Field(description="What the crew calls it.")
    outputs: Count = Field(description="How many outputs it has; 0 for a sensor.")
    standby: ZeroOrMoreCurrent = Field(description="Current drawn from the path with all outputs off.")
    per_output: Current | None = optional("Extra current for each output that runs; needed where there are outputs.")
    load: Literal["current", "power"] = Field(
        description="How the current goes as volts fall: current (it stays the same) or power (it rises)."
    )
    least_volts: Volts = Field(
        description="Least volts of the device, at its path leads: below this it is out of range."
    )
    most_volts: Volts | None = optional("The most volts that its path leads may see.")
    leads: Leads = Field(description="The device's own tails, for the splice check.")
    output_volts: Volts | None = Field(
        default=None, description="Volts that an output gives to its solenoid, where the device regulates them."
    )
    output_drop: ZeroOrMoreVolts | None = Field(
        default=None, description="Volts lost from the path to the output, where the output follows the path."
    )
    part: Text = Field(default="", description=_PART)


class Solenoid(Part):
    """One kind of valve solenoid."""

    inrush: Current = Field(description="Current while the plunger pulls in.")
    holding: ZeroOrMoreCurrent = Field(description="Current while it holds.")
    least_volts: Volts = Field(description="Least volts at the solenoid for it to pull in.")
    leads: Leads | None = Field(
        default=None, description="The solenoid's own tails, for the splice check; as the device's leads when left out."
    )


class Connector(Part):
    """One kind of splice connector, from the maker's sheet."""

    title: NonEmptyText = Field(description="What the crew calls it.")
    listing: Text = Field(description="Listing or standard as printed on the pack.")
    sizes: ConductorRange = Field(description="Smallest and largest conductor it takes, as 18 AWG to 10 AWG.")
    wires: CountRange = Field(description="Fewest and most conductors in one splice, as 2 to 5.")
    area: AreaRange = Field(description="Least and most total copper in one splice, as 2.1 mm2 to 14 mm2.")
    strip: Length = Field(description="Bare copper to prepare for this connector.")
    pack: PositiveCount = Field(description="How many a pack holds.")
    part: Text = Field(default="", description=_PART)
    closing: Text = Field(
        default="",
        description="How the connector is closed, in the words of its pack; when left out, the pack is followed.",
    )


class Slack(Part):
    """Spare cable left in each box."""

    length: ZeroOrMoreLength = Field(description="Slack left: its length.")
    per: Literal["tail", "box"] = Field(
        description="What the slack is counted by: tail (each cable end in a box) or box (shared by its tails)."
    )


class Rod(Part):
    """One earth rod."""

    length: Length = Field(description="Length of the rod.")
    diameter: Length = Field(description="Diameter of the rod.")


class SurgePart(Part):
    """The part at an electrode that leads a surge to earth; its leads join the path splices of that box."""

    title: NonEmptyText = Field(description="What the crew calls it.")
    leads: Leads = Field(description="Its own tails, one for each core, for the splice check.")


class Earthing(Part):
    """Where electrodes stand and what they must reach; always the job's own specification."""

    every_boxes: PositiveCount = Field(description="Most boxes from one electrode to the next along the path.")
    every_run: Length = Field(description="Most run from one electrode to the next along the path.")
    branch_ends: Truth = Field(description="Whether each branch end gets an electrode.")
    rod: Rod = Field(description="The rod used.")
    target: Resistance = Field(description="Most resistance of one electrode to earth.")
    clear_of_cable: Length = Field(description="Least distance from the rod to the cable.")
    surge_part: SurgePart | None = Field(
        default=None,
        description="Surge part at each electrode box; stated, its leads count in the splices there and it is ordered.",
    )


class InsulationTest(Part):
    """Insulation test of the pair."""

    volts: Insulation = Field(description="Test volts, dc.")
    least: Resistance = Field(description="Least reading that passes.")


class LoopMeter(Part):
    """How far the meter may read from the truth, from its maker's sheet."""

    percent: Percent | None = optional("Part of the reading; 1 % when left out.")
    ohms: ZeroOrMoreResistance | None = optional("Added to that part of a loop reading; 0.05 ohm when left out.")
    volts: ZeroOrMoreVolts | None = optional("Added to that part of a reading of volts; 0.1 V when left out.")


class Tests(Part):
    """Tests before backfill."""

    insulation: InsulationTest = Field(description="Insulation test, devices off the pair.")
    loop_tolerance: Percent = Field(
        description="How far the loop of a good run may lie from the computed value, the meter's error aside."
    )
    meter: LoopMeter | None = Field(
        default=None,
        description="Error of the meter, which widens the limits; 1 % and 0.05 ohm or 0.1 V when left out.",
    )


class Rules(Part):
    """What the job asks of the work."""

    slack: Slack = Field(description="Spare cable left in each box.")
    strip: Length = Field(description="Bare copper at each wire end.")
    cover: Length = Field(description="Chosen cover over the cable; checked against the code basis.")
    waste: Percent = Field(description="Added to cable when it is ordered.")
    spare: Percent = Field(description="Added to connectors and small parts when they are ordered.")
    earthing: Earthing = Field(description="Earth electrodes along the path.")
    tests: Tests = Field(description="Tests before backfill.")


class Trench(Part):
    """The trench."""

    width: Length = Field(description="Width of the trench.")
    shared_with_pipe: Length | None = Field(
        default=None, description="Outside diameter of the pipe in the trench; leave out for a trench of its own."
    )
    bedding: ZeroOrMoreLength = Field(description="Thickness of bedding under and around.")
    warning_tape: Truth = Field(description="Whether warning tape is laid.")
