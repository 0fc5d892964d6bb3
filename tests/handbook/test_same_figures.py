"""One fact has one figure: on the card, on the box's page and in the tables."""

from __future__ import annotations

from samples import DEMO
from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.box_facts import BoxFacts
from slackloop.handbook.cards import CardMaker


def test_volts_and_slack_read_the_same_on_card_page_and_table() -> None:
    book = book_from_job(DEMO)
    context = book.context
    tables = {name: [row for part in book.tables[name].parts for row in part.rows] for name in ("volts", "slack")}
    for index, card in enumerate(CardMaker(context).cards()):
        rest, worst = (reading.value for reading in card.readings[-2:])
        assert (rest, worst) == tables["volts"][index][1:3]
        facts = BoxFacts(context, index)
        assert [str(value) for _, value, _ in facts.readings()][-2:] == [rest, worst]
        slack = next(fact for fact in card.facts if fact.label == "Slack")
        each, total = tables["slack"][index][2:4]
        assert slack.value == each
        assert total in slack.more or tables["slack"][index][1] == "1"
