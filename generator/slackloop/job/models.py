"""The job as typed data: every key of the job file, with its meaning and its default.

The models say what each key may hold; places in the file are kept apart (see ``places``),
so that these objects stay plain and can be built in a test without any file.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from slackloop.job.fields import (
    AreaRange,
    BoxId,
    Conductor,
    ConductorRange,
    Coordinates,
    Count,
    CountRange,
    Current,
    FormatOne,
    Insulation,
    IsoDate,
    Length,
    Name,
    NonEmptyText,
    Percent,
    PositiveCount,
    Resistance,
    Resistivity,
    RunEnd,
    TemperatureRange,
    Text,
    Truth,
    Volts,
    WebAddress,
    ZeroOrMoreCurrent,
    ZeroOrMoreLength,
    ZeroOrMoreResistance,
)

Surface = Literal["lawn", "planting", "path", "driveway", "road", "building"]
SURFACES: tuple[Surface, ...] = ("lawn", "planting", "path", "driveway", "road", "building")

DocumentStatus = Literal["draft", "for construction", "as built"]


class Part(BaseModel):
    """A map in the job file: unknown keys are refused, values never change after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, populate_by_name=False)


class JobFacts(Part):
    """What the job is called and who issues it."""

    number: NonEmptyText = Field(description="Job number, printed on every page.")
    title: NonEmptyText = Field(description="Title of the work.")
    site: NonEmptyText = Field(description="Name of the site.")
    client: Text = Field(default="", description="Who the work is for.")
    contractor: NonEmptyText = Field(description="Who issues the handbook and answers for the work.")
    units: Literal["metric", "us"] = Field(description="Unit system shown first; both are shown where a crew measures.")
    code_basis: Name = Field(description="Name of a file in site_data/code_basis/: us, uk or general.")
    address: WebAddress = Field(
        default="", description="Where the handbook will be hosted (https://…); codes to scan then open the box page."
    )


class HistoryEntry(Part):
    """One earlier revision."""

    revision: NonEmptyText = Field(description="Letter or number of that revision.")
    date: IsoDate = Field(description="Its date, as 2026-02-10.")
    change: NonEmptyText = Field(description="What changed, in one line.")


class DocumentFacts(Part):
    """The state of the document."""

    revision: NonEmptyText = Field(description="Letter or number of this revision.")
    date: IsoDate = Field(description="Date of this revision, as 2026-03-02.")
    status: DocumentStatus = Field(description="draft, for construction or as built.")
    prepared: Text = Field(description="Role or name of who prepared it.")
    checked: Text = Field(default="", description="Who checked it; empty until it is done.")
    approved: Text = Field(default="", description="Who approved it; empty until it is done.")
    history: tuple[HistoryEntry, ...] = Field(default=(), description="Earlier revisions, oldest first.")


class Conditions(Part):
    """The ground and the site."""

    soil: Name = Field(description="A row of site_data/soils.yml.")
    soil_resistivity: Resistivity | None = Field(
        default=None, description="Measured soil resistivity, as 60 ohm m; without it the handbook says what to measure."
    )
    soil_temperature: TemperatureRange = Field(description="Coldest and hottest at cable depth, as 4 degC to 28 degC.")
    frost_depth: Length | None = Field(default=None, description="Depth to which the ground freezes.")
    hazards: tuple[NonEmptyText, ...] = Field(default=(), description="Hazards of this site, besides the standing ones.")


class Supply(Part):
    """The controller's end of the path."""

    volts: Volts = Field(description="Volts at the controller's path terminals.")
    current: Literal["ac", "dc"] = Field(description="ac or dc.")
    limit: Current = Field(description="The most current that the controller can deliver to the path.")
    stations_at_once: Count = Field(description="The most outputs that may run together.")
    source_resistance: ZeroOrMoreResistance | None = Field(
        default=None, description="Resistance of the source itself; 0 ohm when left out."
    )
    ring_allowed: Truth = Field(default=False, description="Whether the device maker permits a closed ring.")


class Cores(Part):
    """The two cores of a cable, by the colour printed on the reel."""

    a: NonEmptyText = Field(description="Colour of the first core.")
    b: NonEmptyText = Field(description="Colour of the second core.")


