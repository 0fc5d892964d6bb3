"""The card of each box, as plain text: what a crew carries to the box, fills in and signs.

Everything here is plain text from the same facts, checks and drawings as the box's page; nothing is
worded twice. How a card stands on paper is the business of the print stage.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from slackloop.compute.loop import LoopReading
from slackloop.compute.tails import Tail
from slackloop.handbook import format as fmt
from slackloop.handbook.addresses import box_uri
from slackloop.handbook.box_checks import is_due, measured_here
from slackloop.handbook.box_drawing import BoxDrawings
from slackloop.handbook.box_facts import BoxFacts
from slackloop.handbook.context import Context
from slackloop.handbook.due_boxes import ON_RUNS
from slackloop.handbook.figures.svg import Figure
from slackloop.handbook.findings_page import answer_text, is_answered
from slackloop.handbook.loop_text import CLOSED, OPEN, box_states, loop_rows
from slackloop.handbook.page import DocumentHeader
from slackloop.handbook.section import Check
from slackloop.handbook.text import one_line

STANDING_CAUTIONS = ("do-not-unclip-live", "buried-services", "trench-wall", "sharp-blade")
"""Ids of ``content/words/cautions.yml`` that stand on every card, before the work."""

FIRST_WORD = "Local code and the maker's sheet come before this card."
SHORT_FINGERPRINT = 12

_LEVELS = {"error": 0, "warning": 1, "note": 2}
_LEVEL_WORDS = {"error": "Not good", "warning": "Look into this", "note": "Note"}
_HOLDS = {"hold": 0, "witness": 1, "none": 2}


@dataclass(frozen=True, slots=True)
class CardRun:
    """A cable end in the box: which way its run goes, how long it is, its cable, core colours in words."""

    way: str
    length: str
    cable: str
    colour_a: str
    colour_b: str
    surface: str


@dataclass(frozen=True, slots=True)
class CardFact:
    """A fact that a crew dials in or looks for; ``value`` is shown large, ``more`` stands after it."""

    label: str
    value: str
    more: str = ""


@dataclass(frozen=True, slots=True)
class CardReading:
    """What a meter should show here; ``passes`` is the band or limit, ``checks`` the ids that ask for it."""

    label: str
    value: str
    passes: str
    checks: str


@dataclass(frozen=True, slots=True)
class CardLoop:
    """The loop reading in one state of the ring; ``title`` is empty on a path without rings.

    ``rows`` is a row for each soil temperature: what passes and what is expected. ``checks`` are the ids that ask for
    the reading here; where there are none, nothing is written.
    """

    title: str
    checks: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CardCheck:
    """A check to tick; ``expected`` is what a measured one must come to at this box, else empty."""

    id: str
    title: str
    hold: Literal["none", "witness", "hold"]
    expected: str = ""


@dataclass(frozen=True, slots=True)
class CardFinding:
    """What the check of the job found at this box, in words."""

    word: str
    message: str


@dataclass(frozen=True, slots=True)
class Card:
    """One box's card. ``stops`` are its hold and witness points; the other checks are in the order of the work."""

    box_id: str
    name: str
    uri: str
    arm: str
    note: str
    runs: tuple[CardRun, ...]
    facts: tuple[CardFact, ...]
    soils: tuple[str, ...]
    loops: tuple[CardLoop, ...]
    readings: tuple[CardReading, ...]
    measured: tuple[CardCheck, ...]
    stops: tuple[CardCheck, ...]
    in_box: tuple[CardCheck, ...]
    on_run: tuple[CardCheck, ...]
    findings: tuple[CardFinding, ...]
    figure: Figure


def code_text(address: str, header: DocumentHeader, box_id: str) -> str:
    """What a card's code to scan holds: the address of the box's page, or words where the job is not hosted.

    The words are ``job N; revision R; fingerprint F; box B``, the fingerprint cut to twelve characters.
    """
    if address:
        base = address if address.endswith("/") else address + "/"
        return base + box_uri(box_id).removesuffix(".md") + ".html"
    return one_line(
        f"job {header.number}; revision {header.revision}; "
        f"fingerprint {header.fingerprint[:SHORT_FINGERPRINT]}; box {box_id}"
    )


def card_cautions(context: Context) -> tuple[tuple[str, str], ...]:
    """Title and text of each standing caution, those that the content has."""
    cautions = context.content.words.cautions
    found = (cautions[name] for name in STANDING_CAUTIONS if name in cautions)
    return tuple((context.renderer.plain(each.title), context.renderer.plain(each.text)) for each in found)


READ_HERE = {"loop_ohms": ("", OPEN), "loop_closed_ohms": (CLOSED,), "path_volts": ()}
"""What is measured in the table of readings of a card, with the states of the ring that it is read in."""


def checks_of(measures: str, due: tuple[Check, ...]) -> str:
    """Ids of the checks that ask for one measured quantity."""
    return ", ".join(check.id for check in due if check.measures == measures)


def card_loops(
    context: Context, states: tuple[tuple[str, LoopReading], ...], due: tuple[Check, ...]
) -> tuple[CardLoop, ...]:
    """The limits of each state of the ring, and the checks among those ``due`` that ask for the reading."""
    return tuple(
        CardLoop(
            title,
            next(checks_of(measures, due) for measures, titles in READ_HERE.items() if title in titles),
            tuple(row.cells[0] for row in loop_rows(context, (reading,))),
        )
        for title, reading in states
    )


def soil_rows(context: Context) -> tuple[str, ...]:
    """The soil temperatures that limits are given at."""
    return tuple(row.soil for row in loop_rows(context, (context.analysis.loops.closed[0],)))


