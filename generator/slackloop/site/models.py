"""The job as typed data: every key of the job file, with its meaning and its default.

The models say what each key may hold; places in the file are kept apart (see ``places``),
so that these objects stay plain and can be built in a test without any file.
"""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from slackloop.site.fields import Length, MaterialAmount, Percent
from slackloop.site.plain_fields import (
    Coordinates,
    FormatOne,
    IsoDate,
    Name,
    NonEmptyText,
    PositiveCount,
    RunEnd,
    Text,
    WebAddress,
)
from slackloop.site.site_contacts import Emergency, Language, LocalCode, Locates, People, TranslationCheck
from slackloop.site.specification import (
    Cable,
    Conditions,
    Connector,
    Cores,
    Device,
    Earthing,
    InsulationTest,
    Leads,
    Part,
    Rod,
    Rules,
    Slack,
    Solenoid,
    Supply,
    SupplyLimits,
    Tests,
    Trench,
    optional,
)
from slackloop.site.valve_boxes import (
    SURFACE_WORDS,
    SURFACES,
    Box,
    BoxDevice,
    BoxSize,
    Chain,
    Crossing,
    Each,
    Station,
    Surface,
)

__all__ = [
    "SURFACES", "Answer", "Box", "BoxDevice", "BoxSize", "Cable", "Chain", "Conditions", "Connector", "Cores",
    "Crossing", "Device", "DocumentFacts", "DocumentStatus", "Each", "Earthing", "HistoryEntry", "InsulationTest",
    "Job", "JobFacts", "Leads", "OwnMaterial", "Part", "PathFacts", "RingClosure", "Rod", "Rules", "Slack",
    "Solenoid", "Station", "Supply", "SupplyLimits", "Surface", "Tests", "Trench",
]  # fmt: skip

DocumentStatus = Literal["draft", "for construction", "as built"]


class JobFacts(Part):
    """What the job is called and who issues it."""

    number: NonEmptyText = Field(description="Job number, printed on every page.")
    title: NonEmptyText = Field(description="Title of the work.")
    site: NonEmptyText = Field(description="Name of the site.")
    client: Text = Field(default="", description="Who the work is for.")
    contractor: NonEmptyText = Field(description="Who issues the handbook and answers for the work.")
    units: Literal["metric", "us"] = Field(description="Unit system shown first; both are shown where a crew measures.")
    code_basis: Name = Field(description="Whose rules are quoted: us, uk or general.")
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


class Answer(Part):
    """The answer to a question that a warning puts to somebody."""

    by: NonEmptyText = Field(description="Who gave the answer: a role or a name.")
    date: IsoDate = Field(description="The day of the answer, as 2026-03-09.")
    reference: Text = Field(default="", description="Where it is on record, as RFI-3.")
    answer: NonEmptyText = Field(description="The answer itself, in one sentence.")


class RingClosure(Part):
    """A run that closes a ring."""

    from_: RunEnd = Field(alias="from", description="A box, or controller.")
    to: RunEnd = Field(description="Another box, or controller.")
    run: Length = Field(description="Length of the run, without slack.")
    cable: Name | None = optional("The cable of this run, where it differs.")
    surface: Surface = Field(default="lawn", description=SURFACE_WORDS)
    cover: Length | None = optional("Cover over this run, where it differs.")
    duct: Length | None = optional("Inside diameter of a duct for the whole run.")


Per = Literal["box", "device", "electrode", "crossing", "run", "cable end", "reel", "metre", "job"]


class OwnMaterial(Part):
    """One material of the job's own."""

    title: NonEmptyText = Field(description="What it is called on the order.")
    per: Per = Field(
        description="What it is counted by: box, device, electrode, crossing, run, cable end, reel, metre (of trench) "
        "or job; only what is new counts."
    )
    quantity: MaterialAmount = Field(description="How much for each, as 2, 3 m or 0.05 m3.")
    pack: PositiveCount | None = optional("How many a pack holds.")
    part: Text = Field(default="", description="The order number that the job uses for it.")


Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEK: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Programme(Part):
    """The programme of the work."""

    start: IsoDate = Field(description="The first day of work, as 2026-03-09.")
    boxes_a_day: PositiveCount = Field(description="Boxes that the crew finishes in a day.")
    trench_a_day: Length = Field(description="Trench that the crew digs, lays and fills in a day.")
    days: tuple[Weekday, ...] = Field(
        default=("mon", "tue", "wed", "thu", "fri"), min_length=1, description="Days of the week on which work is done."
    )


