"""One section of the handbook: its typed front matter and the blocks of its body."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

SectionPart = Literal["method", "safety", "scope", "trouble"]
Taken = Literal["tools", "protective", "hazards"]
"""What a section takes to the work, or has to be held off."""
PARTS: tuple[SectionPart, ...] = ("scope", "method", "safety", "trouble")
Where = Literal[
    "each-box", "device-box", "branch-box", "end-box", "electrode-box", "joining-box", "each-run", "each-dug-run",
    "each-crossing", "each-cut-crossing",
    "each-reel", "each-day", "job",
]  # fmt: skip
Measured = Literal[
    "", "loop_ohms", "loop_again_ohms", "loop_closed_ohms",
    "insulation_ohms", "slack_m", "depth_m", "strip_m", "electrode_ohms",
    "path_volts", "load_volts", "controller_volts",
]  # fmt: skip
Answers = Literal["", "nothing", "path", "record"]
"""What a hold answers for: nothing that is read; what is made at boxes and runs before they are closed; all of it."""
DayPart = Literal["start", "leave"]
DAY_PARTS: dict[DayPart, str] = {"start": "Before work", "leave": "Before you leave"}
"""The parts of a day, each with its own signature, by their titles."""
Id = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
RequirementId = Annotated[str, Field(pattern=r"^R-[A-Z0-9]+(-[A-Z0-9]+)*$")]
CheckId = Annotated[str, Field(pattern=r"^C-[A-Z0-9]+(-[A-Z0-9]+)*$")]
Line = Annotated[str, Field(min_length=1)]


class Front(BaseModel):
    """A map of front matter: unknown keys are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, defer_build=True)


class Requirement(Front):
    """Something the work must come to, with where that is asked."""

    id: RequirementId
    text: Line
    source: Literal["job", "code", "maker", "practice", "standard"]
    clause: str = ""
    applies: Id = "always"


class Check(Front):
    """How a requirement is proved."""

    id: CheckId
    title: Line
    card: str = ""
    """A few words for the card and the page of a box: what is written, ticked or seen; the title where empty."""
    method: Literal["look", "measure", "record"]
    limit: Line
    measures: Measured = ""
    proves: tuple[RequirementId, ...] = Field(min_length=1, strict=False)
    record: Literal["measure", "sign", "tick", "covered"] = "tick"
    """How the check is recorded: a value, a signature, a tick, or by the signature of its stage."""
    signed_with: str = ""
    """The check of another section whose signature or tick covers this one too; it is then ``covered``."""
    stage: Literal["", "run", "test", "splice", "device", "close"] = ""
    """The stage of a box's work that the check belongs to; empty for a check that no box has."""
    day: DayPart = "start"
    """Of a check of each day: before work, or before the crew leaves where only the day's work shows if it is good."""
    hold: Literal["none", "witness", "hold"] = "none"
    later: bool = False
    """Whether it is made after the row of its stage is signed: it then has a signature of its own."""
    answers: Answers = ""
    """Where empty, a hold at a box answers for the values of its stage and those before it, any other for nothing."""
    shows: tuple[Id, ...] = Field(default=(), strict=False)
    """Faults that do not get past this check: ids of words/faults.yml."""
    where: Where
    applies: Id = "always"

    @model_validator(mode="after")
    def _only_a_day_has_parts(self) -> Check:
        if self.day != "start" and self.where != "each-day":
            raise ValueError("only a check with where: each-day belongs to a part of the day")
        return self

    @model_validator(mode="after")
    def _signed_at_one_place(self) -> Check:
        if self.signed_with and (self.record != "covered" or self.stage or self.hold != "none"):
            raise ValueError("a check that is signed with another has record: covered, no stage and no hold")
        return self

    @model_validator(mode="after")
    def _what_is_later_is_signed(self) -> Check:
        if self.later and (self.record != "sign" or not self.stage or self.hold == "hold"):
            raise ValueError("only a check with a stage and record: sign that holds no work is made later")
        return self

    @model_validator(mode="after")
    def _a_hold_answers_for_what_comes_before_it(self) -> Check:
        if self.answers and (self.hold != "hold" or (self.answers != "nothing" and self.where != "job")):
            raise ValueError("only a hold answers for results, and only one with where: job for the path or the record")
        return self


class Shown(Front):
    """A value that the work sets or reads off, shown large at the head of the section."""

    label: Line
    value: Line
    more: str = ""


class Also(Front):
    """What a section takes besides on jobs where a named condition holds."""

    applies: Id
    tools: tuple[Id, ...] = Field(default=(), strict=False)
    protective: tuple[Id, ...] = Field(default=(), strict=False)
    hazards: tuple[Id, ...] = Field(default=(), strict=False)


