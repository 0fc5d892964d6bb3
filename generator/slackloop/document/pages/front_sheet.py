"""The first page of the crew's part: what this copy is worth, its key values, and who is called, on one sheet."""

from __future__ import annotations

from collections.abc import Iterable

from slackloop.document.blocks import Block, Fact, Facts, Heading, Note, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.findings_page import is_answered
from slackloop.document.inline import line, link
from slackloop.document.page import Page
from slackloop.document.pages import findings_page
from slackloop.document.pages.section_page import EMERGENCY
from slackloop.document.table import EMPTY_CELL, Column, Table, cell, one_part
from slackloop.document.target import PageTarget
from slackloop.sections import format as fmt
from slackloop.site.answers import open_questions

PAGE = "design/front"
CALLED = (
    "Emergency services", "Nearest hospital that takes emergencies", "Place where the crew gathers",
    "Gas: owner of the pipes", "Electricity: owner of the lines", "Water: owner of the pipes",
)  # fmt: skip


def front_sheet(context: Context, draft: bool) -> Page:
    """The job on one page, for paper alone: a screen has the start page."""
    blocks: list[Block] = []
    if draft:
        text = "The job fails its check." if context.analysis.verdict == "fail" else "The document is a draft."
        blocks.append(Note("danger", "Draft.", (Paragraph(line(f"{text} Do not build from this copy.")),)))
    blocks += [
        _verdict(context, draft), Heading(2, line("Key values"), "key-values"), Facts(tuple(_values(context))),
        Heading(2, line("People"), "people"), TableBlock(_people(context), sourced=False),
        Heading(2, line("In an emergency"), "emergency"), TableBlock(_called(), sourced=False), *_sheet(context),
    ]  # fmt: skip
    return Page(
        PAGE, "Job sheet", tuple(blocks), "document", "method", ("Design",), "The job on one page", listed=False,
        screen=False,
    )  # fmt: skip


def _verdict(context: Context, draft: bool) -> Facts:
    """Whether the handbook may be built from, and what is still to be answered."""
    still_open = [each for each in context.findings if not is_answered(each) and each.level != "note"]
    questions = open_questions(context.findings)
    answered = line(link("listed under Findings", PageTarget(findings_page.PAGE))) if still_open else ()
    return Facts(
        (
            Fact("Status", line("draft" if draft else context.job.document.status)),
            Fact("Open findings", line(fmt.grouped(len(still_open)) if still_open else "none"), answered),
            Fact("Open questions", line(fmt.grouped(questions) if questions else "none")),
        ),
        large=True,
    )


def _values(context: Context) -> Iterable[Fact]:
    """The figures that hold on the whole job."""
    values = context.values
    rows = (
        ("Boxes", values.box_count, ""),
        ("Cable", values.cable_names, values.core_pairs),
        ("Runs in all", values.run_total, "without slack"),
        ("Slack", values.slack_length, values.slack_rule),
        ("Cover over the cable", values.cover, "where the run table gives no other"),
        ("Trench", values.trench_depth, f"deep as dug, {values.trench_width} wide"),
        ("Bare copper", values.strip, "at each conductor end"),
        ("Connectors", values.connector_titles, ""),
        ("Supply", values.supply_volts, f"{context.job.supply.current}, {values.stations_at_once} stations at once"),
        ("Lowest volts", values.worst_volts, f"at {values.worst_box}"),
        ("Insulation test", values.insulation_volts, f"at least {values.insulation_least}"),
        ("Earth electrodes", values.electrode_count, f"each at most {values.target}" if values.target else ""),
    )
    return (Fact(name, line(value), line(more) if more else ()) for name, value, more in rows if value)


def _people(context: Context) -> Table:
    """Who answers for what; names that nobody stated are filled in by hand."""
    values = context.values
    roles = ("Site lead", "Competent person for the trench", values.electrician.capitalize(), "First-aider")
    columns = (Column("role", "Role", share=4), Column("name", "Name", share=5), Column("phone", "Phone", share=4))
    return Table("people", "", columns, one_part((cell(role), EMPTY_CELL, EMPTY_CELL) for role in roles), ("job",))


def _called() -> Table:
    """Numbers and places that a call for help needs."""
    columns = (Column("who", "Who or what", share=4), Column("number", "Number or place", share=9))
    return Table("called", "", columns, one_part((cell(who), EMPTY_CELL) for who in CALLED), ("job",))


def _sheet(context: Context) -> Iterable[Block]:
    """The way to the emergency sheet."""
    if any(each.section.front.id == EMERGENCY for each in context.part("safety")):
        sheet = link("emergency sheet", PageTarget(f"safety/{EMERGENCY}"))
        yield Paragraph(line("What to say and do: ", sheet, ", the last page of this part, to tear out and put up."))
