"""What a standard's document is made from: the standard, the tables and all content that a job under it may need."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from slackloop.document.prose import ProseReader
from slackloop.reference.code_basis import Clause
from slackloop.reference.tables import ReferenceTables
from slackloop.sections import format as fmt
from slackloop.sections.applied import AppliedSection, apply_section
from slackloop.sections.clauses import named_clauses
from slackloop.sections.content import Content
from slackloop.sections.raw_html import raw_html_files
from slackloop.sections.section import Check, Where
from slackloop.sections.site_hazards import NOT_SCORED
from slackloop.sections.standard_conditions import CONDITION_WORDS, standard_holds
from slackloop.sections.standard_values import standard_values, units_of
from slackloop.sections.template import Renderer
from slackloop.sections.values import Values
from slackloop.site.standard_reading import Standard


@dataclass
class StandardContext:
    """The material of one standard's document."""

    standard: Standard
    tables: ReferenceTables
    content: Content
    fingerprint: str = ""

    @property
    def units(self) -> fmt.Units:
        """The unit system shown first."""
        return units_of(self.standard)

    @cached_property
    def values(self) -> Values:
        """Every template value."""
        return standard_values(self.standard, self.tables)

    @cached_property
    def renderer(self) -> Renderer:
        """Renders content text; its findings grow while pages are made."""
        return Renderer(self.values, raw_html_files(self.content))

    @cached_property
    def sections(self) -> tuple[AppliedSection, ...]:
        """Every section that may apply to a job under this standard, in printed order."""
        applied = (apply_section(section, self._may_hold) for section in self.content.sections)
        return tuple(section for section in applied if section is not None)

    def site_score(self, hazard: str) -> str:
        """A standard scores no hazard of one site."""
        return NOT_SCORED

    @cached_property
    def prose(self) -> ProseReader:
        """Content text as blocks and lines."""
        return ProseReader(self.renderer)

    @property
    def site_hazards(self) -> tuple[str, ...]:
        """Hazards that the standard states for every site."""
        return self.standard.stated("conditions", "hazards") or ()

    def part(self, name: str) -> tuple[AppliedSection, ...]:
        """The sections of one part."""
        return tuple(each for each in self.sections if each.section.front.part == name)

    def first_box(self, where: Where) -> str:
        """Nothing: a standard has no boxes."""
        return ""

    def ring_runs(self, check: Check) -> tuple[str, ...]:
        """Nothing: a standard has no runs."""
        return ()

    def cited(self, clauses: str) -> tuple[str, ...]:
        """Every clause that a requirement names, since the job names the country."""
        return named_clauses(clauses)

    def code_clauses(self, names: str) -> tuple[str, ...]:
        """The clauses in every code basis that has them, since the job names the basis."""
        return tuple(dict.fromkeys(cited for cited, _ in self.clause_rows(names) if cited))

    def clause_rows(self, names: str) -> tuple[tuple[str, Clause], ...]:
        """Those clauses themselves, each with where it is printed."""
        bases = self.tables.code_bases.values()
        rows = ((basis, basis.clause(name)) for name in named_clauses(names) for basis in bases)
        return tuple((basis.cite(row.id), row) for basis, row in rows if row is not None)

    def only_where(self, condition: str) -> str:
        """When something applies that each job decides for itself; empty where the standard decides it."""
        if condition not in CONDITION_WORDS or standard_holds(condition, self.standard) is not None:
            return ""
        return f"Only where {CONDITION_WORDS[condition]}."

    def _may_hold(self, condition: str) -> bool:
        """Whether a condition can hold on a job under this standard; one that is no name holds nowhere."""
        return condition in CONDITION_WORDS and standard_holds(condition, self.standard) is not False