class SectionFront(Front):
    """The front matter of a section file."""

    id: Id
    title: Line
    part: SectionPart
    order: int
    applies: Id = "always"
    summary: Line
    tools: tuple[Id, ...] = Field(default=(), strict=False)
    protective: tuple[Id, ...] = Field(default=(), strict=False)
    hazards: tuple[Id, ...] = Field(default=(), strict=False)
    also: tuple[Also, ...] = Field(default=(), strict=False)
    deferrals: tuple[Id, ...] = Field(default=(), strict=False)
    values: tuple[Shown, ...] = Field(default=(), strict=False)
    my_box: tuple[Id, ...] = Field(default=(), strict=False)
    """Values of one box that a reader looks up by its number: names of ``document.boxes.box_values``."""
    search: tuple[Line, ...] = Field(default=(), strict=False)
    """What people type who look for this section, where its title has other words."""
    requirements: tuple[Requirement, ...] = Field(default=(), strict=False)
    checks: tuple[Check, ...] = Field(default=(), strict=False)
    raw_html: bool = False
    """Whether tags in the section are markup; without it they are shown as text."""


@dataclass(frozen=True, slots=True)
class Prose:
    """Free Markdown with template values; ``line`` is where it starts in the file."""

    text: str
    line: int


@dataclass(frozen=True, slots=True)
class Insert:
    """A computed table or drawing, or a standing box, named on a line of its own."""

    kind: Literal["table", "figure", "caution", "deferral"]
    name: str
    line: int


@dataclass(frozen=True, slots=True)
class Step:
    """One action, with what guards it, explains it and proves it; lines are those of the file."""

    id: str
    line: int
    action: Prose
    why: Prose | None = None
    reject: Prose | None = None
    carries: tuple[str, ...] = ()
    check: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()
    figure: tuple[str, ...] = ()
    prevents: tuple[str, ...] = ()
    """Faults that the step keeps from being made: ids of words/faults.yml."""
    applies: str = "always"
    extra: Prose | None = None
    """Free Markdown that follows the step's keys, such as a note under it."""


Block = Prose | Insert | Step


@dataclass(frozen=True, slots=True)
class Group:
    """Blocks under one heading of the second level; the preamble is the group without a title."""

    title: str
    line: int
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One section file, read and typed.

    ``lines`` gives the line of each front matter entry by its id (requirements and checks) or key.
    """

    front: SectionFront
    file: str
    groups: tuple[Group, ...]
    lines: dict[str, int]
    ours: bool = True
    """False for a section from the firm's own content folder."""
    overrides: bool = False
    """True for a firm's section that stands in place of a standing one."""

    def named(self, key: Taken) -> tuple[str, ...]:
        """Every tool, piece of equipment or hazard of the section, those of a condition too."""
        found = (*getattr(self.front, key), *(name for each in self.front.also for name in getattr(each, key)))
        return tuple(dict.fromkeys(found))

    @property
    def steps(self) -> tuple[Step, ...]:
        """Every step, in order."""
        return tuple(block for group in self.groups for block in group.blocks if isinstance(block, Step))

    @property
    def inserts(self) -> tuple[Insert, ...]:
        """Every table, drawing and standing box that the body asks for."""
        return tuple(block for group in self.groups for block in group.blocks if isinstance(block, Insert))

    def line_of(self, key: str) -> int:
        """The line of a front matter key or id; 1 when it is not there."""
        return self.lines.get(key, 1)


PART_MENU = {
    "scope": ("Install", "Before you start"),
    "method": ("Install", "Method"),
    "safety": ("Install", "Safety"),
    "trouble": ("Install", "If something is wrong"),
}
SOURCE_WORDS = {
    "job": "Job specification",
    "code": "Code basis",
    "maker": "Maker's sheet",
    "practice": "Common practice, no published source",
    "standard": "Standard",
}
WHERE_WORDS = {
    "each-box": "Each box",
    "device-box": "Each box with a device",
    "branch-box": "Each box where the path branches",
    "end-box": "Each end box",
    "electrode-box": "Each place with an electrode",
    "joining-box": "Each box where a new run joins an existing one",
    "each-run": "Each run",
    "each-dug-run": "Each run that is dug",
    "each-crossing": "Each run under a footpath, paving, a place for vehicles or a building",
    "each-cut-crossing": "Each crossing that has no sleeve yet",
    "each-reel": "Each reel, before it is used",
    "each-day": "Each day",
    "job": "Once for the job",
}