class _BoxSchema:
    """An item of boxes in the JSON Schema: a box, or a chain, which reading writes out as boxes."""

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"anyOf": [handler(core), handler(Chain.__pydantic_core_schema__)]}


BoxEntry = Annotated[Box, _BoxSchema()]


class PathFacts(Part):
    """The path: every box and the run that feeds it."""

    detour: Percent | None = optional("Added to straight lines where a run is not given; 5 % when left out.")
    cable: Name = Field(description="Cable of every run that names no other.")
    connector: Name = Field(description="Connector of every box that names no other.")
    solenoid: Name | None = optional("Solenoid of every box that names no other.")
    lead_cable: Name | None = Field(
        default=None,
        description="Cable of leads longer than 1.5 m; when left out, the one cable that no run uses.",
    )
    solenoid_connector: Name | None = optional("Connector on the solenoid side; the path's connector when left out.")
    box: BoxSize | None = optional("Inside size of every box that states no other.")
    controller_at: Coordinates | None = optional("Place of the controller, in metres; 0, 0 if not given.")
    each: Each | None = optional("What holds for every box that does not say otherwise.")
    boxes: tuple[BoxEntry, ...] = Field(
        min_length=1, description="Every box, in any order; boxes that are alike and in a row as a chain."
    )
    ring_closures: tuple[RingClosure, ...] = Field(default=(), description="Runs that close a ring.")

    @cached_property
    def by_id(self) -> dict[str, Box]:
        """Every box by its id."""
        return {box.id: box for box in self.boxes}

    @cached_property
    def place_of(self) -> dict[str, int]:
        """The place of every box in the list, from 0, by its id."""
        return {box.id: number for number, box in enumerate(self.boxes)}

    @cached_property
    def run_cables(self) -> frozenset[str]:
        """Names of the cables that some run uses."""
        named = {box.cable or self.cable for box in self.boxes}
        return frozenset(named | {closure.cable or self.cable for closure in self.ring_closures})


class Job(Part):
    """One job, complete and checked."""

    format: FormatOne = Field(description="Version of the job format: 1.")
    standard: Text = Field(default="", description="The firm's standing standard: a file with the same keys.")
    departures: dict[Text, NonEmptyText] = Field(
        default_factory=dict,
        description="Why the job departs from the standard, by key path, as rules.cover; a path covers all under it.",
    )
    answers: dict[Text, Answer] = Field(
        default_factory=dict,
        description="Answers to warnings, each by the warning's code, as cover-open, or by code and box or run, as "
        "cover-open B14; printed with the warning.",
    )
    job: JobFacts = Field(description="What the job is called and who issues it.")
    document: DocumentFacts = Field(description="The state of the document.")
    languages: tuple[Language, ...] = Field(
        default=("en",), min_length=1, description="Languages that the crew reads, en first; [en] when left out."
    )
    translation: dict[Language, TranslationCheck] = Field(
        default_factory=dict, description="Who has checked the text of each other language, and when."
    )
    people: People | None = optional("Who answers for the work.")
    emergency: Emergency | None = optional("Who is called in an emergency, and where.")
    local_code: LocalCode | None = optional("The local code that comes before this handbook.")
    locates: Locates | None = optional("The search for buried utilities, or their marking.")
    conditions: Conditions = Field(description="The ground and the site.")
    supply: Supply = Field(description="The controller's end of the path.")
    cables: dict[Name, Cable] = Field(description="Every kind of cable, by a name of your own.")
    devices: dict[Name, Device] = Field(
        default_factory=dict, description="Every kind of device, by a name of your own."
    )
    solenoids: dict[Name, Solenoid] = Field(
        default_factory=dict, description="Every kind of solenoid, by a name of your own."
    )
    connectors: dict[Name, Connector] = Field(description="Every kind of connector, by a name of your own.")
    rules: Rules = Field(description="What the job asks of the work.")
    trench: Trench = Field(description="The trench.")
    programme: Programme | None = optional("The programme of the work, at the job's own rates.")
    materials: tuple[OwnMaterial, ...] = Field(
        default=(), description="What else the work takes, each with what it is counted by."
    )
    path: PathFacts = Field(description="The path: every box and the run that feeds it.")

    @cached_property
    def spare_cable(self) -> str | None:
        """The one cable that no run uses, which leads take where none is named; nothing where there are more, or none.
        """
        spare = [name for name in self.cables if name not in self.path.run_cables]
        return spare[0] if len(spare) == 1 else None
