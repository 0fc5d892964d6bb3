"""What a section asks for by name: tables, drawings, cautions, deferrals and signs, as blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Protocol

from slackloop.document.blocks import Block, Caution, Drawing, DrawingRow, Note, Paragraph, Sign, TableBlock
from slackloop.document.drawings.safety_signs import sign
from slackloop.document.inline import Line, line, link
from slackloop.document.prose import ProseReader
from slackloop.document.table import Table
from slackloop.document.target import PageTarget
from slackloop.sections.content import Content
from slackloop.sections.section import Insert

AT_HAND = frozenset({"utility-marks"})
"""Tables that stand in their section, where the work needs all of them; to every other one a link leads."""

Drawings = tuple[Drawing, ...]


@dataclass(frozen=True, slots=True)
class Home:
    """The one place where a drawing stands, and what links to it say."""

    title: str
    target: PageTarget


class Source(Protocol):
    """What inserts are made from."""

    @property
    def content(self) -> Content: ...

    @property
    def prose(self) -> ProseReader: ...


class Inserts:
    """Makes each table and drawing once."""

    def __init__(
        self, source: Source, table: Callable[[str], Table | None], table_page: Callable[[str], str],
        drawings: Mapping[str, Callable[[], Drawings]], homes: Mapping[str, Home] = MappingProxyType({}),
    ) -> None:  # fmt: skip
        """``table`` gives a table by its id, ``table_page`` the page that shows it; ``drawings`` are made by name.

        A drawing that is in ``homes`` stands there alone; whatever else names it gets a link to it.
        """
        self.source = source
        self.table = table
        self.table_page = table_page
        self.makers = drawings
        self.homes = homes
        self.drawings = cache(self._drawings)

    def _drawings(self, name: str) -> Drawings:
        """The drawings of a name; nothing where the job has nothing to draw."""
        maker = self.makers.get(name)
        return maker() if maker else ()

    def named(self, insert: Insert) -> Iterator[Block]:
        """The blocks of an insert; a name that is none gives nothing (the checker refuses it)."""
        if insert.kind == "figure":
            drawings = self.drawings(insert.name)
            if drawings and insert.name in self.homes:
                home = self.homes[insert.name]
                yield Paragraph(line(link(f"Drawing: {home.title}", home.target)))
            elif drawings:
                yield drawings[0] if len(drawings) == 1 else DrawingRow(drawings)
        elif insert.kind == "table":
            table = self.table(insert.name)
            if table is not None and table.id in AT_HAND:
                yield TableBlock(table, titled=True)
            elif table is not None and table.rows:
                yield Paragraph(line(link(f"Table: {table.title}", PageTarget(self.table_page(table.id)))))
        elif insert.kind == "caution":
            caution = self.caution(insert.name)
            if caution:
                yield caution
        else:
            yield from self.deferral(insert.name)

    def caution(self, name: str) -> Caution | None:
        """A standing caution in full."""
        found = self.source.content.words.cautions.get(name)
        if found is None:
            return None
        text = Paragraph(self.source.prose.line(found.text, "words/cautions.yml"))
        return Caution(found.title, (text,), sign(found.sign, found.title) if found.sign else None)

    def caution_sign(self, name: str) -> Sign | None:
        """The small sign that reminds of a caution; nothing where it has none."""
        found = self.source.content.words.cautions.get(name)
        return sign(found.sign, found.title) if found is not None and found.sign else None

    def deferral(self, name: str) -> Iterator[Note]:
        """Who decides."""
        found = self.source.content.words.deferrals.get(name)
        if found is not None:
            text = Paragraph(self.source.prose.line(found.text, "words/deferrals.yml"))
            yield Note("deferral", found.title, (text,))

    def sign(self, number: str, words: str, more: Line = ()) -> Sign:
        """A sign with its words."""
        return sign(number, words, more)
