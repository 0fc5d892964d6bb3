"""What every page is made from: one job, its analysis, the tables and the content that applies."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from slackloop.compute.alternatives import Outlook, outlook
from slackloop.compute.cable_choice import CableChoice, cable_choice
from slackloop.document.box_devices import BoxDevices, BoxGroup, box_groups
from slackloop.document.markdown import ProseReader
from slackloop.reference.code_basis import Clause, CodeBasis
from slackloop.reference.tables import ReferenceTables
from slackloop.sections.conditions import CONDITIONS, NOT_SCORED, AppliedSection, apply_sections
from slackloop.sections.content import Content
from slackloop.sections.format import Units
from slackloop.sections.inspection_points import is_due_at, is_due_on_ring_run
from slackloop.sections.job_keys import part_titles
from slackloop.sections.job_values import job_values
from slackloop.sections.page_source import cited_clauses, named_clauses
from slackloop.sections.raw_html import raw_html_files
from slackloop.sections.section import Check, Where
from slackloop.sections.template import Renderer
from slackloop.sections.values import Values, said_values
from slackloop.site.models import Box, Job
from slackloop.source.finding import Finding, Placed

if TYPE_CHECKING:
    from slackloop.compute.computed_job import ComputedJob
    from slackloop.control.releases import Release
    from slackloop.document.boxes.card import Card
    from slackloop.document.boxes.stages import DueCheck
    from slackloop.document.drawings.svg import Figure
    from slackloop.document.recorded import Recorded
    from slackloop.document.table import Table
    from slackloop.site.network import Network, Run
    from slackloop.site.reader import Reading


@dataclass
class Context:
    """The material of one handbook; ``reading`` gives places in the job file, where there is one."""

    job: Job
    analysis: ComputedJob
    tables: ReferenceTables
    content: Content
    reading: Reading | None = None
    fingerprint: str = ""
    cards_file: str = ""
    """Address of the printable cards beside the pages; empty where there are none, as in a preview."""
    placed: tuple[Placed, ...] = ()
    """Every finding of the job with its place and its answer, where the job was read from a file."""
    made: dict[str, Table] = field(default_factory=dict)
    """Tables that were made already, by id: each is made once."""
    made_cards: tuple[Card, ...] = ()
    """Cards that were made already."""
    made_wiring: dict[int, Figure] = field(default_factory=dict)
    """Drawings of boxes that were made already, by index: a page and a card show the same."""
    made_checks: dict[str, DueCheck] = field(default_factory=dict)
    """The words of checks that were read already, by id: they are the same at every box."""
    releases: tuple[Release, ...] = ()
    """The releases of this job before its revision, oldest first."""
    released_as_draft: bool = False
    """Whether this copy is a release with things still open, which marks it as a draft."""
    recorded: Recorded | None = None
    """What was recorded on site, where the handbook is built with records."""
    _held: dict[str, bool] = field(default_factory=dict)
    _first_boxes: dict[Where, str] = field(default_factory=dict)

    @property
    def network(self) -> Network:
        """The path as a network."""
        return self.analysis.network

    @property
    def units(self) -> Units:
        """The unit system shown first."""
        return self.job.job.units

    @cached_property
    def values(self) -> Values:
        """Every template value."""
        return said_values(job_values(self.job, self.analysis, self.tables))

    @cached_property
    def outlook(self) -> Outlook:
        """Spare lengths, other conductor sizes and reactance."""
        return outlook(self.job, self.network, self.tables, self.analysis.lengths)

    @cached_property
    def cable_choice(self) -> CableChoice:
        """The cheapest of the job's cables for the path, and for each run."""
        return cable_choice(self.job, self.network, self.tables, self.analysis.lengths)

    @cached_property
    def renderer(self) -> Renderer:
        """Renders content text; its findings grow while pages are made."""
        return Renderer(self.values, raw_html_files(self.content))

    @cached_property
    def prose(self) -> ProseReader:
        """Content text as blocks and lines."""
        return ProseReader(self.renderer)

    @cached_property
    def stop_steps(self) -> dict[str, tuple[str, str]]:
        """By check, the page and the step that say when work stops for it and what to do then; else the step it has."""
        found: dict[str, tuple[str, str]] = {}
        for applied in self.sections:
            front = applied.section.front
            for step in sorted(applied.steps, key=lambda each: each.reject is None):
                for check in step.check:
                    found.setdefault(check, (f"{front.part}/{front.id}", step.id))
        return found

    @cached_property
    def part_titles(self) -> Mapping[str, Mapping[str, str]]:
        """Titles by the key of the job file under which parts are named."""
        return part_titles(self.job)

    @cached_property
    def boxes(self) -> dict[str, Box]:
        """Every box of the job by its id."""
        return {box.id: box for box in self.job.path.boxes}

    @cached_property
    def runs(self) -> dict[str, Run]:
        """Every run by its id, closing runs among them."""
        return {run.id: run for run in self.network.all_runs}

    @cached_property
    def reel_of(self) -> dict[str, int]:
        """The reel that each run is pulled from, by its number in the plan of its cable."""
        return {run: number for plan in self.analysis.reels for run, number in plan.reel_numbers().items()}

    @cached_property
    def groups(self) -> tuple[BoxGroup, ...]:
        """Boxes by arm."""
        return box_groups(self.network)

    @cached_property
    def findings(self) -> tuple[Finding | Placed, ...]:
        """What reading the job file found, then what computing it found; with answers where the job was read."""
        return self.placed or (*(self.reading.findings if self.reading else ()), *self.analysis.findings)

    @cached_property
    def basis(self) -> CodeBasis:
        """The code basis of the job."""
        return self.tables.code_bases[self.job.job.code_basis]

    @cached_property
    def sections(self) -> tuple[AppliedSection, ...]:
        """The sections that apply, in printed order."""
        return apply_sections(self.content.sections, self.holds)

    def holds(self, condition: str) -> bool:
        """Whether a named condition holds; one that is no name holds nowhere."""
        if condition not in self._held:
            predicate: Callable[[Job, ComputedJob], bool] | None = CONDITIONS.get(condition)
            self._held[condition] = predicate is not None and predicate(self.job, self.analysis)
        return self._held[condition]

    def site_score(self, hazard: str) -> str:
        """The answer that scores a site hazard; where there is none, that it is still to be scored."""
        asked = (each for each in self.placed if each.code == "risk-unscored" and hazard in each.of)
        return next((each.answer.sentence for each in asked if each.answer is not None), NOT_SCORED)

    @property
    def site_hazards(self) -> tuple[str, ...]:
        """Hazards that the job states for its site."""
        return self.job.conditions.hazards

    def first_box(self, where: Where) -> str:
        """The first box at which a check that is done there is due; empty where there is none."""
        if where not in self._first_boxes:
            electrodes = {each.where for each in self.analysis.electrodes.places}
            network = self.network
            due = (
                id
                for index, id in enumerate(network.boxes)
                if is_due_at(where, self.boxes[id], index, network, electrodes)
            )
            self._first_boxes[where] = next(due, "")
        return self._first_boxes[where]

    def ring_runs(self, check: Check) -> tuple[str, ...]:
        """The closing runs that a check is due on, by id."""
        return tuple(run.id for run in self.network.closures if is_due_on_ring_run(check, run))

    def cited(self, clauses: str) -> tuple[str, ...]:
        """The clauses that a requirement names: those of the job's own country and of no one country."""
        return cited_clauses(clauses, self.job.job.code_basis)

    def code_clauses(self, names: str) -> tuple[str, ...]:
        """The clauses of the job's code basis by their standard and number; none that it has not."""
        return tuple(cited for cited, _ in self.clause_rows(names) if cited)

    def clause_rows(self, names: str) -> tuple[tuple[str, Clause], ...]:
        """Those clauses themselves, each with where it is printed."""
        rows = (self.basis.clause(name) for name in named_clauses(names))
        return tuple((self.basis.cite(row.id), row) for row in rows if row is not None)

    def surface(self, name: str) -> str:
        """A surface of the job in the words of its code basis."""
        return self.basis.words.surfaces[name]

    def only_where(self, condition: str) -> str:
        """Nothing: what does not apply to the job is left out of its handbook."""
        return ""

    def part(self, name: str) -> tuple[AppliedSection, ...]:
        """The sections of one part."""
        return tuple(each for each in self.sections if each.section.front.part == name)

    def box(self, index: int) -> Box:
        """The box at an index of the network."""
        return self.boxes[self.network.boxes[index]]

    def devices(self, box: Box) -> BoxDevices:
        """What is fitted in a box."""
        return BoxDevices(self.job, box)
