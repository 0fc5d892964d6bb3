"""Two revisions compared: every value, limit, step, check, order and question that differs, and every void card."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeVar

from slackloop.control.fingerprint import box_of, capital, input_text, input_title
from slackloop.control.snapshot import (
    READERS,
    CardLine,
    CardText,
    DocumentFacts,
    Question,
    Reader,
    Sheet,
    Snapshot,
    StepText,
    Told,
)

CardState = Literal["void", "new", "gone"]
K = TypeVar("K")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Reason:
    """One line of a card that differs: what the line is about, what it said and what it says."""

    label: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class CardChange:
    """A card that is void, new or gone; ``why`` names every line that differs."""

    box: str
    state: CardState
    why: tuple[Reason, ...] = ()

    @property
    def labels(self) -> tuple[str, ...]:
        """What differs, each once."""
        return tuple(dict.fromkeys(each.label for each in self.why))


def card_changes(old: Mapping[str, CardText], new: Mapping[str, CardText]) -> tuple[CardChange, ...]:
    """Every card that differs, in path order, those that are gone last."""
    found: list[CardChange] = []
    for name, now, was, _ in _pairs(new, old):
        if was is None or now is None:
            found.append(CardChange(name, "new" if was is None else "gone"))
        elif was != now:
            found.append(CardChange(name, "void", tuple(_reasons(was, now))))
    return tuple(found)


def _pairs(old: Mapping[K, T], new: Mapping[K, T]) -> Iterator[tuple[K, T | None, T | None, T]]:
    """Every key of two maps: what stands there in the old and in the new one, and the new, or else the old, of both."""
    for key in dict.fromkeys((*old, *new)):
        was, now = old.get(key), new.get(key)
        about = now or was
        assert about is not None
        yield key, was, now, about


def _reasons(was: CardText, now: CardText) -> Iterator[Reason]:
    for _, one, two, about in _pairs(_by_key(was), _by_key(now)):
        if one == two:
            continue
        if one and two and one.text == two.text and one.label != two.label:
            yield Reason(two.label, one.label, two.label)
        else:
            yield Reason(about.label, one.text if one else "", two.text if two else "")


def _by_key(card: CardText) -> dict[str, CardLine]:
    """Lines by key; a key that comes again is told apart by its count."""
    found: dict[str, CardLine] = {}
    for line in card.lines:
        key, number = line.key, 2
        while key in found:
            key, number = f"{line.key} {number}", number + 1
        found[key] = line
    return found


ChangeKind = Literal["input", "value", "limit", "step", "check", "order", "question"]
NONE = Told("")
DOUBTS = "assumptions-open"
"""The code of the warning that a job for construction rests on facts that nobody is sure of."""
_COUNTS = re.compile(r"[0-9]+ assumed, [0-9]+ not known")
CHECKERS: tuple[Reader, ...] = ("crew", "inspector")


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that differs. ``old`` is empty for what is new, ``new`` for what is gone.

    ``subject`` is what changes, alike for every place where it does; ``place`` is where, and ``boxes`` are the boxes
    and closing runs that it concerns.
    """

    kind: ChangeKind
    subject: str
    place: str
    old: Told
    new: Told
    boxes: tuple[str, ...]
    readers: tuple[Reader, ...]
    key: str

    @property
    def move(self) -> float:
        """How far the number moves; 0 where there are no two numbers."""
        old, new = self.old.number, self.new.number
        return 0.0 if old is None or new is None else new - old


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that differs between two revisions; ``order`` is every box and closing run of both, in path order."""

    old: DocumentFacts
    new: DocumentFacts
    changes: tuple[Change, ...]
    cards: tuple[CardChange, ...]
    order: Mapping[str, int]
    """The places of the cards of the new revision, then of those that are gone."""
    card_count: int

    def of(self, kind: ChangeKind, reader: Reader | None = None) -> tuple[Change, ...]:
        """The changes of one kind, of one reader where one is named."""
        return tuple(each for each in self.changes if each.kind == kind and (reader is None or reader in each.readers))

    def cards_that_are(self, state: str) -> tuple[str, ...]:
        """The cards in one state: void, new or gone."""
        return tuple(each.box for each in self.cards if each.state == state)

    @property
    def is_empty(self) -> bool:
        """Whether nothing differs that a reader works by."""
        return not self.changes and not self.cards


def compare(old: Snapshot, new: Snapshot) -> Comparison:
    """What a reader who holds ``old`` must know of ``new``."""
    inputs = tuple(_inputs(old, new))
    restated = {(box, change.new.text) for change in inputs for box in change.boxes}
    values = (each for each in _values(old, new) if not _restates(each, restated))
    changes = (*inputs, *values, *_checks(old, new), *_steps(old, new), *_orders(old, new), *_questions(old, new))
    order = {name: number for number, name in enumerate(dict.fromkeys((*new.cards, *old.cards)))}
    cards = card_changes(old.cards, new.cards)
    return Comparison(old.document, new.document, changes, cards, order, len(new.cards))


def _restates(change: Change, stated: set[tuple[str, str]]) -> bool:
    """Whether a table only says again what the job states of that box, and is told as changed already."""
    first = change.new.text.split(" (")[0]
    return bool(first) and any((box, text) in stated for box in change.boxes for text in (change.new.text, first))


def _inputs(old: Snapshot, new: Snapshot) -> Iterator[Change]:
    for path in dict.fromkeys((*old.inputs, *new.inputs)):
        before, after = old.inputs.get(path, ""), new.inputs.get(path, "")
        if before == after or path.startswith("answers."):
            continue
        told = [Told(input_text(path, text, one.names)) for text, one in ((before, old), (after, new))]
        box = box_of(path)
        title = capital(input_title(path, new.names if after else old.names).removeprefix(f"{box}: "))
        yield Change("input", title, box, told[0], told[1], (box,) if box else (), READERS, path)


def _values(old: Snapshot, new: Snapshot) -> Iterator[Change]:
    empty = Sheet("", {}, {})
    for name in dict.fromkeys((*old.sheets, *new.sheets)):
        before, after = old.sheets.get(name, empty), new.sheets.get(name, empty)
        columns = {**before.columns, **after.columns}
        for key, was, now, row in _pairs(before.rows, after.rows):
            if was is None or now is None:
                continue  # a box or a run that is new or gone is told once, among the cards
            for column, about in columns.items():
                one, two = was.cells.get(column, NONE), now.cells.get(column, NONE)
                if one.text != two.text:
                    place = f"{row.place}, {about.detail}" if about.detail else row.place
                    name_of = f"{name}/{key}/{column}"
                    yield Change(about.kind, about.words, place, one, two, row.boxes, about.readers, name_of)


def _checks(old: Snapshot, new: Snapshot) -> Iterator[Change]:
    for id, was, now, about in _pairs(old.checks, new.checks):
        if was == now:
            continue
        places = (new if now else old).places.get(about.where, ())
        title = f"{id} {about.title}"
        if was is None or now is None:
            words = Told(f"{about.limit} ({about.when.lower()})")
            yield Change("check", title, "", words if was else NONE, words if now else NONE, places,
                         CHECKERS, id)  # fmt: skip
            continue
        if was.limit != now.limit:
            yield Change("limit", title, "", Told(was.limit), Told(now.limit), places, CHECKERS, id)
        rest = [
            (getattr(was, key), getattr(now, key)) for key in ("title", "when", "record", "hold")
            if getattr(was, key) != getattr(now, key)
        ]  # fmt: skip
        for before, after in rest:
            yield Change("check", title, "", Told(before or "nothing"), Told(after or "nothing"), places, CHECKERS, id)


def _steps(old: Snapshot, new: Snapshot) -> Iterator[Change]:
    for key, was, now, about in _pairs(old.steps, new.steps):
        name = f"step {about.number}" if about.number else "caution"
        source = new if now else old
        boxes = {box for id in about.checks if id in source.checks for box in _places(source, id)}
        ordered = tuple(box for box in source.cards if box in boxes)
        for subject, before, after in _parts(was, now, old.document, new.document):
            yield Change(
                "step", f"{about.section}, {name}{subject}", "", Told(before), Told(after), ordered,
                CHECKERS if any(_is_held(source, id) for id in about.checks) else ("crew",), key,
            )  # fmt: skip


def _is_held(snapshot: Snapshot, check: str) -> bool:
    """Whether work stops, or an inspector is called, for a check."""
    return check in snapshot.checks and bool(snapshot.checks[check].hold)


def _places(snapshot: Snapshot, check: str) -> tuple[str, ...]:
    return snapshot.places.get(snapshot.checks[check].where, ())


def _parts(
    was: StepText | None, now: StepText | None, old: DocumentFacts, new: DocumentFacts
) -> Iterator[tuple[str, str, str]]:
    """Which of a step's texts differ: the action, why, when to stop. A step that only moved is no change."""
    for part, words in (("text", ""), ("why", ", why"), ("stop", ", stop if")):
        before, after = (getattr(each, part) if each else "" for each in (was, now))
        if _without_issue(before, old) != _without_issue(after, new):
            yield words, before, after
    if was and now and was.checks != now.checks:
        yield ", checks", ", ".join(was.checks) or "none", ", ".join(now.checks) or "none"


