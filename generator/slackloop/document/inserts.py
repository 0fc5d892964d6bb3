"""What a section asks for by name: tables, drawings, cautions, deferrals and signs, as blocks.

Every drawing by the name that content uses for it, and the pages that hold them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, partial
from types import MappingProxyType
from typing import Protocol

from slackloop.document.blocks import Block, Caution, Drawing, DrawingRow, Note, Paragraph, Sign, TableBlock
from slackloop.document.context import Context
from slackloop.document.drawings.path_drawings import path_drawing, site_drawing, volts_drawing
from slackloop.document.drawings.safety_signs import sign
from slackloop.document.drawings.svg import Figure
from slackloop.document.drawings.trench_section import TrenchLabels, TrenchSize, trench_section
from slackloop.document.inline import Line, PageTarget, line, link
from slackloop.document.markdown import ProseReader
from slackloop.document.table import Table
from slackloop.sections import format as fmt
from slackloop.sections.content import Content
from slackloop.sections.job_values import run_cables, tape_depth_m
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


SMALLEST_CABLE_OD_M = 0.006
"""Outside diameter drawn for a cable that states none; the drawing says that it is not to scale there."""


def trench_drawing(context: Context) -> Figure:
    """The trench to scale, at the job's chosen cover."""
    job, values, units = context.job, context.values, context.units
    ods = [cable.jacket_od.si for cable in run_cables(job) if cable.jacket_od]
    tape = job.trench.warning_tape
    pipe = job.trench.shared_with_pipe
    size = TrenchSize(
        width_m=job.trench.width.si,
        cover_m=job.rules.cover.si,
        cable_od_m=max(ods, default=SMALLEST_CABLE_OD_M),
        bedding_m=job.trench.bedding.si,
        pipe_od_m=pipe.si if pipe else None,
        tape_depth_m=tape_depth_m(job.rules.cover.si, units) if tape else None,
    )
    labels = TrenchLabels(
        width=values.trench_width,
        depth=fmt.length(size.depth_m, units, "least"),
        cover=values.cover,
        bedding_zone=fmt.length(size.zone_m, units, "least"),
        bedding=values.bedding,
        pipe=values.pipe_od if pipe else "",
        tape=values.tape_depth if tape else "",
        cable=values.jacket_od,
    )
    return trench_section("trench-section", size, labels)


FIGURES: MappingProxyType[str, Callable[[Context], Figure | None]] = MappingProxyType(
    {
        "path-diagram": path_drawing,
        "site-plan": site_drawing,
        "volts-along-path": volts_drawing,
        "trench-section": trench_drawing,
    }
)
PAPER_PX, PAPER_TALL_PX = 640.0, 830.0
"""Width and height of a page's text in drawing units: 169 mm, which both papers have, with letters of 8 pt and more."""
WIDE_FIGURES: MappingProxyType[str, Callable[[Context], Figure | None]] = MappingProxyType(
    {
        "site-plan": partial(site_drawing, width_px=PAPER_PX),
        "path-diagram": partial(path_drawing, width_px=PAPER_PX, sheet_px=PAPER_TALL_PX),
    }
)
"""Drawings that paper has wider than a phone's screen."""
PAPER_WIDE_MM: MappingProxyType[str, float] = MappingProxyType({"trench-section": 78.0})
"""Printed width of a drawing that is smaller on paper than its own size, its letters still above 7 pt."""
