"""The first page of the crew's part: what this copy is worth, its key values, and who is called, on one sheet."""

from __future__ import annotations

from collections.abc import Iterable

from slackloop.document.blocks import Block, Fact, Facts, Heading, Note, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.finding_words import is_answered
from slackloop.document.inline import PageTarget, line, link
from slackloop.document.page import Page
from slackloop.document.pages import findings_page
from slackloop.document.pages.section_page import EMERGENCY
from slackloop.document.recorded import counted, told_counts
from slackloop.document.table import EMPTY_CELL, Cell, Column, Table, cell, one_part
from slackloop.sections import format as fmt
from slackloop.site.answers import open_questions
from slackloop.site.site_contacts import Contacts, authorities, called, roles

PAGE = "design/front"


def front_sheet(context: Context, draft: bool) -> Page:
    """The job on one page, for paper alone: a screen has the start page."""
    blocks: list[Block] = []
    if draft:
        text = "The job fails its check." if context.analysis.verdict == "fail" else "The document is a draft."
        blocks.append(Note("danger", "Draft.", (Paragraph(line(f"{text} Do not build from this copy.")),)))
    blocks += [
        _verdict(context, draft), Heading(2, line("Key values"), "key-values"), Facts(tuple(_values(context))),
        Heading(2, line("People"), "people"), TableBlock(_people(context), sourced=False),
        Heading(2, line("Code and services in the ground"), "local"), TableBlock(_code(context), sourced=False),
        Heading(2, line("In an emergency"), "emergency"), TableBlock(_called(context), sourced=False), *_sheet(context),
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
            *_open(context), *_results(context),
        ),
        large=True,
    )


def _open(context: Context) -> Iterable[Fact]:
    """Facts that nobody is sure of, and blanks that are to be filled in, where there are some."""
    unsure = len(context.reading.assumptions) if context.reading else 0
    if unsure:
        yield Fact("Facts to confirm", line(fmt.grouped(unsure)))
    blanks = sum(not given for _, given in (*_roles(context), *called(context.job.emergency), *_authorities(context)))
    yield Fact("Blanks to fill in", line(fmt.grouped(blanks) if blanks else "none"))


def _results(context: Context) -> Iterable[Fact]:
    """How the results stand, where the handbook is built with records."""
    if context.recorded is not None:
        told = fmt.listing(list(told_counts(counted(context.recorded.needed))))
        yield Fact("Results", line(told or "none"), line(context.recorded.statement))


def _roles(context: Context) -> Contacts:
    return roles(context.job.people, context.values.electrician)


def _authorities(context: Context) -> Contacts:
    return authorities(context.job.local_code, context.job.locates)


def _values(context: Context) -> Iterable[Fact]:
    """The figures that hold on the whole job."""
    values = context.values
    rows = (
        ("Boxes", values.box_count, ""),
        ("Cable", values.cable_names, ""),
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
    columns = (Column("role", "Role", share=4), Column("name", "Name", share=5), Column("phone", "Phone", share=4))
    rows = ((cell(role), _given(name), EMPTY_CELL) for role, name in _roles(context))
    return Table("people", "", columns, one_part(rows), ("job",))


def _called(context: Context) -> Table:
    """Numbers and places that a call for help needs."""
    columns = (Column("who", "Who or what", share=4), Column("number", "Number or place", share=9))
    rows = ((cell(who), _given(number)) for who, number in called(context.job.emergency))
    return Table("called", "", columns, one_part(rows), ("job",))


def _code(context: Context) -> Table:
    """The local code, its inspector and the search for buried utilities."""
    columns = (Column("what", "What", share=4), Column("given", "On this job", share=9))
    rows = ((cell(what), _given(given)) for what, given in _authorities(context))
    return Table("local", "", columns, one_part(rows), ("job",))


def _given(text: str) -> Cell:
    """What the job states; a place to write in where it states nothing."""
    return cell(text) if text else EMPTY_CELL


def _sheet(context: Context) -> Iterable[Block]:
    """The way to the emergency sheet."""
    if any(each.section.front.id == EMERGENCY for each in context.part("safety")):
        sheet = link("emergency sheet", PageTarget(f"safety/{EMERGENCY}"))
        yield Paragraph(line("What to say and do: ", sheet, ", the last page of this part, to tear out and put up."))