class CardMaker:
    """Makes the cards of one job."""

    def __init__(self, context: Context) -> None:
        """``context`` is the job with its analysis and content."""
        self.context = context
        self._drawings = BoxDrawings(context)

    def cards(self) -> Iterator[Card]:
        """The card of every box, in path order."""
        for group in self.context.groups:
            for index in group.indices:
                yield self._card(index, group.title)

    @cached_property
    def _checks(self) -> tuple[Check, ...]:
        """Every check that applies to this job, in the order of the work."""
        return tuple(check for applied in self.context.sections for check in applied.checks)

    @cached_property
    def _findings(self) -> dict[str, list[CardFinding]]:
        """Findings by box, the worst first."""
        by_box: dict[str, list[CardFinding]] = {}
        for each in sorted(self.context.findings, key=lambda found: _LEVELS[found.level]):
            if each.box:
                word = "Answered" if is_answered(each) else _LEVEL_WORDS[each.level]
                told = one_line(f"{each.message} {answer_text(each)}".strip())
                by_box.setdefault(each.box, []).append(CardFinding(word, told))
        return by_box

    def _card(self, index: int, arm: str) -> Card:
        facts = BoxFacts(self.context, index)
        due = tuple(check for check in self._checks if is_due(check, facts))
        stops = sorted((check for check in due if check.hold != "none"), key=lambda check: _HOLDS[check.hold])
        free = tuple(check for check in due if check.hold == "none")
        measured = [check for check in free if check.method == "measure" and check.measures not in READ_HERE]
        ticked = [check for check in free if check.method != "measure"]
        return Card(
            box_id=facts.box.id,
            name=one_line(facts.box.name),
            uri=box_uri(facts.box.id),
            arm=arm,
            note=one_line(facts.box.note),
            runs=tuple(self._run(tail) for tail in self._drawings.tails[index]),
            facts=tuple(self._facts(facts)),
            soils=soil_rows(self.context),
            loops=card_loops(self.context, box_states(self.context, index), due),
            readings=tuple(self._readings(facts, due)),
            measured=tuple(self._check(check, facts) for check in measured),
            stops=tuple(self._check(check, facts) for check in stops),
            in_box=tuple(self._check(check, facts) for check in ticked if check.where not in ON_RUNS),
            on_run=tuple(self._check(check, facts) for check in ticked if check.where in ON_RUNS),
            findings=tuple(self._findings.get(facts.box.id, ())),
            figure=self._drawings.wiring(index, lean=True),
        )

    def _run(self, tail: Tail) -> CardRun:
        """One cable end in words."""
        run, cable = tail.run, self.context.job.cables[tail.run.cable]
        word = "Ring" if run.closure else "In" if tail.origin.startswith("run from") else "Out"
        return CardRun(
            way=f"{word} {tail.origin.removeprefix('run ')}",
            length=fmt.told(run.length, self.context.units),
            cable=f"{run.cable}, {fmt.conductor_label(cable.conductor)} {cable.build}{', in duct' if run.duct else ''}",
            colour_a=cable.cores.a,
            colour_b=cable.cores.b,
            surface=self.context.surface(run.surface),
        )

    def _facts(self, facts: BoxFacts) -> Iterator[CardFact]:
        """Device, address, stations, strip, slack, connectors, electrode."""
        box, device = facts.box, self.context.device(facts.box)
        if device is None:
            yield CardFact("Device", "None", "splices only")
        else:
            yield CardFact("Device", device.title)
            yield CardFact("Address", box.address, "" if box.address else "write it here")
            stations = ", ".join(str(station) for station in box.stations)
            lead = dict(facts.lines())["Lead to the solenoid"]
            yield CardFact("Stations", stations or "None", f"lead {lead}" if stations else "")
        slack = self.context.analysis.slack[facts.index]
        ends = "on each of " + fmt.count(slack.tails, "end", "ends") if slack.tails > 1 else "on the one end"
        each = facts.slack_text(slack.per_tail_m)
        total = f", {fmt.run_length(slack.total_m, self.context.units, 'cut')} in all" if slack.tails > 1 else ""
        yield CardFact("Slack", each, ends + total)
        yield CardFact("Strip", facts.strip(), "bare copper")
        yield CardFact("Carry", "; ".join(facts.connectors_to_carry()) or "No connector")
        yield CardFact("Electrode", "Yes" if facts.electrode else "No", facts.electrode)

    def _readings(self, facts: BoxFacts, due: tuple[Check, ...]) -> Iterator[CardReading]:
        """The volts at rest and at the worst choice of outputs."""
        volts, least = self.context.analysis.volts, measured_here("path_volts", facts)
        ids = checks_of("path_volts", due)
        yield CardReading("Volts, outputs off", fmt.lowest_volts(volts.standby_volts[facts.index]), least, ids)
        yield CardReading("Volts, worst case", fmt.lowest_volts(volts.worst_volts[facts.index]), least, "")

    def _check(self, check: Check, facts: BoxFacts) -> CardCheck:
        """One check, with what it must come to at a box."""
        return self.card_check(check, measured_here(check.measures, facts), facts.cover())

    def card_check(self, check: Check, here: str, cover: str) -> CardCheck:
        """One check, with what it must come to where it is measured: ``here``, ``cover`` for a depth."""
        expected = ""
        if check.method == "measure":
            values = self.context.values
            expected = {
                "insulation_ohms": f"{values.insulation_least} or more at {values.insulation_volts}",
                "electrode_ohms": f"{values.target} or less",
                "depth_m": cover,
            }.get(check.measures, here)
            expected = expected or self.context.renderer.plain(check.limit)
        return CardCheck(check.id, self.context.renderer.plain(check.title), check.hold, one_line(expected))
