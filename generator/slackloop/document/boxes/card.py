"""The card of each box, and of each run that closes a ring: what a crew carries there, fills in and signs.

Everything is made of the same facts, stages and drawings as the page of the box; nothing is worded twice. How a card
lies on paper is the business of the print stage.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import starmap
from urllib.parse import urlencode

from slackloop.document.box_devices import BoxDevices
from slackloop.document.boxes.box_drawing import BoxDrawings
from slackloop.document.boxes.box_facts import BoxFacts, crossing_text
from slackloop.document.boxes.box_values import rod_distances
from slackloop.document.boxes.ring_runs import RingRun, ring_runs
from slackloop.document.boxes.stage_work import stage_works
from slackloop.document.boxes.stages import StageWork, box_page_id, box_stages
from slackloop.document.context import Context
from slackloop.document.drawings.svg import Figure
from slackloop.document.finding_words import is_answered, sentence
from slackloop.document.page import DocumentHeader
from slackloop.language.messages import language
from slackloop.sections import format as fmt

SHORT_FINGERPRINT = 12
FIRST_WORD = "Local code and the maker's sheet come before this card."
_LEVELS = {"error": 0, "warning": 1, "note": 2}
_LEVEL_WORDS = {"error": "Not good", "warning": "Look into this", "note": "Note"}


@dataclass(frozen=True, slots=True)
class CardFact:
    """A value that a crew dials in or looks for: shown large, with what comes after it."""

    label: str
    value: str
    more: str = ""


@dataclass(frozen=True, slots=True)
class CardElectrode:
    """The electrode of a box: rods in a row with what is between them, and how far they are from the cable."""

    rods: int
    """0 where nobody knows how many it takes."""
    between: str
    clear: str
    rod: str


@dataclass(frozen=True, slots=True)
class Watch:
    """What to watch at this box alone: a caution, a finding, the job's own note."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Card:
    """One card; ``kind`` is what it is of: a box, or a run that closes a ring."""

    kind: str
    id: str
    title: str
    about: str
    page: str
    """The id of the page that its code opens."""
    group: str
    facts: tuple[CardFact, ...]
    figure: Figure | None
    electrode: CardElectrode | None
    watch: tuple[Watch, ...]
    stages: tuple[StageWork, ...]

    @property
    def ticks(self) -> int:
        """Boxes to tick."""
        return sum(len(stage.ticks) for stage in self.stages)

    @property
    def marks(self) -> int:
        """Places where somebody writes, ticks or signs."""
        return sum(stage.marks for stage in self.stages)


def code_text(address: str, header: DocumentHeader, card: Card) -> str:
    """What a card's code to scan holds: the address of its page, or words where the job is not hosted.

    The address names job, revision and fingerprint after a question mark, which opens the same page.

    The words are ``job N; revision R; fingerprint F; box B``, the fingerprint cut to twelve characters.
    """
    if address:
        asked = urlencode(
            {
                "job": header.number,
                "revision": header.revision,
                "fingerprint": header.fingerprint[:SHORT_FINGERPRINT],
            }
        )
        return f"{address.rstrip('/')}/{card.page}.html?{asked}"
    return code_words(header, card)


def code_words(header: DocumentHeader, card: Card) -> str:
    """Job, revision, fingerprint and box as one line of words."""
    words = (
        f"job {header.number}; revision {header.revision}; "
        f"fingerprint {header.fingerprint[:SHORT_FINGERPRINT]}; {card.kind} {card.id}"
    )
    return " ".join(words.split())


def cards_of(context: Context) -> tuple[Card, ...]:
    """Every card of a job; made once for a context."""
    if not context.made_cards:
        context.made_cards = tuple(CardMaker(context).cards())
    return context.made_cards


