"""The stages of a box's work, in the order in which the method does it, each with the checks that are due there.

What is written, ticked, seen and signed in a stage, as data.

Which checks a box is due, by what meets in it, and between which numbers what is measured there can be true.

The id of the page of each box.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from slackloop.compute.circuit.loop import LoopRule
from slackloop.compute.circuit.path_volts import OffLimit
from slackloop.document.boxes.box_facts import BoxFacts, cautions_of
from slackloop.document.boxes.box_values import volts_limit
from slackloop.document.context import Context
from slackloop.document.inline import Line, line, plain
from slackloop.sections import format as fmt
from slackloop.sections.inspection_points import CROSSINGS, id_spans, is_due_at, is_due_on_ring_run
from slackloop.sections.link_rules import slug
from slackloop.sections.section import Answers, Check
from slackloop.site.effective_values import MeterError
from slackloop.site.network import Run
from slackloop.units.figure import is_unknown

Likely = tuple[float | None, float | None]
LIKELY_TIMES, LIKELY_PART = 10.0, 0.01
"""A cover or slack of ten times its least, or of a hundredth of it, is written in another unit. Our own bounds."""
LIKELY_MOHM = 1e6
"""No insulation tester reads more than this, MΩ. Our own bound."""
LIKELY_OVER_SUPPLY, LIKELY_AT_CONTROLLER = 1.12, 0.5
"""What volts on the path may come to, of the supply's, and the least at the controller. Our own bounds.

Mains a tenth too high, and a meter that shows a little more."""
LENGTHS = {"depth_m": ("mm", "in"), "slack_m": ("m", "ft"), "strip_m": ("mm", "in")}
"""The unit that a length is written in: metric, US."""
VOLTS = frozenset({"path_volts", "load_volts"})
"""Volts on the pair: with all outputs off, and with as many stations on as the job allows."""


def is_due(check: Check, facts: BoxFacts) -> bool:
    """Whether a check is due at a box; a check of each run is due at the box that the run feeds."""
    electrodes = (facts.box.id,) if facts.electrode else ()
    return is_due_at(check.where, facts.box, facts.index, facts.network, electrodes)


def measured_here(measures: str, facts: BoxFacts) -> str:
    """The limit of a measured quantity at this very box; empty where the check's own limit says it all."""
    context, units = facts.context, facts.context.units
    if measures in VOLTS:
        return " ".join(volts_limit(measures, facts)).strip()
    if measures == "slack_m":
        return f"{facts.slack_text(context.analysis.slack[facts.index].per_tail_m)} on each cable end"
    if measures == "depth_m":
        depth_m = context.analysis.trench.runs[facts.index].depth_m
        return f"{fmt.length(depth_m, units, 'least')} dug, cover {facts.cover()}"
    if measures == "strip_m":
        return facts.strip()
    return ""


def likely_of(measures: str, least: float | None, most: float | None, supply_volts: float) -> Likely:
    """Between which numbers a measured value can be true at all; ``least`` and ``most`` are its limits."""
    if measures == "insulation_ohms":
        return 0.0, LIKELY_MOHM
    if (measures in VOLTS or measures == "controller_volts") and is_unknown(supply_volts):
        return 0.0, None
    if measures in VOLTS or measures == "controller_volts":
        least_part = LIKELY_AT_CONTROLLER if measures == "controller_volts" else 0.0
        return least_part * supply_volts, LIKELY_OVER_SUPPLY * supply_volts
    if measures in LENGTHS and least is not None:
        return LIKELY_PART * least, LIKELY_TIMES * least
    return (most / 1000.0 if most is not None else 0.0), None


StageId = Literal["run", "test", "splice", "device", "close"]
Stops = Literal["", "cross", "fill", "work"]
"""What may not be done until a hold is signed: go under a surface, fill the trench, go on with the work."""
STAGES: tuple[tuple[StageId, str], ...] = (
    ("run", "Run"), ("test", "Test"), ("splice", "Splice"), ("device", "Device"), ("close", "Close")
)  # fmt: skip

Tag = Literal["", "HOLD", "WITNESS"]
TAGS: dict[str, Tag] = {"none": "", "witness": "WITNESS", "hold": "HOLD"}
STAGE_CAUTIONS: dict[StageId, tuple[str, ...]] = {
    "test": ("do-not-unclip-live", "ohmmeter-only"), "splice": ("untested-run",)
}  # fmt: skip
OPEN_END = "open-end"
"""Comes first where the path ends: the pair is read under volts there before it is spliced."""
LIVE_END = "live-end"
"""Where the path ends its bare cores are read while it is on."""
TEST_CAUTIONS = ("test-volts", "charged-pair")


@dataclass(frozen=True, slots=True)
class DueCheck:
    """A check at one box: its words, and its limit at this very box."""

    check: Check
    title: str
    limit: Line
    section: str
    """The id of the page of its section."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage with its checks in the order of the method."""

    id: StageId
    title: str
    checks: tuple[DueCheck, ...]

    def recorded(self, record: str) -> tuple[DueCheck, ...]:
        """The checks that are recorded in one way."""
        return tuple(each for each in self.checks if each.check.record == record)

    @property
    def holds(self) -> tuple[DueCheck, ...]:
        """The checks that work stops for until somebody has signed."""
        return tuple(each for each in self.checks if each.check.hold == "hold")


