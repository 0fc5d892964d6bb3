"""A card as lines that can be compared: every word and figure on it, each with a key that outlives a change of both."""

from __future__ import annotations

import re
from collections.abc import Iterator

from slackloop.control.snapshot import CardLine, CardText
from slackloop.document.boxes.card import Card
from slackloop.document.boxes.stage_work import StageWork

_SENTENCE = re.compile(r"(?<=[.]) (?=[A-Z])")


def card_text(card: Card) -> CardText:
    """What a card says: heading, values, electrode, what to watch, stages, and its wiring as the drawing tells it."""
    return CardText(card.kind, tuple(_lines(card)))


def _lines(card: Card) -> Iterator[CardLine]:
    yield CardLine("title", "Title", card.title)
    yield CardLine("about", "What it is", card.about)
    for fact in card.facts:
        yield CardLine(f"fact {fact.label}", fact.label, " ".join((fact.value, fact.more)).strip())
    if rods := card.electrode:
        text = f"{rods.rods} rods of {rods.rod}, {rods.between} apart, {rods.clear} from the cable"
        yield CardLine("electrode", "Rods", text)
    for watch in card.watch:
        yield CardLine(f"watch {watch.title}", f"Watch: {watch.title}", watch.text)
    for stage in card.stages:
        yield from _stage(stage)
    if card.figure is not None:
        yield from _wiring(card.figure.description)


def _stage(stage: StageWork) -> Iterator[CardLine]:
    if stage.about:
        yield CardLine(f"{stage.id} about", f"{stage.title} stage", stage.about)
    for each in stage.entries:
        limit = " ".join((each.limit, each.after)).strip()
        key = f"{stage.id} {' '.join(each.ids)}"
        label = " · ".join(part for part in (each.label, each.tag) if part)
        yield CardLine(key, label, limit, each.ids, each.least, each.most, each.unit)
    for kind, said in (("tick", stage.ticks), ("seen", stage.seen), ("sign", stage.holds)):
        for one in said:
            text = f"{one.text} · {one.tag}" if one.tag else one.text
            yield CardLine(f"{stage.id} {one.id}", f"{stage.title} stage, {kind} {one.id}", text, (one.id,))
    for number, band in enumerate(stage.bands):
        text = f"soil {band.soil}: {band.passes}, expect {band.about}"
        yield CardLine(f"{stage.id} soil {number}", "Loop limits", text)


def _wiring(description: str) -> Iterator[CardLine]:
    """The drawing in words, a line a sentence; what the sentence is about is its words before the first comma."""
    for sentence in _SENTENCE.split(description):
        about = sentence.split(",")[0].split(":")[0]
        key = about if about.startswith(("Run ", "Station ")) else " ".join(about.split()[:2])
        text = sentence.removeprefix(key).lstrip(",: ") or sentence
        yield CardLine(f"wiring {key}", f"Wiring, {key[:1].lower()}{key[1:].rstrip('.')}", text)
