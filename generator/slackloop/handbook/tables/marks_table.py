"""What each colour of a mark on the ground stands for, where the code basis has such colours."""

from __future__ import annotations

from slackloop.handbook.context import Context
from slackloop.handbook.tables.table import Column, Table, one_part

MARKS = "marks"
"""The clause of a code basis that gives colours to marks on the ground."""


def utility_marks_table(context: Context) -> Table:
    """Colours and what they stand for; without rows where the code basis has no clause on them."""
    marks = context.tables.marks if context.basis.clause(MARKS) else ()
    source = f"{context.basis.cite(MARKS)} ({marks[0].checked})." if marks else "No colours in this code basis."
    return Table(
        "utility-marks",
        "Colours of marks on the ground",
        "A mark's colour says what kind of service is under it.",
        (Column("Colour"), Column("What is there")),
        one_part([(mark.colour, mark.meaning) for mark in marks]),
        (source,),
        omit_when_empty=True,
        door="Install",
    )