def _without_issue(text: str, facts: DocumentFacts) -> str:
    """A text without its revision and date, which tell every issue from every other and are told already."""
    return text.replace(f"revision {facts.revision}", "revision").replace(facts.date, "")


def _orders(old: Snapshot, new: Snapshot) -> Iterator[Change]:
    for key, was, now, about in _pairs(old.orders, new.orders):
        if was == now:
            continue
        one, two = was.order if was else NONE, now.order if now else NONE
        if one.text == two.text and was and now:
            if was.quantity == now.quantity:
                one, two = Told(f"{was.title} {was.part}"), Told(f"{now.title} {now.part}")
            else:
                one, two = was.quantity, now.quantity
                yield Change("order", f"{about.title}, quantity (the order stays {now.order.text})", "", one,
                             two, (), ("contractor",), key)  # fmt: skip
                continue
        yield Change("order", f"{about.title}, order", "", one, two, (), ("contractor",), key)


def _questions(old: Snapshot, new: Snapshot) -> Iterator[Change]:
    """Findings that are new, answered since, or settled, by code and boxes."""
    before, after = ({(each.code, each.boxes): each for each in one.questions} for one in (old, new))
    for _, was, now, about in _pairs(before, after):
        told = [Told(_state(each)) for each in (was, now)]
        subject = capital(about.text.rstrip("."))
        if about.code == DOUBTS:
            subject = "Facts that nobody is sure of"
            told = [Told(", ".join((_doubts(each), _state(each))) if each else "") for each in (was, now)]
        elif was and now and was.text != now.text and told[0] == told[1]:
            subject, told = capital(about.code.replace("-", " ")), [Told(was.text), Told(now.text)]
        if told[0].text != told[1].text:
            readers: tuple[Reader, ...] = ("contractor", "inspector")
            yield Change("question", subject, "", told[0], told[1], about.boxes, readers, about.code)


def _state(question: Question | None) -> str:
    """How a finding stands, in words."""
    if question is None:
        return ""
    article = "an" if question.level.startswith("e") else "a"
    return question.answer or (f"not answered by {question.asks}" if question.asks else f"{article} {question.level}")


def _doubts(question: Question) -> str:
    """How many facts are assumed and not known, out of the words of the warning that counts them."""
    counts = _COUNTS.search(question.text)
    return counts[0] if counts else question.text
