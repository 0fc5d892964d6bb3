"""One fact has one figure: on the card and on the box's page."""

from __future__ import annotations

from book_samples import demonstration, page_words
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.card import CardMaker


def test_limits_slack_and_volts_read_the_same_on_card_and_page() -> None:
    book = demonstration()
    for index, card in enumerate(CardMaker(book.context).cards()):
        page = page_words(book, card.page)
        for stage in card.stages:
            for band in stage.bands:
                assert band.passes in page
            for entry in stage.entries:
                assert entry.limit in page, entry
            for said in (*stage.ticks, *stage.seen, *stage.holds):
                assert said.text in page
        for _, value, _ in BoxFacts(book.context, index).readings():
            assert value in page
