"""The record sheet: every check that is made once for the job, with room to write what was found and by whom.

What is checked at each box or run is recorded on the card of that box.
"""

from __future__ import annotations

from slackloop.handbook.addresses import section_uri
from slackloop.handbook.context import Context
from slackloop.handbook.section_words import HOLD_WORDS
from slackloop.handbook.tables.table import Column, Row, Table, TablePart
from slackloop.handbook.text import Trusted, escape, link, trusted

TO_WRITE_IN = trusted("&#95;" * 16)
"""A line to write on; on paper it also keeps its column wide."""


def record_sheet_table(context: Context) -> Table:
    """Checks made once for the job, by section, in the order of the work."""
    parts = []
    for applied in context.sections:
        front, file = applied.section.front, applied.section.file
        rows: list[Row] = []
        for check in applied.checks:
            if check.where != "job":
                continue
            line = applied.section.line_of(check.id)
            name = link(check.id, f"../{section_uri(front.part, front.id)}#{check.id.lower()}")
            hold = f". {HOLD_WORDS[check.hold]}" if check.hold != "none" else ""
            what: Trusted = trusted(f"{context.renderer.render(check.title, file, line)}{escape(hold)}")
            rows.append((name, what, context.renderer.render(check.limit, file, line), TO_WRITE_IN, TO_WRITE_IN))
        if rows:
            parts.append(TablePart(context.renderer.plain(front.title), tuple(rows)))
    return Table(
        "record-sheet",
        "Record sheet for the whole job",
        "Checks made once for the job. Write down what was read or seen, and sign. Checks of a box or a run stand on "
        "the card of that box.",
        (
            Column("Check"),
            Column("What"),
            Column("Limit"),
            Column("Read or seen"),
            Column("Name, date"),
        ),
        tuple(parts),
        ("The content of this handbook; limits come from the job file.",),
        door="Inspect",
        own_place=True,
    )