class CardMaker:
    """Makes the cards of one job."""

    def __init__(self, context: Context) -> None:
        """``context`` is the job with its analysis and content."""
        self.context = context
        self._drawings = BoxDrawings(context)

    def cards(self) -> Iterator[Card]:
        """The card of every box in path order, then of every run that closes a ring."""
        for group in self.context.groups:
            for index in group.indices:
                yield self._box(index, group.title)
        for ring in ring_runs(self.context):
            yield self._closing_run(ring)

    def _box(self, index: int, group: str) -> Card:
        facts = BoxFacts(self.context, index)
        kind = "Branch box" if facts.is_branch else "End box" if facts.is_end else "Through box"
        kind = "Existing box" if facts.box.existing else kind
        size = fmt.conductor_label(self.context.job.cables[facts.run.cable].conductor)
        source = "the controller" if facts.run.from_id == "controller" else facts.run.from_id
        duct = ", in a duct" if facts.run.duct else ""
        about = f"Run from {source}, {size}, surface: {self.context.surface(facts.run.surface)}{duct}"
        return Card(
            kind="box",
            id=facts.box.id,
            title=" ".join(facts.box.name.split()) or kind,
            about=f"{kind}. {about}" if facts.box.name else about,
            page=box_page_id(facts.box.id),
            group=group,
            facts=tuple(self._facts(facts)),
            figure=self._drawings.wiring(index),
            electrode=self._electrode() if facts.electrode else None,
            watch=(*self._findings.get(facts.box.id, ()), *self._note(facts), *starmap(Watch, facts.cautions())),
            stages=stage_works(facts, box_stages(self.context, facts)),
        )

    def _closing_run(self, ring: RingRun) -> Card:
        """The card of a run that closes a ring: laid, tested from its far end and signed off like any other."""
        run, cable = ring.run, self.context.job.cables[ring.run.cable]
        under = self.context.surface(run.surface)
        facts = (
            CardFact("Length", fmt.told(run.length, self.context.units), f"reel {ring.reel}"),
            CardFact("Cable", fmt.conductor_label(cable.conductor), cable.build),
            CardFact("Cover", ring.cover, f"or more, surface: {under}"),
            CardFact("Read at", run.to_id, "its end there is open"),
        )
        watch = Watch("Keep it open", f"Leave its end in {run.to_id} open until the ring is closed.")
        return Card(
            kind="run",
            id=run.id,
            title="Run that closes a ring",
            about=f"From {run.from_id} to {run.to_id}",
            page=box_page_id(run.id),
            group="Runs that close a ring",
            facts=facts,
            figure=ring.end(),
            electrode=None,
            watch=(*self._findings.get(run.id, ()), watch),
            stages=ring.works(),
        )

    @cached_property
    def _findings(self) -> dict[str, tuple[Watch, ...]]:
        """What the check of the job found at each box and nobody has answered, the worst first."""
        by_box: dict[str, tuple[Watch, ...]] = {}
        for each in sorted(self.context.findings, key=lambda found: _LEVELS[found.level]):
            if each.box and not is_answered(each):
                told = Watch(_LEVEL_WORDS[each.level], " ".join(sentence(each.message).split()))
                by_box[each.box] = (*by_box.get(each.box, ()), told)
        return by_box

    def _note(self, facts: BoxFacts) -> Iterator[Watch]:
        if facts.state:
            yield Watch("Existing box", facts.state)
        if facts.awaited():
            yield Watch("Before the splice", f"{facts.awaited()}.")
        if facts.box.crossing is not None:
            text = crossing_text(self.context, facts.box.crossing)
            yield Watch("Crossing", f"{text[:1].upper()}{text[1:]}.")
        if note := facts.box.note_for(language()):
            yield Watch("Note", " ".join(note.split()))

    def _facts(self, facts: BoxFacts) -> Iterator[CardFact]:
        """Address, stations, slack, bare copper, what to carry, electrode."""
        devices = facts.devices
        if not devices.placed:
            yield CardFact("Address", "None", "splices only")
        else:
            address = devices.addresses
            yield CardFact("Address", address[:1].upper() + address[1:], _unset(devices))
            yield CardFact("Stations", _numbers(devices), _leads(devices))
        slack = self.context.analysis.slack[facts.index]
        ends = f"on each of {slack.tails} ends" if slack.tails > 1 else "on the cable end"
        yield CardFact("Slack", facts.slack_text(slack.per_tail_m), ends)
        yield CardFact("Bare copper", facts.strip())
        yield CardFact("Carry", "; ".join(facts.carried()) or "No connector")
        yield CardFact("Electrode", facts.electrode_text())

    def _electrode(self) -> CardElectrode:
        rods = self.context.analysis.electrodes.rods_for_target or 0
        return CardElectrode(rods, *rod_distances(self.context), self.context.values.rod)


def _unset(devices: BoxDevices) -> str:
    return "" if devices.all_set else "ask before you splice"


def _numbers(devices: BoxDevices) -> str:
    """The station numbers, with their names where they have some."""
    named = any(station.name for station in devices.stations)
    return (devices.numbers if named else fmt.listing([str(each.number) for each in devices.stations])) or "None"


def _leads(devices: BoxDevices) -> str:
    """The leads of the stations, and which of these are always on."""
    told = [f"lead {devices.leads_text()}"] if devices.stations else []
    always = [str(number) for number in devices.always_on()]
    return "; ".join([*told, *([f"{fmt.listing(always)} always on"] if always else [])])
