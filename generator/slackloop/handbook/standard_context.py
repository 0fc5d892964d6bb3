"""What a standard's document is made from: the standard, the tables and all content that a job under it may need."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from slackloop.handbook import format as fmt
from slackloop.handbook.applied import AppliedSection, apply_section
from slackloop.handbook.clauses import named_clauses
from slackloop.handbook.content import Content
from slackloop.handbook.raw_html import raw_html_files
from slackloop.handbook.section import Check, Where
from slackloop.handbook.site_hazards import NOT_SCORED
from slackloop.handbook.standard_conditions import CONDITION_WORDS, standard_holds
from slackloop.handbook.standard_values import standard_values, units_of
from slackloop.handbook.template import Renderer
from slackloop.handbook.values import Values
from slackloop.job.standard_reading import Standard
from slackloop.reference.tables import ReferenceTables


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
        bases = self.tables.code_bases.values()
        found = (basis.cite(name) for name in named_clauses(names) for basis in bases)
        return tuple(dict.fromkeys(cited for cited in found if cited))

    def clause_words(self, names: str) -> tuple[str, ...]:
        """What those clauses ask, each with where it is printed and how that was checked."""
        bases = self.tables.code_bases.values()
        rows = ((basis, basis.clause(name)) for name in named_clauses(names) for basis in bases)
        found = (f"{basis.cite(row.id)}: {row.text} ({row.checked})" for basis, row in rows if row is not None)
        return tuple(dict.fromkeys(found))

    def only_where(self, condition: str) -> str:
        """When something applies that each job decides for itself; empty where the standard decides it."""
        if condition not in CONDITION_WORDS or standard_holds(condition, self.standard) is not None:
            return ""
        return f"Only where {CONDITION_WORDS[condition]}."

    def _may_hold(self, condition: str) -> bool:
        """Whether a condition can hold on a job under this standard; one that is no name holds nowhere."""
        return condition in CONDITION_WORDS and standard_holds(condition, self.standard) is not False