class Cable(Part):
    """One kind of two-core cable."""

    conductor: Conductor = Field(description="Size of each core, as 14 AWG or 2.5 mm2.")
    build: Literal["solid", "stranded"] = Field(description="solid or stranded.")
    cores: Cores = Field(description="Colours of cores a and b as printed on the reel; there is no default.")
    jacket: Text = Field(default="", description="Material of the outer jacket; leave out for an unjacketed cable.")
    jacket_od: Length | None = Field(default=None, description="Outside diameter of the cable.")
    reel: Length | None = Field(default=None, description="Length of cable on one reel.")
    least_bend: Length | None = Field(default=None, description="Least bending radius, from the cable maker's sheet.")


class Leads(Part):
    """The tails that a device or solenoid comes with."""

    conductor: Conductor = Field(description="Size of each lead.")
    build: Literal["solid", "stranded"] = Field(description="solid or stranded.")


class Device(Part):
    """One kind of addressable decoder."""

    title: NonEmptyText = Field(description="What the crew calls it.")
    outputs: PositiveCount = Field(description="How many outputs it has.")
    standby: ZeroOrMoreCurrent = Field(description="Current drawn from the path at rest.")
    per_output: Current = Field(description="Extra current for each output that runs.")
    load: Literal["current", "power"] = Field(description="current: draw stays the same as volts fall; power: draw rises.")
    least_volts: Volts = Field(description="Below this at its path leads the device is out of range.")
    leads: Leads = Field(description="The device's own tails, for the splice check.")
    output_volts: Volts = Field(description="Volts that an output gives to its solenoid.")


