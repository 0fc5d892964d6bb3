"""The line under a table that says where its figures come from: derived from what the table used."""

from __future__ import annotations

from collections.abc import Iterable

from slackloop.document.inline import Line, line
from slackloop.document.table import Basis, Table
from slackloop.reference.rows import Row

BASIS_WORDS: dict[Basis, str] = {
    "job": "job specification",
    "maker": "the makers' sheets",
    "standard": "the firm's standing standard",
    "computed": "computed from the job file",
    "practice": "common practice, no published source",
    "method": "the method of this handbook",
}


def source_line(table: Table) -> Line:
    """Where the figures of ``table`` come from, in one line; how each source was checked is on the sources page."""
    names = [*cited(table.rows_used), *(BASIS_WORDS[each] for each in table.basis)]
    return line(f"Source: {'; '.join(names)}.") if names else ()


def cited(rows: Iterable[Row]) -> tuple[str, ...]:
    """The sources of rows, each once, in the order in which they were used."""
    return tuple(dict.fromkeys(row.source for row in rows))


def sources_text(table: Table) -> str:
    """Where the figures come from, with how each source was checked: for files, which travel without the pages."""
    rows = dict.fromkeys((row.source, row.checked) for row in table.rows_used)
    names = [f"{source} ({checked})" for source, checked in rows]
    words = "; ".join([*names, *(BASIS_WORDS[each] for each in table.basis)])
    return words[:1].upper() + words[1:]
