"""The inspector's registers: every requirement with its step and check, and the inspection and test plan."""

from __future__ import annotations

from slackloop.handbook.addresses import section_uri
from slackloop.handbook.material import Material, with_condition
from slackloop.handbook.section_words import HOLD_WORDS, METHOD_WORDS, WHERE_WORDS, requirement_source
from slackloop.handbook.tables.safety_tables import each_step_link
from slackloop.handbook.tables.table import Column, Row, Table, TablePart
from slackloop.handbook.text import join, link, trusted


def requirements_table(context: Material) -> Table:
    """Every requirement with where it is asked, the step that does it and the check that proves it."""
    steps = {(each.section.file, step_id): address for each, step_id, address in each_step_link(context)}
    parts = []
    for applied in context.sections:
        front, file = applied.section.front, applied.section.file
        rows: list[Row] = []
        for each in applied.requirements:
            line = applied.section.line_of(each.id)
            done = join([steps[file, step.id] for step in applied.steps_of(each)], "<br>")
            uri = f"../{section_uri(front.part, front.id)}"
            proved = join([link(check.id, f"{uri}#{check.id.lower()}") for check in applied.checks_of(each)])
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
            where = with_condition(context, trusted(WHERE_WORDS[check.where]), check.applies)
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
