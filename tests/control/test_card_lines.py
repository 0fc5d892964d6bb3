"""Nothing that a card shows is left out of what is compared."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from book_samples import demonstration
from slackloop.document.boxes.card import Card, cards_of
from slackloop.document.revision.snapshot_maker import card_text

NOT_SAID = {"section", "id", "page", "group", "number", "figure", "kind", "near"}
"""Where a card belongs, how it is drawn, and what a reading is held beside; its drawing is compared by its words, its
kind beside its lines."""


def cards() -> tuple[Card, ...]:
    return cards_of(demonstration().context)


def variants(part: Any) -> list[tuple[str, Any]]:
    """The part with one field changed, at any depth, for each field that it says."""
    found: list[tuple[str, Any]] = []
    for each in fields(part):
        value = getattr(part, each.name)
        if each.name in NOT_SAID:
            continue
        if isinstance(value, tuple) and value and is_dataclass(value[0]):
            for n, item in enumerate(value):
                found += [
                    (f"{each.name}[{n}].{name}", replace(part, **{each.name: (*value[:n], inner, *value[n + 1 :])}))
                    for name, inner in variants(item)
                ]
            found.append((f"{each.name} without its first", replace(part, **{each.name: value[1:]})))
        elif is_dataclass(value) and not isinstance(value, type):
            found += [(f"{each.name}.{name}", replace(part, **{each.name: inner})) for name, inner in variants(value)]
        elif isinstance(value, tuple) and value and isinstance(value[0], str):
            found.append((each.name, replace(part, **{each.name: (*value, "more")})))
        elif each.name == "stops":
            found += [(each.name, replace(part, stops="work" if value == "fill" else "fill"))] if value else []
        elif isinstance(value, str) and each.name not in {"kind", "id", "tag", "record", "answers"}:
            found.append((each.name, replace(part, **{each.name: f"{value} changed"})))
    return found


@pytest.mark.parametrize("box", ["B05", "B06", "B20"])
def test_every_word_of_a_card_is_compared(box: str) -> None:
    card = next(each for each in cards() if each.id == box)
    text = card_text(card)
    made = variants(card)
    assert len(made) > 80
    missed = [name for name, other in made if card_text(other) == text]
    assert missed == []


def test_the_drawing_is_compared_by_its_words() -> None:
    card = next(each for each in cards() if each.id == "B05")
    assert card.figure is not None
    other = replace(card.figure, description=card.figure.description.replace("61 m", "62 m"))
    assert card_text(replace(card, figure=other)) != card_text(card)
