"""What a standard's document is made from: the standard, the tables and all content that a job under it may need.

The tables of a standard's document: its limits, its parts, and every source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from slackloop.document.inline import line
from slackloop.document.markdown import ProseReader
from slackloop.document.table import Column, Table, cell, one_part
from slackloop.document.tables.matrix import clause_index_table, hold_points_table, matrix_table
from slackloop.document.tables.risk_tables import hazards_table, risk_matrix_table, van_table
from slackloop.document.tables.source_table import source_rows, text_figures
from slackloop.reference.code_basis import Clause
from slackloop.reference.tables import ReferenceTables, row_lists
from slackloop.sections import format as fmt
from slackloop.sections.conditions import NOT_SCORED, AppliedSection, apply_sections
from slackloop.sections.content import Content
from slackloop.sections.page_source import named_clauses
from slackloop.sections.raw_html import raw_html_files
from slackloop.sections.section import Check, Where
from slackloop.sections.standard_conditions import CONDITION_WORDS, standard_holds
from slackloop.sections.standard_values import OWN, cable_rows, connector_rows, device_rows, standard_values, units_of
from slackloop.sections.template import Renderer
from slackloop.sections.values import Values
from slackloop.site.standard import Standard


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
        return apply_sections(self.content.sections, self._may_hold)

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


def limits_table(context: StandardContext) -> Table:
    """Every standing value, with the words of the job where the standard states none."""
    values, standard = context.values, context.standard
    tape = standard.stated("trench", "warning_tape")
    ends = standard.stated("rules", "earthing", "branch_ends")
    rows = [
        ("Slack", f"{values.slack_length} {values.slack_rule}"),
        ("Bare copper at each wire end", values.strip),
        ("Cover over the cable", values.cover),
        ("Trench width", values.trench_width),
        ("Pipe in the trench, outside diameter", values.pipe_od),
        ("Bedding under and around", values.bedding),
        ("Warning tape", _yes(tape, f"yes, {values.tape_depth} below the surface")),
        ("Earth rod", values.rod),
        ("Earth electrode, most resistance", values.target),
        ("Most boxes from one electrode to the next", values.every_boxes),
        ("Most run from one electrode to the next", values.every_run),
        ("Electrode at each branch end", _yes(ends, "yes")),
        ("Least distance from rod to cable", values.clear_of_cable),
        ("Insulation test", f"{values.insulation_volts}, at least {values.insulation_least}"),
        ("Loop reading, tolerance", values.loop_tolerance),
        ("Loop meter, error", values.loop_meter),
        ("Meter that reads volts, error", values.volt_meter),
        ("Waste on cable", values.waste),
        ("Spares on small parts", values.spare),
        ("Supply", f"{values.supply_volts} {values.supply_kind}" if standard.stated("supply", "volts") else _own()),
        ("Most stations at once", values.stations_at_once),
        ("Soil", values.soil),
        ("Frost depth", values.frost_depth),
        ("Hazards of every site", ", ".join(context.site_hazards) or "none stated"),
    ]
    intro = "What the firm requires on every job. A job may state another value; its handbook then lists the departure."
    columns = (Column("limit", "Limit"), Column("value", "Value"))
    note = "Each job states what the standard leaves open. Warning tape lies at half the cover."
    return Table(
        "limits", "Limits", columns, one_part([(cell(name), cell(value)) for name, value in rows]),
        ("standard", "practice"), intro=line(intro), notes=(line(note),),
    )  # fmt: skip


def _own() -> str:
    """The words for a value that each job states."""
    return f"[{OWN}]"


def _yes(stated: bool | None, words: str) -> str:
    """A yes or no that the standard states, or the job's own."""
    return _own() if stated is None else words if stated else "no"


def cables_table(context: StandardContext) -> Table:
    """The standard's cables."""
    rows = [(v.title, v.conductor, v.core_a, v.core_b, v.od, v.reel) for v in cable_rows(context.standard)]
    headings = ("Cable", "Conductor", "Core a", "Core b", "Outside diameter", "Reel")
    intro = "Cables that any job may use. Colours are those printed on the reel."
    return _parts("cables", "Cables", intro, headings, rows)


def connectors_table(context: StandardContext) -> Table:
    """The standard's connectors with the limits printed on the pack."""
    rows = [
        (v.title, v.listing, v.sizes, v.wires, v.area, v.strip, v.pack, v.closing)
        for v in connector_rows(context.standard)
    ]
    headings = (
        "Connector", "Listing", "Conductor sizes", "Wires", "Copper in one splice", "Bare copper", "In a pack",
        "How it is closed",
    )  # fmt: skip
    intro = "Compare each pack with this table. If they differ, follow the pack."
    return _parts("connectors", "Connectors", intro, headings, rows)


def devices_table(context: StandardContext) -> Table:
    """The standard's devices."""
    views = device_rows(context.standard)
    rows = [(v.title, v.outputs, v.leads, v.standby, v.per_output, v.least_volts) for v in views]
    headings = ("Device", "Outputs", "Leads", "Takes, outputs off", "Takes for each output", "Least volts")
    return _parts("devices", "Devices", "Devices that any job may use.", headings, rows)


def solenoids_table(context: StandardContext) -> Table:
    """The standard's solenoids."""
    keys = ("inrush", "holding", "least_volts")
    rows = [
        tuple(fmt.written(found.text) if (found := getattr(part, key)) else _own() for key in keys)
        for part in context.standard.solenoids.values()
    ]
    headings = ("Takes while it pulls in", "Takes while it holds", "Least volts")
    return _parts("solenoids", "Solenoids", "Solenoids that any job may use.", headings, rows)


def _parts(table_id: str, title: str, intro: str, headings: Sequence[str], rows: Sequence[tuple[str, ...]]) -> Table:
    """A table of parts as the makers' sheets give them; one without rows gets no page."""
    columns = tuple(Column(heading.lower().replace(" ", "-"), heading) for heading in headings)
    cells = [tuple(cell(text) for text in row) for row in rows]
    return Table(table_id, title, columns, one_part(cells), ("standard", "maker"), intro=line(intro),
                 landscape=len(columns) > 6)  # fmt: skip


def sources_table(context: StandardContext) -> Table:
    """Every source that the words and limits rest on, over all code bases that a job may name."""
    bases = tuple(context.tables.code_bases.values())
    return source_rows(row_lists(context.tables, bases), text_figures(context), [basis.edition_note for basis in bases])


STANDARD_TABLES: MappingProxyType[str, Callable[[StandardContext], Table]] = MappingProxyType(
    {
        "limits": limits_table,
        "cables": cables_table,
        "connectors": connectors_table,
        "devices": devices_table,
        "solenoids": solenoids_table,
        "hazards": hazards_table,
        "risk-matrix": risk_matrix_table,
        "van": van_table,
        "sources": sources_table,
        "matrix": matrix_table,
        "hold-points": hold_points_table,
        "clause-index": clause_index_table,
    }
)
"""Every table of a standard's document, in printed order."""
