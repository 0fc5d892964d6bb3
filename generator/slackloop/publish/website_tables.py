"""Tables as a phone needs them: in a scrolling frame, or as one card a row where rows are read or ticked one by one."""

from __future__ import annotations

import re
from functools import lru_cache
from html import escape, unescape

TABLE = re.compile(r"<table\b([^>]*)>(.*?)</table>", re.DOTALL)
HEAD = re.compile(r"<thead>.*?</thead>", re.DOTALL)
ROW = re.compile(r"<tr\b[^>]*>.*?</tr>", re.DOTALL)
CELL = re.compile(r"<t([dh])\b([^>]*)>(.*?)</t\1>", re.DOTALL)
MARKUP = re.compile(r"<[^>]*>")

SHORT_CELL = 20
"""A cell of at most so many signs is never broken, so that an id or a value stays whole."""
LONG_CELL = 28
"""A cell of more signs gets a least width in a table of many columns, so that it stays readable on a phone."""
MANY_COLUMNS = 4
WORDY_ROW = 2
"""A table of many columns with so many long cells in a row reads as one card a row on a phone."""
NOTHING_HERE = "–"


def mend_tables(html: str) -> str:
    """Every table in a frame of its own, with marked heads, cells and kind."""
    return TABLE.sub(_mend_table, html)


def _mend_table(table: re.Match[str]) -> str:
    attributes, inside = table[1], table[2]
    heads = [_words(cell[3]) for cell in CELL.finditer(head[0])] if (head := HEAD.search(inside)) else []
    kinds = ["ruled"]
    if len(heads) >= MANY_COLUMNS:
        kinds.append("many")
    labels: tuple[str, ...] = ()
    if heads and ('class="tick"' in inside or (len(heads) >= MANY_COLUMNS and _is_wordy(inside))):
        kinds.append("cards")
        labels = tuple(heads)
    inside = ROW.sub(lambda row: _mend_row(row[0], labels), inside)
    if "class=" in attributes:
        attributes = attributes.replace('class="', f'class="{" ".join(kinds)} ', 1)
    else:
        attributes += f' class="{" ".join(kinds)}"'
    return f'<div class="table-scroll"><table{attributes}>{inside}</table></div>'


def _is_wordy(inside: str) -> bool:
    """Whether most rows hold several long cells: words to read, not figures to run down."""
    rows = [[len(_words(cell[3])) for cell in CELL.finditer(row) if cell[1] == "d"] for row in ROW.findall(inside)]
    filled = [row for row in rows if row]
    wordy = [row for row in filled if sum(length > LONG_CELL for length in row) >= WORDY_ROW]
    return 2 * len(wordy) > len(filled)


@lru_cache(maxsize=8192)
def _mend_row(row: str, labels: tuple[str, ...]) -> str:
    """A row with marked cells, which carry the words of their column's head where they are given."""
    names = iter(labels)

    def mend(cell: re.Match[str]) -> str:
        label = escape(next(names, ""))
        named = f' data-label="{label}"' if labels and cell[1] == "d" else ""
        inside = cell[3]
        if named and inside and 'class="tick"' not in inside:
            inside = f'<span class="held">{inside}</span>'  # on a phone the label and this stand side by side
        return _mark_cell(cell[1], cell[2] + named, inside, "class=" in cell[2])

    return CELL.sub(mend, row)


def _mark_cell(kind: str, attributes: str, inside: str, has_class: bool) -> str:
    """A cell marked as short or long where that matters for how it breaks; a head names its column."""
    if kind == "h" and "scope=" not in attributes:
        attributes += ' scope="col"'
    if not has_class:
        words = _words(inside)
        if words == NOTHING_HERE:
            attributes += ' class="none"'
        elif len(words) > LONG_CELL:
            attributes += ' class="long"'
        elif kind == "d" and len(words) <= SHORT_CELL and (" " in words or "-" in words):
            attributes += ' class="short"'
    return f"<t{kind}{attributes}>{inside}</t{kind}>"


def _words(inside: str) -> str:
    """What a reader sees of a cell."""
    return unescape(MARKUP.sub("", inside)).strip()
