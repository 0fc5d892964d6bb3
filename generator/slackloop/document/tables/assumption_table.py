"""Facts that nobody is sure of: what is assumed or not known, which figures move with it, and when to confirm it."""

from __future__ import annotations

from slackloop.document.context import Context
from slackloop.document.doubts import Doubt, doubts
from slackloop.document.inline import line
from slackloop.document.table import Cell, Column, Table, cell, one_part

COLUMNS = (
    Column("fact", "Fact", share=6), Column("value", "Taken as", share=4), Column("of", "Of", share=5),
    Column("moves", "What moves with it", share=7), Column("before", "Confirm before", share=5),
    Column("place", "In the job file", share=4),
)  # fmt: skip


def assumptions_table(context: Context) -> Table:
    """The list with what each fact moves; no rows where the job is sure of everything."""
    rows = [_row(each) for each in doubts(context)]
    intro = (
        "Facts that the job assumes or does not know, those with most effect on volts and on orders first. Find them "
        "out in this order. Each is a hold point on the job sheet."
    )
    note = "Not known: the figures that rest on it are told as not known too, and never guessed."
    return Table(
        "assumptions", "Facts to confirm", COLUMNS, one_part(rows), ("job",), (), line(intro), (line(note),),
        landscape=True,
    )  # fmt: skip


def _row(each: Doubt) -> tuple[Cell, ...]:
    fact = each.fact[:1].upper() + each.fact[1:]
    return (
        cell(fact), cell(each.value), cell(each.of), cell(each.effect.moves), cell(each.effect.before),
        cell(each.where),
    )  # fmt: skip
