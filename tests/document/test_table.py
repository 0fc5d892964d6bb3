"""A table says where its figures come from, and holds one cell a column."""

from __future__ import annotations

import pytest

from slackloop.document.inline import plain
from slackloop.document.table import Column, Table, cell, figure_cell, one_part, source_line
from slackloop.reference.rows import RodGroupRow
from slackloop.units.figure import length

COLUMNS = (Column("box", "Box"), Column("slack", "Slack", "length"))


def table(**changes: object) -> Table:
    given: dict[str, object] = {
        "id": "t", "title": "T", "columns": COLUMNS, "basis": ("job",),
        "parts": one_part([(cell("B01"), figure_cell(length(1.234, "least"), "metric"))]),
    }  # fmt: skip
    return Table(**(given | changes))  # type: ignore[arg-type]


def test_a_figure_keeps_its_number_beside_its_words() -> None:
    shown = table().rows[0][1]
    assert shown.number == 1.234
    assert plain(shown.line).startswith("1.24 m (")


def test_a_row_of_another_length_is_refused() -> None:
    with pytest.raises(ValueError, match="a row of 1 in 2 columns"):
        table(parts=one_part([(cell("B01"),)]))


def test_a_table_that_rests_on_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="does not say where its figures come from"):
        table(basis=())


def test_the_source_line_follows_the_rows_that_were_used() -> None:
    row = RodGroupRow(rods=2, factor=1.16, source="IEEE Std 142, Table 14", checked="read in a copy")
    other = row.model_copy(update={"source": "Another book"})
    assert plain(source_line(table(rows_used=(row, row)))) == "Source: IEEE Std 142, Table 14; job specification."
    assert plain(source_line(table(rows_used=(other,)))) == "Source: Another book; job specification."