@dataclass(frozen=True, slots=True)
class Entry:
    """A value to write: what it is, its limit (shown large) with what comes after it, and its limits as numbers.

    ``least`` and ``most`` are in ``unit``; ``kind`` is text for what is no number, soil for the temperature that the
    loop limits go by.
    """

    ids: tuple[str, ...]
    label: str
    limit: str = ""
    after: str = ""
    unit: str = ""
    least: float | None = None
    most: float | None = None
    kind: Literal["number", "text", "soil"] = "number"
    tag: Tag = ""
    loop: LoopRule | None = None
    """What the limits of a loop reading are worked out from."""
    near: str = ""  # the check whose reading it is compared with
    off: OffLimit | None = None  # gives the least volts by those at the controller
    meter: MeterError | None = None  # how far volts under load may seem to be above those of ``near``
    likely: Likely = (None, None)
    """Between which numbers it can be true at all."""


@dataclass(frozen=True, slots=True)
class Said:
    """A check in a few words: ticked, seen or held for."""

    id: str
    text: str
    tag: Tag = ""
    stops: Stops = ""
    answers: Answers = ""


@dataclass(frozen=True, slots=True)
class SoilBand:
    """The loop limits in soil of one temperature, as text; ``about`` is what to expect."""

    soil: str
    passes: str
    about: str


@dataclass(frozen=True, slots=True)
class StageWork:
    """One stage: number, title, what it is about at this box, and its checks by how they are recorded."""

    id: StageId
    number: int
    title: str
    about: str
    entries: tuple[Entry, ...]
    ticks: tuple[Said, ...]
    seen: tuple[Said, ...]
    holds: tuple[Said, ...]
    bands: tuple[SoilBand, ...] = ()
    section: str = ""
    """The id of the page of the section that says how."""
    cautions: tuple[tuple[str, str], ...] = ()
    """Title and text of what must be said before its values are read."""
    warned: tuple[tuple[str, str], ...] = ()
    """The same in one line for a card: each title, with what to do in few words."""
    later: tuple[Said, ...] = ()
    """What is made after the row is signed, each with a signature of its own."""
    covered: tuple[str, ...] = ()
    """The ids of what is looked at as the method says and needs no word here; the signature of the row covers it."""
    waits: str = ""
    """What its work waits for elsewhere."""

    @property
    def codes(self) -> tuple[str, ...]:
        """The ids of what the signature covers without a mark of its own: what is seen, then the rest."""
        return (*(each.id for each in self.seen), *self.covered)

    @property
    def printed_codes(self) -> tuple[str, ...]:
        """The ids of what is ticked, of leave to cross and of what the signature covers, in few words for a card."""
        said = (*self.ticks, *(each for each in self.holds if each.stops == "cross"))
        return id_spans((*(each.id for each in said), *self.codes))

    @property
    def marks(self) -> int:
        """Places where somebody writes: values, ticks, the signature of the stage, one for each hold and later check.
        """
        return len(self.entries) + len(self.ticks) + 1 + len(self.holds) + len(self.later)


def box_stages(context: Context, facts: BoxFacts) -> tuple[Stage, ...]:
    """The five stages of the box, those without a check left out."""
    return _stages(context, lambda check: is_due(check, facts), lambda check: measured_here(check.measures, facts))


def closing_run_stages(context: Context, run: Run) -> tuple[Stage, ...]:
    """The stages of a run that closes a ring: what is due of each run, and the loop there."""
    return _stages(context, lambda check: is_due_on_ring_run(check, run), lambda check: "")


def _stages(
    context: Context, is_due_here: Callable[[Check], bool], limit_here: Callable[[Check], str]
) -> tuple[Stage, ...]:
    """The stages with the checks that are due, each with its limit; stages without a check are left out."""
    due: dict[str, list[DueCheck]] = {name: [] for name, _ in STAGES}
    for applied in context.sections:
        front = applied.section.front
        for check in applied.checks:
            if check.stage and is_due_here(check):
                if check.id not in context.made_checks:
                    limit = context.prose.line(check.limit, applied.section.file, applied.section.line_of(check.id))
                    title = plain(context.prose.line(check.title, applied.section.file))
                    context.made_checks[check.id] = DueCheck(check, title, limit, f"{front.part}/{front.id}")
                made, here = context.made_checks[check.id], limit_here(check)
                due[check.stage].append(replace(made, limit=line(here)) if here else made)
    return tuple(Stage(name, title, tuple(due[name])) for name, title in STAGES if due[name])


Cautions = tuple[tuple[str, str], ...]


def stage_cautions(context: Context, stage: StageId, is_insulation: bool, is_end: bool) -> tuple[Cautions, Cautions]:
    """Cautions of a stage, title and text, for a page and a card; a page has those of an insulation test in full."""
    names = STAGE_CAUTIONS.get(stage, ())
    if is_insulation:
        names = TEST_CAUTIONS
    elif is_end and stage == "splice":
        names = (OPEN_END,)  # its one run was tested before it was filled
    short = tuple(card_cautions_of(context, names))
    return tuple(cautions_of(context, names)) if is_insulation else short, short


def card_cautions_of(context: Context, names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Cautions for one line of a card: each title with what to do in few words.

    One that has no such words is told whole where it comes first, and by its title where it does not.
    """
    known, plain = context.content.words.cautions, context.prose.plain
    for number, each in enumerate(known[name] for name in names if name in known):
        yield plain(each.title), plain(each.card or ("" if number else each.text))


def stops_of(check: Check) -> Stops:
    """What a hold keeps from being done; leave to cross is asked for before the work of its stage begins."""
    if check.hold != "hold":
        return ""
    if check.stage == "run" and check.where in CROSSINGS:
        return "cross"
    return "fill" if check.stage == "test" else "work"


LIST_PAGE = "boxes/all"


def box_page_id(box_id: str) -> str:
    """The id of the page of a box."""
    return f"boxes/{slug(box_id)}"
