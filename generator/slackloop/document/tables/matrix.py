"""The inspector's one table: each requirement with its clause and step, each check with its limit, place and hold."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.document.inline import Line, joined, line, link, strong
from slackloop.document.material import Material
from slackloop.document.pages.section_page import section_id
from slackloop.document.table import NO_CELL, Cell, Column, Part, Table, cell
from slackloop.document.target import PageTarget
from slackloop.sections.applied import AppliedSection
from slackloop.sections.section import Check, Requirement
from slackloop.sections.section_words import WHERE_WORDS, requirement_source

HOLD_WORDS = {"none": "", "witness": "Witness", "hold": "HOLD"}
RECORD_WORDS = {"measure": "value", "sign": "signature", "tick": "tick", "covered": "stage signature"}
COLUMNS = (
    Column("requirement", "Requirement"), Column("clause", "Asked by"), Column("step", "Step"),
    Column("check", "Check"), Column("limit", "Limit"), Column("when", "When"), Column("record", "Recorded by"),
    Column("hold", "Hold"), Column("result", "Result"),
)  # fmt: skip


def matrix_table(context: Material) -> Table:
    """Every requirement once, with the checks that prove it; a check that proves more than one is told once."""
    parts, anchors = [], []
    told: set[str] = set()
    for applied in context.sections:
        rows: list[tuple[Cell, ...]] = []
        for requirement in applied.requirements:
            for anchor, row in _rows(context, applied, requirement, told):
                rows.append(row)
                anchors.append(anchor)
        if rows:
            parts.append(Part(context.prose.plain(applied.section.front.title), tuple(rows)))
    return Table(
        "matrix", "Requirements, checks and records", COLUMNS, tuple(parts), ("method",), landscape=True,
        row_anchors=tuple(anchors),
        notes=(line("Result: pass, fail with its number, or not done. The box card or page holds the value itself."),),
    )  # fmt: skip


def _rows(
    context: Material, applied: AppliedSection, requirement: Requirement, told: set[str]
) -> Iterator[tuple[str, tuple[Cell, ...]]]:
    """The rows of one requirement, each with its anchor: the check's id, or the requirement's."""
    file = applied.section.file
    text = context.prose.line(requirement.text, file, applied.section.line_of(requirement.id))
    head = cell(strong(requirement.id), " ", text)
    clause = cell(requirement_source(requirement.source, requirement.clause, context))
    steps = cell(_steps(applied, requirement))
    checks = applied.checks_of(requirement)
    for number, check in enumerate(checks):
        own = (head, clause, steps) if number == 0 else (NO_CELL, NO_CELL, NO_CELL)
        if check.id in told:
            again = cell(link(check.id, PageTarget("tables/matrix", check.id.lower())), ", above")
            yield f"{requirement.id.lower()}-{number}", (*own, again, *(NO_CELL for _ in range(5)))
            continue
        told.add(check.id)
        yield check.id.lower(), (*own, *_check_cells(context, file, applied, check))


def _check_cells(context: Material, file: str, applied: AppliedSection, check: Check) -> tuple[Cell, ...]:
    """A check: its words, its limit, when it is made, how it is recorded, whether work stops for it, and its result."""
    line_number = applied.section.line_of(check.id)
    return (
        cell(strong(check.id), " ", context.prose.line(check.title, file, line_number)),
        cell(context.prose.line(check.limit, file, line_number)),
        cell(WHERE_WORDS[check.where]),
        cell(RECORD_WORDS[check.record]),
        cell(HOLD_WORDS[check.hold]),
        cell(" "),
    )


def _steps(applied: AppliedSection, requirement: Requirement) -> Line:
    """Links to the steps that carry a requirement, by their numbers."""
    page = section_id(applied)
    return joined(
        line(link(str(applied.numbers[step.id]), PageTarget(page, step.id))) for step in applied.steps_of(requirement)
    )
