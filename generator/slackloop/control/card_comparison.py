"""Cards of two revisions compared: a card is void when anything that it says has changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from slackloop.control.snapshot import CardLine, CardText

CardState = Literal["void", "new", "gone"]


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
    for name in dict.fromkeys((*new, *old)):
        was, now = old.get(name), new.get(name)
        if was is None or now is None:
            found.append(CardChange(name, "new" if was is None else "gone"))
        elif was != now:
            found.append(CardChange(name, "void", tuple(_reasons(was, now))))
    return tuple(found)


def _reasons(was: CardText, now: CardText) -> Iterator[Reason]:
    before, after = _by_key(was), _by_key(now)
    for key in dict.fromkeys((*before, *after)):
        one, two = before.get(key), after.get(key)
        if one == two:
            continue
        about = two or one
        assert about is not None
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
