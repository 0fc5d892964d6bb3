"""What changed, in sentences: first what concerns everybody, then what contractor, crew and inspector each need.

What changes alike at many places is said once, with the places; what moves by another figure at each is said once with
the place where it moves most.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from slackloop.control.comparison import CardChange, Change, ChangeKind, Comparison
from slackloop.control.snapshot import READERS, DocumentFacts, Reader
from slackloop.sections.format import count, listing
from slackloop.sections.inspection_points import spans

MOST_ALIKE = 3
"""Up to so many different texts of one subject are each written out."""
EVERY = "every box"
MOST_REASONS = 2
"""So many lines of a void card are written out; of the others their subjects are named."""
PART_TITLES: dict[ChangeKind, str] = {
    "input": "Changed in the job", "order": "To order", "step": "Steps", "check": "Checks", "limit": "Limits",
    "value": "Values", "question": "Questions and errors",
}  # fmt: skip
FOR: dict[Reader, str] = {
    "contractor": "For the contractor", "crew": "For the crew", "inspector": "For the inspector"
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Lines:
    """A few sentences under a title."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chapter:
    """What one reader needs to know; ``reader`` is empty for what concerns everybody."""

    reader: str
    title: str
    parts: tuple[Lines, ...]


@dataclass(frozen=True, slots=True)
class _Item:
    """One place where something changes."""

    place: str
    boxes: tuple[str, ...]
    old: str
    new: str
    move: float


def heading(comparison: Comparison) -> str:
    """Which two revisions are compared."""
    old, new = comparison.old, comparison.new
    if old.number == new.number:
        return f"{new.number}: what changed from revision {_issue(old)} to revision {_issue(new)}"
    return f"What differs between {old.number}, revision {_issue(old)}, and {new.number}, revision {_issue(new)}"


def _issue(facts: DocumentFacts) -> str:
    return f"{facts.revision} ({facts.date})"


def summary(comparison: Comparison) -> str:
    """What changed in a few words, for a line of the history."""
    counted: list[tuple[int, str, str]] = [
        (len(comparison.of("input")), "value of the job", "values of the job"),
        (len({each.subject for each in comparison.of("limit")}), "limit", "limits"),
        (len({each.key for each in comparison.of("step")}), "step", "steps"),
        (len({each.key for each in comparison.of("order")}), "order", "orders"),
    ]
    told = [count(number, one, many) for number, one, many in counted if number]
    void = len(comparison.cards_that_are("void"))
    words = f"{listing(told)} changed" if told else "No value, limit, step or order changed"
    return f"{words}; {count(void, 'card is', 'cards are')} void" if void else words


def chapters(comparison: Comparison) -> tuple[Chapter, ...]:
    """Everything that changed, a chapter a reader; a reader without changes has none."""
    shared = [each for each in comparison.changes if each.readers == READERS]
    own = {reader: [each for each in comparison.changes if reader in each.readers and each.readers != READERS]
           for reader in READERS}  # fmt: skip
    made = [Chapter("", "For everybody", (*_cards(comparison), *_parts(comparison, shared)))]
    made += [Chapter(reader, FOR[reader], tuple(_parts(comparison, own[reader]))) for reader in READERS]
    return tuple(each for each in made if each.parts)


def sentences(comparison: Comparison, changes: Iterable[Change]) -> tuple[str, ...]:
    """Some of the changes in sentences, those of one subject together."""
    return tuple(text for part in _parts(comparison, changes) for text in part.lines)


def _cards(comparison: Comparison) -> Iterator[Lines]:
    """Which cards are void and why, which are new and which are gone."""
    void, fresh, gone = (comparison.cards_that_are(state) for state in ("void", "new", "gone"))
    lines: list[str] = []
    if void:
        these = _where(void, comparison)
        lines.append(
            f"Void: {these} ({len(void)} of {count(comparison.card_count, 'card', 'cards')}). "
            "Take them back, mark them void and hand out the new ones. Keep any that is filled in: it is a record."
        )
    if fresh:
        lines.append(f"New: {_where(fresh, comparison)}.")
    if gone:
        lines.append(f"No longer in the job: {_where(gone, comparison)}.")
    if lines:
        yield Lines("Cards", tuple(lines))
    why = tuple(_why(comparison))
    if why:
        yield Lines("Why these cards are void", why)


def _why(comparison: Comparison) -> Iterator[str]:
    """Each void card once, with what differs; cards on which the same lines differ are told together."""
    groups: dict[tuple[tuple[str, bool, bool], ...], list[CardChange]] = {}
    for card in comparison.cards:
        if card.state == "void":
            groups.setdefault(tuple((why.label, bool(why.old), bool(why.new)) for why in card.why), []).append(card)
    for cards in groups.values():
        yield _why_group(cards, comparison)


def _why_group(cards: list[CardChange], comparison: Comparison) -> str:
    first = cards[0]
    alike = {
        why.label: all(why in other.why for other in cards[1:]) for why in first.why
    }  # fmt: skip
    shown: dict[str, str] = {}
    for why in first.why:
        if why.label not in shown:
            as_at = "" if alike[why.label] else f"as at {first.box}, "
            shown[why.label] = f"{why.label}: {as_at}{_move(why.old, why.new)}"
    told = list(shown.values())
    also = list(shown)[MOST_REASONS:]
    more = f" Also: {'; '.join(also)}." if also else ""
    where = _where([card.box for card in cards], comparison)
    return f"{'Every box' if where == EVERY else where}. {' '.join(told[:MOST_REASONS])}{more}"


def _parts(comparison: Comparison, changes: Iterable[Change]) -> Iterator[Lines]:
    """Changes by kind, those of one subject together."""
    by_kind: dict[ChangeKind, dict[str, list[_Item]]] = {}
    for each in changes:
        item = _Item(each.place, each.boxes, each.old.text, each.new.text, each.move)
        by_kind.setdefault(each.kind, {}).setdefault(each.subject, []).append(item)
    for kind, title in PART_TITLES.items():
        subjects = by_kind.get(kind, {})
        lines = [line for subject, items in subjects.items() for line in _told(subject, items, comparison)]
        if lines:
            yield Lines(title, tuple(lines))


def _told(subject: str, items: list[_Item], comparison: Comparison) -> Iterator[str]:
    """One subject: alike changes once with their places, else the places with the one that moves most."""
    alike: dict[tuple[str, str], list[_Item]] = {}
    for each in items:
        alike.setdefault((each.old, each.new), []).append(each)
    if len(alike) <= MOST_ALIKE:
        for (old, new), those in alike.items():
            where = _places(those, comparison)
            yield f"{subject}{f', {where}' if where else ''}: {_move(old, new)}"
        return
    most = max(items, key=lambda each: abs(each.move))
    example = "most at" if most.move else "as at"
    yield f"{subject}, {_places(items, comparison)}: {example} {most.place}, {_move(most.old, most.new)}"


def _move(old: str, new: str) -> str:
    """What it is now, then what it was."""
    old, new = old.strip().removesuffix("."), new.strip().removesuffix(".")
    if not old:
        return f"new: {new}."
    if not new:
        return f"no longer: {old}."
    return f"now {new} (was {old})."


def _places(items: Iterable[_Item], comparison: Comparison) -> str:
    items = tuple(items)
    boxes = tuple(dict.fromkeys(box for each in items for box in each.boxes))
    if boxes and all(box in comparison.order for box in boxes):
        return _where(boxes, comparison)
    return listing(tuple(dict.fromkeys(each.place for each in items if each.place)))


def _where(boxes: Iterable[str], comparison: Comparison) -> str:
    return spans(tuple(boxes), comparison.order)