class Solenoid(Part):
    """One kind of valve solenoid."""

    inrush: Current = Field(description="Current while the plunger pulls in.")
    holding: ZeroOrMoreCurrent = Field(description="Current while it holds.")
    least_volts: Volts = Field(description="Least volts at the solenoid for it to pull in.")
    leads: Leads | None = Field(
        default=None, description="The solenoid's own tails, for the splice check; taken as the device's leads when left out."
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


class Slack(Part):
    """Spare cable left in each box."""

    length: ZeroOrMoreLength = Field(description="Length left.")
    per: Literal["tail", "box"] = Field(description="tail: for each cable end in a box; box: shared by the tails of a box.")


class Rod(Part):
    """One earth rod."""

    length: Length = Field(description="Length of the rod.")
    diameter: Length = Field(description="Diameter of the rod.")


class Earthing(Part):
    """Where electrodes stand and what they must reach; always the job's own specification."""

    every_boxes: PositiveCount = Field(description="Most boxes from one electrode to the next along the path.")
    every_run: Length = Field(description="Most run from one electrode to the next along the path.")
    branch_ends: Truth = Field(description="Whether each branch end gets an electrode.")
    rod: Rod = Field(description="The rod used.")
    target: Resistance = Field(description="Most resistance of one electrode to earth.")
    clear_of_cable: Length = Field(description="Least distance from the rod to the cable.")


class InsulationTest(Part):
    """Insulation test of the pair."""

    volts: Insulation = Field(description="Test volts, dc.")
    least: Resistance = Field(description="Least reading that passes.")


class Tests(Part):
    """Tests before backfill."""

    insulation: InsulationTest = Field(description="Insulation test, devices off the pair.")
    loop_tolerance: Percent = Field(description="How far a loop reading may lie from the computed value.")


class Rules(Part):
    """What the job asks of the work."""

    slack: Slack = Field(description="Spare cable left in each box.")
    strip: Length = Field(description="Bare copper at each conductor end.")
    cover: Length = Field(description="Chosen cover over the cable; checked against the code basis.")
    waste: Percent = Field(description="Added to cable when it is ordered.")
    spare: Percent = Field(description="Added to connectors and small parts when they are ordered.")
    earthing: Earthing = Field(description="Earth electrodes along the path.")
    tests: Tests = Field(description="Tests before backfill.")


class Trench(Part):
    """The trench."""

    width: Length = Field(description="Width of the trench.")
    shared_with_pipe: Length | None = Field(
        default=None, description="Outside diameter of the pipe that shares the trench; leave out for a trench of its own."
    )
    bedding: ZeroOrMoreLength = Field(description="Thickness of bedding under and around.")
    warning_tape: Truth = Field(description="Whether warning tape is laid.")


class BoxSize(Part):
    """Inside size of a valve box."""

    length: Length = Field(description="Inside length.")
    width: Length = Field(description="Inside width.")
    depth: Length = Field(description="Inside depth.")


class Box(Part):
    """One valve box and the run that feeds it."""

    id: BoxId = Field(description="Id of the box, unique in the job.")
    from_: RunEnd = Field(alias="from", description="The box, or controller, that the run to this box starts from.")
    run: Length | None = Field(default=None, description="Length of the run along the trench, without slack.")
    at: Coordinates | None = Field(
        default=None, description="Easting and northing in metres; the run is worked out from these when run is left out."
    )
    surface: Surface = Field(description="What the run passes under: lawn, planting, path, driveway, road or building.")
    device: Name | None = Field(default=None, description="A name in devices; leave out for a branch box.")
    stations: tuple[PositiveCount, ...] = Field(default=(), description="Station numbers on this device's outputs.")
    address: Text = Field(default="", description="Address set in the device.")
    lead: Length | None = Field(default=None, description="Length of the lead to the solenoid; 1 m when left out.")
    lead_cable: Name | None = Field(default=None, description="The cable used for the lead, where it differs.")
    cable: Name | None = Field(default=None, description="The cable of the run to this box, where it differs.")
    connector: Name | None = Field(default=None, description="The connector used in this box, where it differs.")
    solenoid_connector: Name | None = Field(
        default=None, description="The connector used on the solenoid side of this box, where it differs."
    )
    solenoid: Name | None = Field(default=None, description="The solenoid of this box, where it differs.")
    cover: Length | None = Field(default=None, description="Cover over the run to this box, where it differs.")
    name: Text = Field(default="", description="A name people use for this box.")
    note: Text = Field(default="", description="A note for the crew, printed on the box page.")
    box: BoxSize | None = Field(default=None, description="Inside size of this box, where it differs.")
    electrode: Truth = Field(default=False, description="true places an earth electrode here by hand.")


class RingClosure(Part):
    """A run that closes a ring."""

    from_: RunEnd = Field(alias="from", description="A box, or controller.")
    to: RunEnd = Field(description="Another box, or controller.")
    run: Length = Field(description="Length of the run, without slack.")
    cable: Name | None = Field(default=None, description="The cable of this run, where it differs.")
    surface: Surface = Field(default="lawn", description="What the run passes under.")
    cover: Length | None = Field(default=None, description="Cover over this run, where it differs.")


class PathFacts(Part):
    """The path: every box and the run that feeds it."""

    detour: Percent | None = Field(
        default=None, description="Added to straight lines where a run is not given; 5 % when left out."
    )
    cable: Name = Field(description="Cable of every run that names no other.")
    connector: Name = Field(description="Connector of every box that names no other.")
    solenoid: Name | None = Field(default=None, description="Solenoid of every box that names no other.")
    lead_cable: Name | None = Field(
        default=None,
        description="Cable of leads longer than 1.5 m; when left out, the one cable that no run uses, if there is just one.",
    )
    solenoid_connector: Name | None = Field(
        default=None, description="Connector on the solenoid side; the path's connector when left out."
    )
    box: BoxSize | None = Field(default=None, description="Inside size of every box that states no other.")
    controller_at: Coordinates | None = Field(
        default=None, description="Where the controller stands, in metres; 0, 0 when left out and boxes have coordinates."
    )
    boxes: tuple[Box, ...] = Field(min_length=1, description="Every box, in any order.")
    ring_closures: tuple[RingClosure, ...] = Field(default=(), description="Runs that close a ring.")


class Job(Part):
    """One job, complete and checked."""

    format: FormatOne = Field(description="Version of the job format: 1.")
    standard: Text = Field(default="", description="The firm's standing standard: a file with the same keys.")
    job: JobFacts = Field(description="What the job is called and who issues it.")
    document: DocumentFacts = Field(description="The state of the document.")
    conditions: Conditions = Field(description="The ground and the site.")
    supply: Supply = Field(description="The controller's end of the path.")
    cables: dict[Name, Cable] = Field(description="Every kind of cable, by a name of your own.")
    devices: dict[Name, Device] = Field(default_factory=dict, description="Every kind of device, by a name of your own.")
    solenoids: dict[Name, Solenoid] = Field(
        default_factory=dict, description="Every kind of solenoid, by a name of your own."
    )
    connectors: dict[Name, Connector] = Field(description="Every kind of connector, by a name of your own.")
    rules: Rules = Field(description="What the job asks of the work.")
    trench: Trench = Field(description="The trench.")
    path: PathFacts = Field(description="The path: every box and the run that feeds it.")
