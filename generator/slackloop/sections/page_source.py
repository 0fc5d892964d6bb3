"""What sections, registers and lists are written from: a job's handbook and a firm's standard each give it.

Which of the clauses that content names are cited for a job: its own country's, and standards of no one country.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Protocol

from slackloop.reference.code_basis import Clause
from slackloop.reference.tables import ReferenceTables
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.content import Content
from slackloop.sections.section import SOURCE_WORDS, Check, Insert, Where
from slackloop.sections.template import Renderer


class PageSource(Protocol):
    """The content that applies, the values it is rendered with, and the words for what stands outside content."""

    @property
    def content(self) -> Content:
        """Every section and every word file."""

    @property
    def renderer(self) -> Renderer:
        """Renders content text; its findings grow while pages are made."""

    @property
    def tables(self) -> ReferenceTables:
        """The reference tables."""

    @property
    def sections(self) -> tuple[AppliedSection, ...]:
        """The sections that apply, in printed order."""

    def site_score(self, hazard: str) -> str:
        """What the register says of the risk of a site hazard that no sheet scores."""
        ...

    @property
    def site_hazards(self) -> tuple[str, ...]:
        """Hazards that are stated for the site besides the standing ones."""

    def part(self, name: str) -> tuple[AppliedSection, ...]:
        """The sections of one part."""

    def first_box(self, where: Where) -> str:
        """The first box at which a check that is done there is due; empty where there is none."""

    def code_clauses(self, names: str) -> tuple[str, ...]:
        """Where clauses of the code basis are printed, by their ids with semicolons between; none that it has not."""

    def clause_rows(self, names: str) -> tuple[tuple[str, Clause], ...]:
        """Those clauses themselves, each with where it is printed."""

    def ring_runs(self, check: Check) -> tuple[str, ...]:
        """Ids of the runs that close a ring and that a check is due on."""

    def cited(self, clauses: str) -> tuple[str, ...]:
        """The clauses of standards that a requirement names and that are cited here."""

    def only_where(self, condition: str) -> str:
        """When something applies that does not apply to every job this is for; empty where it always does."""


class Inserts(Protocol):
    """Writes what a section asks for by name."""

    def write(self, insert: Insert, page: str) -> str:
        """A table, drawing, caution or deferral as Markdown on the page ``page``."""

    def caution(self, name: str) -> str:
        """A standing caution as a box."""

    def deferral(self, name: str) -> str:
        """Who decides, as a box."""


COUNTRIES: MappingProxyType[str, tuple[str, ...]] = MappingProxyType(
    {
        "us": ("29 CFR", "NEC ", "NFPA ", "OSHA "),
        "uk": ("CDM ", "HSE ", "BS 7671"),
    }
)
"""How the rules of a country begin, by code basis."""


def named_clauses(text: str) -> tuple[str, ...]:
    """Each clause in ``text``; content parts them by semicolons."""
    return tuple(part for each in text.split(";") if (part := each.strip()))


def cited_clauses(text: str, code_basis: str) -> tuple[str, ...]:
    """The clauses of ``text`` that belong to ``code_basis`` or to no one country; none where all belong elsewhere."""
    return tuple(clause for clause in named_clauses(text) if country_of(clause) in ("", code_basis))


def country_of(clause: str) -> str:
    """The code basis whose country made the rule; empty for a standard of no one country."""
    return next((basis for basis, starts in COUNTRIES.items() if clause.startswith(starts)), "")


def requirement_source(source: str, clause: str, material: PageSource) -> str:
    """Where a requirement is asked, in words: the clause of the code basis by its printed number."""
    words = SOURCE_WORDS[source]
    if source == "code":
        return "; ".join(material.code_clauses(clause)) or SOURCE_WORDS["practice"]
    if source == "standard":
        return "; ".join(material.cited(clause)) or SOURCE_WORDS["practice"]
    return f"{words}: {clause}" if clause else words
