"""The whole handbook: every page as blocks, in the order of its parts, with the facts of the document."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, partial

from slackloop.compute.computed_job import ComputedJob
from slackloop.control.comparison import compare
from slackloop.control.snapshot import Snapshot
from slackloop.document.blocks import TableBlock
from slackloop.document.boxes.box_drawing import BoxDrawings
from slackloop.document.boxes.box_page import box_page
from slackloop.document.boxes.ring_runs import ring_run_page, ring_runs
from slackloop.document.context import Context
from slackloop.document.drawings.path_drawings import drawings_of
from slackloop.document.drawings.work import WORK_DRAWINGS, work_drawings
from slackloop.document.drawings.work.sketch import WorkValues
from slackloop.document.handover.handover_part import NO_HANDOVER, PART, HandoverPart, handover_part
from slackloop.document.inserts import FIGURES, PAPER_WIDE_MM, WIDE_FIGURES, Drawings, Inserts
from slackloop.document.page import BookPart, DocumentHeader, Page
from slackloop.document.pages.codes_page import codes_page
from slackloop.document.pages.control_page import changes_pages, control_page
from slackloop.document.pages.day_sheets import day_sheets
from slackloop.document.pages.findings_page import findings_page
from slackloop.document.pages.front_sheet import PAGE as JOB_SHEET
from slackloop.document.pages.front_sheet import front_sheet
from slackloop.document.pages.lists import (
    PART_TITLES,
    PATH_DRAWINGS,
    boxes_page,
    part_page,
    path_page,
    table_page,
    table_page_id,
    volts_page,
)
from slackloop.document.pages.section_page import SectionPage
from slackloop.document.pages.sheets import sheet_pages
from slackloop.document.pages.start_page import start_page
from slackloop.document.revision.snapshot_maker import make_snapshot
from slackloop.document.table import JSON_FILE, WORKBOOK, Table, csv_file
from slackloop.document.tables.registry import FILES, MENU, TableDefinition, page_tables, table_of
from slackloop.document.walk import check_links, walk
from slackloop.sections.content import refuse_faults
from slackloop.sections.format import count
from slackloop.site.answers import open_questions
from slackloop.site.models import Job

PARTS: tuple[tuple[BookPart, str], ...] = (
    ("method", "Part 1. Method"), ("design", "Part 2. Design"), ("inspection", "Part 3. Inspection"), PART,
)  # fmt: skip
"""The parts in printed order; the last is there where the handbook is built with records."""
PDF_NAME = "handbook.pdf"
CARDS_NAME = "cards.pdf"
PRINTED = (PDF_NAME, CARDS_NAME)
PART_FILES: tuple[tuple[BookPart, str], ...] = tuple((part, f"{part}.pdf") for part, _ in PARTS)
"""The files of the parts where each is printed as a document of its own."""


def printed_files(*, separate: bool, with_records: bool) -> tuple[str, ...]:
    """The files to print that lie beside the pages."""
    if not separate:
        return PRINTED
    return (*(name for part, name in PART_FILES if with_records or part != PART[0]), CARDS_NAME)


@dataclass(frozen=True)
class Book:
    """A finished handbook; ``pages`` are in reading order, the start page first; ``tables`` are by id."""

    pages: tuple[Page, ...]
    header: DocumentHeader
    job: Job
    analysis: ComputedJob
    tables: dict[str, Table]
    summary: str
    context: Context
    snapshot: Snapshot | None
    """What the handbook says, to be compared with other revisions; none in a preview without releases."""
    handover: HandoverPart = NO_HANDOVER
    """What records add to it."""


def make_book(context: Context, *, printed: tuple[str, ...] = PRINTED) -> Book:
    """Every page of the handbook of a job; ``printed`` are the files to print that will lie beside its pages.

    Raises ``ContentError`` with every place at once where a template of the content fails, and ``LinksBroken`` where
    a link leads nowhere.
    """
    job, header = context.job, header_of(context)
    draft = header.draft
    inserts = inserts_of(context)
    shown = page_tables(context)
    plan = next(iter(inserts.drawings("site-plan")), None)
    handover = handover_part(context, inserts)
    lists = [page for part in PART_TITLES if (page := part_page(context, part)) is not None]
    sheets = sheet_pages(context)
    sections = [SectionPage(context, each, inserts).page() for each in context.sections]
    placed = {block.table.id for page in sections for block in walk(page.blocks) if isinstance(block, TableBlock)}
    pages = (
        start_page(context, draft, plan, printed, sheets),
        boxes_page(context),
        *box_pages(context),
        front_sheet(context, draft),
        path_page(inserts),
        *lists,
        *sections,
        control_page(context, draft),
        findings_page(context),
        codes_page({each.id: table.title for each, table in shown}),
        *(
            table_page(table, each.part, (MENU[each.part],), _files(each), paper=each.paper and table.id not in placed)
            for each, table in shown
        ),
        *volts_page(inserts),
        *sheets,
        *day_sheets(context),
        *handover.pages,
    )
    snapshot = make_snapshot(context, pages, header) if printed or context.releases else None
    if context.releases and snapshot is not None:
        changes = changes_pages(compare(context.releases[-1].snapshot(), snapshot))
        after = next(n for n, page in enumerate(pages, 1) if page.id == JOB_SHEET)
        pages = (*pages[:after], *changes, *pages[after:])
    refuse_faults(context.content.told(context.renderer.findings))
    check_links(pages, (*printed, *book_files(), *handover.files))
    tables = {each.id: table for each, table in shown}
    return Book(pages, header, job, context.analysis, tables, _summary(context), context, snapshot, handover)


def inserts_of(context: Context) -> Inserts:
    """Tables, drawings, cautions and deferrals that sections ask for by name."""

    @cache
    def drawings(name: str) -> Drawings:
        if name in WORK_DRAWINGS:
            return work_drawings(name, work_values(context))
        if name in WIDE_FIGURES:
            screen, paper = FIGURES[name](context), WIDE_FIGURES[name](context)
            return drawings_of(screen, on="screen") + drawings_of(paper, on="paper")
        return drawings_of(FIGURES[name](context), paper_wide_mm=PAPER_WIDE_MM.get(name, 0.0))

    return Inserts(
        context, partial(table_of, context), table_page_id,
        {name: partial(drawings, name) for name in (*FIGURES, *WORK_DRAWINGS)}, PATH_DRAWINGS,
    )  # fmt: skip


def book_files() -> tuple[str, ...]:
    """The names of the schedules that lie beside the pages."""
    return (*(csv_file(name) for name in FILES), WORKBOOK, JSON_FILE)


def header_of(context: Context) -> DocumentHeader:
    """The facts that are on every page."""
    job = context.job
    draft = job.document.status == "draft" or context.analysis.verdict == "fail" or context.released_as_draft
    return DocumentHeader(
        number=job.job.number,
        title=job.job.title,
        site=job.job.site,
        revision=job.document.revision,
        date=str(job.document.date),
        status="draft" if draft else job.document.status,
        fingerprint=context.fingerprint,
        draft=draft,
        contractor=job.job.contractor,
        open_questions=open_questions(context.findings),
        results=context.recorded.statement if context.recorded else "",
    )


def work_values(context: Context) -> WorkValues:
    """What pictures of work take from the job."""
    values, job = context.values, context.job
    return WorkValues(
        strip=values.strip, slack=values.slack_length if job.rules.slack.per == "tail" else "",
        cover=values.cover, depth=values.trench_depth,
        tape_depth=values.tape_depth if job.trench.warning_tape else "", bedding=values.bedding,
        trench_width=values.trench_width, spoil_back=values.spoil_back, clear_of_cable=values.clear_of_cable,
        insulation_volts=values.insulation_volts, jacket=job.cables[job.path.cable].jacket or "",
        core_a=values.core_a, core_b=values.core_b, with_pipe=job.trench.shared_with_pipe is not None,
    )  # fmt: skip


def box_pages(context: Context) -> list[Page]:
    """The page of every box."""
    drawings = BoxDrawings(context)
    boxes = (
        box_page(context, index, group, drawings.wiring(index)) for group in context.groups for index in group.indices
    )
    return [*boxes, *(ring_run_page(ring) for ring in ring_runs(context))]


def _files(definition: TableDefinition) -> list[tuple[str, str]]:
    """What a table is also given as."""
    if not definition.files:
        return []
    files = [(f"{name} (CSV)", csv_file(name)) for name in definition.files]
    return [*files, ("workbook of all schedules (XLSX)", WORKBOOK), ("all tables as data (JSON)", JSON_FILE)]


def _summary(context: Context) -> str:
    """The handbook in one plain sentence."""
    values = context.values
    boxes = count(len(context.network.boxes), "box", "boxes")
    return f"{values.title}: {boxes}, {values.run_total}, lowest volts {values.worst_volts}."
