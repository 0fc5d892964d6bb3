"""One fact has one figure: on the card, on the box's page and in the tables."""

from __future__ import annotations

from book_samples import book_of, rows_of
from samples import DEMO
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.cards import CardMaker


def test_volts_and_slack_read_the_same_on_card_page_and_table() -> None:
    book = book_of(DEMO)
    context = book.context
    columns = [column.key for column in book.tables["boxes"].columns]
    order = [index for group in context.groups for index in group.indices]
    rows = dict(zip(order, rows_of(book.tables["boxes"]), strict=True))
    for index, card in enumerate(CardMaker(context).cards()):
        row = dict(zip(columns, rows[index], strict=True))
        rest, worst = (reading.value for reading in card.readings[-2:])
        assert (rest, worst) == (row["rest"], row["lowest"])
        facts = BoxFacts(context, index)
        assert [str(value) for _, value, _ in facts.readings()][-2:] == [rest, worst]
        slack = next(fact for fact in card.facts if fact.label == "Slack")
        assert slack.value == row["slack"]
        assert row["all-slack"] in slack.more or row["ends"] == "1"
