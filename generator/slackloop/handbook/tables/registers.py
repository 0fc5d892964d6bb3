"""The inspector's registers: every requirement with its step and check, and the inspection and test plan."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.handbook.addresses import section_uri, table_uri
from slackloop.handbook.applied import AppliedSection
from slackloop.handbook.check_places import place_of_check
from slackloop.handbook.material import Material, with_condition
from slackloop.handbook.section import Requirement
from slackloop.handbook.section_words import HOLD_WORDS, METHOD_WORDS, SOURCE_WORDS, requirement_source
from slackloop.handbook.tables.table import Column, Row, Table, TablePart, one_part
from slackloop.handbook.text import Trusted, escape, join, link, trusted


def requirements_table(context: Material) -> Table:
    """Every requirement with where it is asked, the step that does it and the check that proves it."""
    parts = []
    for applied in context.sections:
        front, file = applied.section.front, applied.section.file
        rows: list[Row] = []
        for each in applied.requirements:
            line = applied.section.line_of(each.id)
            done = _done(context, applied, each)
            uri = f"../{section_uri(front.part, front.id)}"
            proved = _proved(context, applied, each, "requirements")
            name = link(each.id, f"{uri}#{each.id.lower()}")
            text = with_condition(context, context.renderer.render(each.text, file, line), each.applies)
            asked = requirement_source(each.source, each.clause, context)
            rows.append((name, text, asked, done, proved, trusted("&#160;")))
        if rows:
            parts.append(TablePart(context.renderer.plain(front.title), tuple(rows)))
    headings = ("Requirement", "What is asked", "Asked by", "Done in", "Proved by", "Result")
    return Table(
        "requirements",
        "Requirements register",
        "Everything that is asked of the work: where it is asked, the step that does it and the check that proves it.",
        tuple(Column(heading) for heading in headings),
        tuple(parts),
        ("The content of this handbook; each row names what asks for it.",),
        door="Inspect",
        own_place=True,
    )


def _done(context: Material, applied: AppliedSection, requirement: Requirement) -> Trusted:
    """The steps that carry out a requirement, which all stand in its own section."""
    front = applied.section.front
    uri = f"../{section_uri(front.part, front.id)}"
    steps = [link(f"step {applied.numbers[step.id]}", f"{uri}#{step.id}") for step in applied.steps_of(requirement)]
    return trusted(f"{escape(context.renderer.plain(front.title))}: {join(steps)}") if steps else trusted("")


def _proved(context: Material, applied: AppliedSection, requirement: Requirement, table: str) -> Trusted:
    """The checks that prove a requirement, each with the place of its record, as they stand in a table."""
    front = applied.section.front
    uri = f"../{section_uri(front.part, front.id)}"
    cells = []
    for check in applied.checks_of(requirement):
        place = place_of_check(context, check, table_uri(table))
        cells.append(trusted(f"{link(check.id, f'{uri}#{check.id.lower()}')}: {place}"))
    return join(cells, "<br>")


def clauses_table(context: Material) -> Table:
    """Every clause that asks for something, with what it asks, the step that does it and the record that shows it."""
    by_clause: dict[str, list[Row]] = {}
    named: list[str] = []
    for applied in context.sections:
        front, file = applied.section.front, applied.section.file
        for each in applied.requirements:
            if each.source not in ("code", "standard", "job"):
                continue
            name = link(each.id, f"../{section_uri(front.part, front.id)}#{each.id.lower()}")
            text = context.renderer.render(each.text, file, applied.section.line_of(each.id))
            done = _done(context, applied, each)
            proved = _proved(context, applied, each, "clauses")
            if each.source == "code":
                named.append(each.clause)
            for clause in _clauses(context, each):
                by_clause.setdefault(clause, []).append((name, text, done, proved))
    rows = [(clause, *row) for clause in sorted(by_clause) for row in by_clause[clause]]
    asked = [words for names in named for words in context.clause_words(names)]
    headings = ("Clause", "Requirement", "What is asked", "Done in", "Proved by")
    return Table(
        "clauses",
        "Requirements by clause",
        "From a clause to the step that does it, the check that proves it and the box where it is recorded.",
        tuple(Column(heading) for heading in headings),
        one_part(rows),
        ("The content of this handbook; a clause is cited by number, and its own words rule.",),
        notes=tuple(sorted(dict.fromkeys(asked))),
        door="Inspect",
        own_place=True,
    )


def _clauses(context: Material, requirement: Requirement) -> Iterator[str]:
    """Each clause that a requirement names, in words; content parts them by semicolons."""
    if requirement.source == "job":
        yield f"{SOURCE_WORDS['job']}: {requirement.clause}"
    elif requirement.source == "code":
        yield from context.code_clauses(requirement.clause)
    else:
        yield from context.cited(requirement.clause)


def plan_table(context: Material) -> Table:
    """The inspection and test plan: every check with limit, place and hold point."""
    parts = []
    for applied in context.sections:
        front, file = applied.section.front, applied.section.file
        rows: list[Row] = []
        for check in applied.checks:
            line = applied.section.line_of(check.id)
            name = link(check.id, f"../{section_uri(front.part, front.id)}#{check.id.lower()}")
            title = context.renderer.render(check.title, file, line)
            limit = context.renderer.render(check.limit, file, line)
            held = HOLD_WORDS[check.hold] or "None"
            where = place_of_check(context, check, table_uri("inspection-and-test-plan"))
            rows.append((name, title, METHOD_WORDS[check.method], limit, where, held))
        if rows:
            parts.append(TablePart(context.renderer.plain(front.title), tuple(rows)))
    headings = ("Check", "What", "How", "Limit", "Where", "Hold point")
    return Table(
        "inspection-and-test-plan",
        "Inspection and test plan",
        "Every check of the job in the order of the work. Work stops at a hold point until it is signed.",
        tuple(Column(heading) for heading in headings),
        tuple(parts),
        ("The content of this handbook; limits come from the job file.",),
        door="Inspect",
        own_place=True,
    )
