"""Rows of tables rendered once: the sheets of the boxes repeat most of their rows word for word.

A table that stands alone at the left margin is taken out of the page, each of its rows is looked up, and
the rows not met before are rendered together. The table then goes back where it stood. A page that names
notes or references, which reach over the page, is left to the renderer.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

OPENING, CLOSING = "\U0010ff80", "\U0010ff81"
"""Signs around the number of a table that was taken out; a page that holds them takes no shortcut."""

TABLE = re.compile(
    r"(?:(?<=\n\n)|\A)(?P<head>\|.*\|\n\|(?: ?:?-+:? ?\|)+\n)(?P<rows>(?:\|.*\|(?:\n|\Z))+)(?=\n|\Z)(?!\n+ {0,3}:)",
    re.MULTILINE,
)
"""Not before a meaning, which would take what stands in for the table as its term."""
_WHOLE_PAGE = re.compile(r"\[\^|\]\[|^ {0,3}\[[^\]]+\]:", re.MULTILINE)
_SLOT = re.compile(f"<p>{OPENING}(\\d+){CLOSING}</p>")
_BODY = re.compile(r"<table>\n(<thead>.*?</thead>)\n<tbody>\n(.*?)\n</tbody>\n</table>", re.DOTALL)
_ROW = re.compile(r"<tr>\n.*?\n</tr>", re.DOTALL)
_MOST_KEPT = 100_000

Render = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class _Table:
    """A table as written: its first two lines, and its rows."""

    head: str
    rows: tuple[str, ...]


@dataclass(slots=True)
class Rows:
    """Rendered rows, by the two lines over them and their own line."""

    kept: dict[tuple[str, str], str] = field(default_factory=dict)
    heads: dict[str, str] = field(default_factory=dict)

    def render(self, text: str, render: Render) -> str:
        """The HTML of a page, as ``render`` alone would give it."""
        if _WHOLE_PAGE.search(text):
            return render(text)
        tables: list[_Table] = []

        def take(found: re.Match[str]) -> str:
            tables.append(_Table(found["head"], tuple(found["rows"].rstrip("\n").split("\n"))))
            return f"{OPENING}{len(tables) - 1}{CLOSING}\n"

        rest = TABLE.sub(take, text)
        if not tables or not self._learn(tables, render):
            return render(text)
        return _SLOT.sub(lambda slot: self._table(tables[int(slot[1])]), render(rest))

    def _learn(self, tables: list[_Table], render: Render) -> bool:
        """Render the rows not met before, all in one go; False where they do not come back one for one."""
        if len(self.kept) > _MOST_KEPT:
            self.kept.clear()
        new: dict[str, dict[str, None]] = {}
        for table in tables:
            for row in table.rows:
                if (table.head, row) not in self.kept:
                    new.setdefault(table.head, {})[row] = None
        if not new:
            return True
        made = _BODY.findall(render("\n\n".join(head + "\n".join(rows) for head, rows in new.items())))
        if len(made) != len(new):
            return False
        for (head, rows), (shown_head, body) in zip(new.items(), made, strict=True):
            shown = _ROW.findall(body)
            if len(shown) != len(rows) or "\n".join(shown) != body:
                return False
            self.heads[head] = shown_head
            self.kept.update(zip(((head, row) for row in rows), shown, strict=True))
        return True

    def _table(self, table: _Table) -> str:
        rows = "\n".join(self.kept[table.head, row] for row in table.rows)
        return f"<table>\n{self.heads[table.head]}\n<tbody>\n{rows}\n</tbody>\n</table>"
