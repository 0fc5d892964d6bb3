"""The snapshot of a handbook: what it says, taken from its pages, tables, cards and findings."""

from __future__ import annotations

from collections.abc import Sequence

from slackloop.control.inputs import job_inputs
from slackloop.control.release_rules import places_of
from slackloop.control.snapshot import FORMAT, DocumentFacts, Order, Question, Snapshot, Told
from slackloop.document.boxes.card import cards_of
from slackloop.document.context import Context
from slackloop.document.page import DocumentHeader, Page
from slackloop.document.revision.card_lines import card_text
from slackloop.document.revision.frozen_tables import sheets
from slackloop.document.revision.section_texts import check_places, check_texts, step_texts
from slackloop.document.tables.order_tables import material_title, order_text, quantity_text
from slackloop.sections.part_titles import part_titles
from slackloop.site.reader import fingerprint_source
from slackloop.source.finding import Placed


def make_snapshot(context: Context, pages: Sequence[Page], header: DocumentHeader) -> Snapshot:
    """What the handbook of ``pages`` says."""
    return Snapshot(
        format=FORMAT,
        document=DocumentFacts(
            header.number, header.title, header.site, header.revision, header.date, header.status, header.fingerprint
        ),
        inputs=job_inputs(fingerprint_source(context.job)),
        names={kind: dict(titles) for kind, titles in part_titles(context.job).items()},
        sheets=sheets(context),
        steps=step_texts(context, pages),
        checks=check_texts(context),
        orders=_orders(context),
        cards={card.id: card_text(card) for card in cards_of(context)},
        places=check_places(context),
        questions=_questions(context),
    )


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
