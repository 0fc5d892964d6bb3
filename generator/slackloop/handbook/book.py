"""The whole handbook: every page in printed order, with the facts of the document."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from slackloop.handbook.addresses import clashes, table_uri
from slackloop.handbook.applied import AppliedSection
from slackloop.handbook.box_drawing import BoxDrawings
from slackloop.handbook.box_index import all_boxes_page, group_page
from slackloop.handbook.box_page import box_page
from slackloop.handbook.checker import Known, check_content
from slackloop.handbook.content import Content
from slackloop.handbook.content_finding import refuse_faults
from slackloop.handbook.context import Context
from slackloop.handbook.document_page import document_page
from slackloop.handbook.drawings import FIGURES, drawing_pages
from slackloop.handbook.findings_page import findings_page
from slackloop.handbook.inserts import InsertWriter
from slackloop.handbook.page import DocumentHeader, Page
from slackloop.handbook.ring_runs import ring_run_page, ring_runs
from slackloop.handbook.schedule_files import file_links
from slackloop.handbook.section_page import SectionPage
from slackloop.handbook.start_page import start_page
from slackloop.handbook.table_pages import table_pages
from slackloop.handbook.tables.all import TABLES
from slackloop.job.answers import open_questions
from slackloop.job.finding import Placed
from slackloop.job.models import Job
from slackloop.reference.tables import ReferenceTables

if TYPE_CHECKING:
    from slackloop.compute.analysis import Analysis
    from slackloop.handbook.tables.table import Table
    from slackloop.job.reader import Reading


@dataclass(frozen=True)
class Book:
    """A finished handbook; ``pages`` stand in printed order, the start page first.

    ``sections`` are those that apply; ``tables`` holds every computed table by its id; ``context`` is what the
    pages were made from, for the box cards.
    """

    pages: tuple[Page, ...]
    facts: DocumentHeader
    job: Job
    analysis: Analysis
    sections: tuple[AppliedSection, ...]
    tables: dict[str, Table]
    summary: str
    context: Context


def make_book(
    job: Job,
    analysis: Analysis,
    tables: ReferenceTables,
    content: Content,
    *,
    reading: Reading | None = None,
    fingerprint: str = "",
    cards_file: str = "",
    placed: tuple[Placed, ...] = (),
) -> Book:
    """Every page of the handbook of a job; ``cards_file`` is the address of its printable cards, where there are any.

    ``placed`` is every finding of the job, with its place and its answer.

    Raises ``ContentError`` with every place at once when the content breaks one of its own rules
    (``checker.check_content``) or a template fails.
    """
    refuse_faults(check_content(content, known(tables)))
    context = Context(job, analysis, tables, content, reading, fingerprint, cards_file, placed)
    draft = job.document.status == "draft" or analysis.verdict == "fail"
    writer = InsertWriter(context, TABLES, FIGURES)
    by_door = _tables_by_door(writer)
    sections = [SectionPage(context, each, writer).page() for each in context.sections]
    inner = (
        document_page(context, draft),
        findings_page(context),
        *by_door["Issue"],
        *sections,
        *by_door["Install"],
        *_boxes(context),
        *drawing_pages(context, writer),
        *by_door["Inspect"],
    )
    refuse_faults(tuple(sorted(set(context.renderer.findings))))
    pages = (start_page(context, inner, draft), *inner)
    twice = clashes(page.uri for page in pages)
    if twice:
        raise ValueError(f"two pages have one address: {', '.join(twice)}")
    made = {name: writer.table(name) for name in TABLES}
    facts = header(job, draft, fingerprint, open_questions(context.findings))
    return Book(pages, facts, job, analysis, context.sections, made, _summary(context), context)


def known(tables: ReferenceTables) -> Known:
    """What content may name: the tables and drawings made here, and the clauses of every code basis."""
    clauses = frozenset(clause.id for basis in tables.code_bases.values() for clause in basis.clauses)
    return Known(TABLES, FIGURES, clauses)


def header(job: Job, draft: bool, fingerprint: str, questions: int = 0) -> DocumentHeader:
    """The facts that stand on every page."""
    return DocumentHeader(
        number=job.job.number,
        title=job.job.title,
        site=job.job.site,
        revision=job.document.revision,
        date=str(job.document.date),
        status=job.document.status,
        fingerprint=fingerprint,
        draft=draft,
        contractor=job.job.contractor,
        open_questions=questions,
    )


def _tables_by_door(writer: InsertWriter) -> dict[str, list[Page]]:
    """The pages of every table, sorted to the door that its reader takes."""
    doors: dict[str, list[Page]] = {"Issue": [], "Install": [], "Inspect": []}
    for name in TABLES:
        table = writer.table(name)
        if table.rows or not table.omit_when_empty:
            doors[table.door] += table_pages(table, file_links(table.id, table_uri(table.id)))
    return doors


def _boxes(context: Context) -> list[Page]:
    """The list of all boxes, then each group followed by its boxes, then the runs that close a ring."""
    pages, drawings = [all_boxes_page(context)], BoxDrawings(context)
    for group in context.groups:
        pages.append(group_page(context, group))
        pages += [box_page(context, index, group, drawings.wiring(index)) for index in group.indices]
    pages += [ring_run_page(ring) for ring in ring_runs(context)]
    return pages


def _summary(context: Context) -> str:
    """The handbook in one plain sentence."""
    values = context.values
    return f"{values.title}: {values.box_count} boxes, {values.run_total}, lowest volts {values.worst_volts}."
