"""The snapshot of a handbook: what it says, taken from its pages, tables, cards and findings.

A card as lines that can be compared: every word and figure on it, each with a key that outlives a change of both.

The method as texts that can be compared: every step, every caution and every check that applies to the job.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from slackloop.control.fingerprint import input_path, job_inputs
from slackloop.control.releases import places_of
from slackloop.control.snapshot import (
    FORMAT,
    CardLine,
    CardText,
    CheckText,
    DocumentFacts,
    Order,
    Question,
    Snapshot,
    StepText,
    Told,
)
from slackloop.document.blocks import Blocks, Caution, Step, Steps
from slackloop.document.boxes.box_page import HELD
from slackloop.document.boxes.card import Card, cards_of
from slackloop.document.boxes.stages import StageWork
from slackloop.document.context import Context
from slackloop.document.inline import plain
from slackloop.document.page import DocumentHeader, Page
from slackloop.document.pages.section_page import section_id
from slackloop.document.revision.frozen_tables import sheets
from slackloop.document.tables.matrix import HOLD_WORDS, RECORD_WORDS, boxes_due, check_words, when
from slackloop.document.tables.order_tables import material_title, order_text, quantity_text
from slackloop.document.walk import walk, words
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.inspection_points import AT_NO_BOX
from slackloop.sections.section import Check
from slackloop.site.reader import fingerprint_source
from slackloop.source.finding import Placed
from slackloop.units.figure import NOT_KNOWN

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
    if stage.waits:
        yield CardLine(f"{stage.id} waits", f"{stage.title} stage, waits for", stage.waits)
    for each in stage.entries:
        limit = " ".join((each.limit, each.after)).strip()
        key = f"{stage.id} {' '.join(each.ids)}"
        label = " · ".join(part for part in (each.label, each.tag) if part)
        yield CardLine(key, label, limit, each.ids, each.least, each.most, each.unit)
    for kind, said in (("tick", stage.ticks), ("seen", stage.seen), ("sign", stage.holds), ("later", stage.later)):
        for one in said:
            text = f"{one.text} · {one.tag}" if one.tag else one.text
            text = f"{HELD[one.stops]}{text}" if one.stops else text
            yield CardLine(f"{stage.id} {one.id}", f"{stage.title} stage, {kind} {one.id}", text, (one.id,))
    if stage.covered:
        yield CardLine(f"{stage.id} covered", f"{stage.title} stage, signed for too", ", ".join(stage.covered))
    for title, text in stage.warned:
        yield CardLine(f"{stage.id} caution {title}", f"Caution, {title}", text)
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


def step_texts(context: Context, pages: Iterable[Page]) -> dict[str, StepText]:
    """Steps and cautions of every section page, by page and anchor."""
    applied = {section_id(each): each for each in context.sections}
    return {
        f"{page.id}#{anchor}": text
        for page in pages if page.id in applied for anchor, text in _texts(page, applied[page.id])
    }  # fmt: skip


def _texts(page: Page, applied: AppliedSection) -> Iterator[tuple[str, StepText]]:
    for block in walk(page.blocks):
        if isinstance(block, Caution):
            text = f"{block.title}. {_one(block.blocks)}"
            yield f"caution {block.title}", StepText(page.title, "", text, page=page.id)
        elif isinstance(block, Steps):
            for step in block.steps:
                yield step.anchor, _step(page, step, applied)


def _step(page: Page, step: Step, applied: AppliedSection) -> StepText:
    proved = _checks(step, applied)
    return StepText(page.title, step.number, _one(step.blocks), _one(step.why), _one(step.stop), proved, page.id)


def _checks(step: Step, applied: AppliedSection) -> tuple[str, ...]:
    """The checks at a step, and those that prove the requirements that it carries out."""
    carried = {name for each in applied.steps if each.id == step.anchor for name in each.carries}
    proved = [check.id for each in applied.requirements if each.id in carried for check in applied.checks_of(each)]
    return tuple(dict.fromkeys((*(check.id for check in step.checks), *proved)))


def _one(blocks: Blocks) -> str:
    """The words of blocks on one line."""
    return " ".join(words(blocks).split())


def check_texts(context: Context) -> dict[str, CheckText]:
    """Every check that applies, by its id."""
    return {check.id: _check(context, each, check) for each in context.sections for check in each.checks}


def _check(context: Context, applied: AppliedSection, check: Check) -> CheckText:
    title, limit = (" ".join(plain(words).split()) for words in check_words(context, applied, check))
    section = context.prose.plain(applied.section.front.title)
    return CheckText(
        section, title, limit, check.where, when(check), RECORD_WORDS[check.record], HOLD_WORDS[check.hold]
    )


def check_places(context: Context) -> dict[str, tuple[str, ...]]:
    """The boxes at which a check of each kind of place is made."""
    asked = dict.fromkeys(check.where for each in context.sections for check in each.checks)
    return {where: boxes_due(context, where) for where in asked if where not in AT_NO_BOX}


def make_snapshot(context: Context, pages: Sequence[Page], header: DocumentHeader) -> Snapshot:
    """What the handbook of ``pages`` says."""
    return Snapshot(
        format=FORMAT,
        document=DocumentFacts(
            header.number, header.title, header.site, header.revision, header.date, header.status, header.fingerprint
        ),
        inputs=_inputs(context),
        names={kind: dict(titles) for kind, titles in context.part_titles.items()},
        sheets=sheets(context),
        steps=step_texts(context, pages),
        checks=check_texts(context),
        orders=_orders(context),
        cards={card.id: card_text(card) for card in cards_of(context)},
        places=check_places(context),
        questions=_questions(context),
    )


def _inputs(context: Context) -> dict[str, str]:
    """What the job states; what it says is not known has an entry too, so that a later value is told as one."""
    inputs = job_inputs(fingerprint_source(context.job))
    for each in context.reading.assumptions if context.reading else ():
        if each.kind == "unknown":
            inputs.setdefault(input_path(each.key), NOT_KNOWN)
    return inputs


def _orders(context: Context) -> dict[str, Order]:
    """Every material by its kind and name, with what it takes and what is ordered."""
    return {
        f"{each.kind} {each.item}": Order(
            material_title(context, each), each.part,
            Told(quantity_text(context, each), each.quantity, each.unit),
            Told(order_text(context, each), each.order, each.order_unit),
        )
        for each in context.analysis.materials
    }  # fmt: skip


def _questions(context: Context) -> tuple[Question, ...]:
    """Errors and warnings, with what answers them."""
    return tuple(
        Question(
            each.level, each.code, places_of(each), each.message, each.asks,
            each.answer.sentence if isinstance(each, Placed) and each.answer else "",
        )
        for each in context.findings if each.level != "note"
    )  # fmt: skip
