"""Sheets to sign: hold points in batches, what is done each day, each reel, and what is done once for the job."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import get_args

from slackloop.document.blocks import Block, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.inline import Line, line, strong
from slackloop.document.page import Page
from slackloop.document.table import Cell, Column, Part, Table, cell, figure_cell
from slackloop.document.tables.assumption_table import confirming_rows
from slackloop.sections.applied import AppliedSection
from slackloop.sections.inspection_points import AT_NO_BOX, is_due_at, is_due_on_ring_run
from slackloop.sections.section import Check, Where
from slackloop.units.figure import length

MENU = ("Inspection", "Sheets")
BATCH = 8
"""Boxes that one signature may cover."""
DAYS = 6
WORDS = {"hold": "HOLD", "witness": "Witness", "none": ""}
TO_WRITE = cell(" ")
AT_BOXES: frozenset[Where] = frozenset(get_args(Where)) - AT_NO_BOX
SIGNED = (Column("name", "Name and signature"), Column("when", "Date, time"))


def sheet_pages(context: Context) -> tuple[Page, ...]:
    """Every sheet of the job; one with nothing on it is left out."""
    made = (batch_sheet(context), daily_sheet(context), reel_sheet(context), job_sheet(context))
    return tuple(page for page in made if page is not None)


def batch_sheet(context: Context) -> Page | None:
    """Hold and witness points of boxes and runs, a batch of boxes of one branch to a row, a signature each."""
    parts = []
    for hold in ("hold", "witness"):
        for applied, check in _checks(context, _held(hold, AT_BOXES)):
            rows = tuple(_batch(title, ids) for title, ids in _batches(context, check))
            if rows:
                parts.append(Part(f"{check.id} {_title(context, applied, check)} ({WORDS[hold].lower()})", rows))
    if not parts:
        return None
    columns = (Column("branch", "Branch"), Column("boxes", "Boxes and runs that are good"), *SIGNED)
    words = "Mark each box or run whose card is good. One signature covers the marked ones of its row, and no others."
    return _page(
        "hold-points",
        "Hold points signed in batches",
        words,
        Table("hold-points", "Hold points", columns, tuple(parts), ("method",)),
    )


def daily_sheet(context: Context) -> Page | None:
    """What is looked at each day, with a column for each day and one signature a day."""
    duties = tuple(
        (
            cell(strong(_title(context, applied, check)), ". ", _limit(context, applied, check), f" {check.id}"),
            *_blank(DAYS),
        )
        for applied, check in _checks(context, lambda each: each.where == "each-day")
    )
    if not duties:
        return None
    foot = tuple((cell(strong(words)), *_blank(DAYS)) for words in ("Date", "Signed by"))
    columns = (
        Column("duty", "Each day, before work and as it goes on"),
        *(Column(f"day-{n}", f"Day {n}") for n in range(1, DAYS + 1)),
    )
    words = "Tick what is good. Do not start work that a missing tick concerns. One signature a day covers its column."
    return _page(
        "daily",
        "Daily sheet",
        words,
        Table("daily", "Daily sheet", columns, (Part("", (*duties, *foot)),), ("method",)),
    )


def reel_sheet(context: Context) -> Page | None:
    """Each reel as it comes: what it holds, its receiving test, who passed it."""
    checks = tuple(_checks(context, lambda each: each.where == "each-reel"))
    cables, rows = context.job.cables, []
    for plan in context.analysis.reels:
        whole = length(plan.reel_m, "nearest") if plan.reel_m else None
        for number in range(1, len(plan.reels) + 1):
            cores = cables[plan.cable].cores
            rows.append(
                (
                    cell(f"{plan.cable}, reel {number}"), figure_cell(whole, context.units) if whole else TO_WRITE,
                    cell(f"{cores.a}, {cores.b}"), *_blank(4),
                )
            )  # fmt: skip
    if not rows or not checks:
        return None
    columns = (
        Column("reel", "Reel"), Column("length", "Length", "length"), Column("cores", "Core a, core b"),
        Column("seen", "Label and colours agree"), Column("reading", "Insulation read"), *SIGNED,
    )  # fmt: skip
    words = [line(strong(_title(context, *each)), ". ", _limit(context, *each), f" {each[1].id}") for each in checks]
    table = Table("reel-sheet", "Reels received", columns, (Part("", tuple(rows)),), ("method",))
    return _sheet(
        "reels-received", "Reel sheet", (*(Paragraph(each) for each in words), TableBlock(table, sourced=False))
    )


def job_sheet(context: Context) -> Page | None:
    """What is checked once for the job: holds first, then witness points, then the rest."""
    parts = []
    for hold, title in (("hold", "Hold points"), ("witness", "Witness points"), ("none", "Other checks")):
        rows = tuple(
            (
                cell(strong(check.id)),
                cell(_title(context, applied, check)),
                cell(_limit(context, applied, check)),
                *_blank(2),
            )
            for applied, check in _checks(context, _held(hold, frozenset({"job"})))
        )
        if rows:
            parts.append(Part(title, rows))
    facts = tuple((*cells, *_blank(2)) for cells in confirming_rows(context))
    if facts:
        parts.insert(0, Part("Hold points: facts to confirm", facts))
    if not parts:
        return None
    columns = (Column("id", "Check"), Column("title", "What"), Column("limit", "Limit"), *SIGNED)
    words = "At a hold point, work stops until it is signed."
    return _page("job", "Job sheet", words, Table("job-sheet", "Checks of the job", columns, tuple(parts), ("method",)))


def _page(name: str, title: str, words: str, table: Table) -> Page:
    return _sheet(name, title, (Paragraph(line(words), "lead"), TableBlock(table, sourced=False)))


def _sheet(name: str, title: str, blocks: tuple[Block, ...]) -> Page:
    return Page(f"sheets/{name}", title, blocks, "register", "inspection", MENU, title)


def _checks(context: Context, wanted: Callable[[Check], bool]) -> Iterator[tuple[AppliedSection, Check]]:
    """The checks that apply and are wanted, in the order of the method."""
    return ((applied, check) for applied in context.sections for check in applied.checks if wanted(check))


def _held(hold: str, places: frozenset[Where]) -> Callable[[Check], bool]:
    """Whether a check holds work in this way at one of these places."""
    return lambda check: check.hold == hold and check.where in places


def _title(context: Context, applied: AppliedSection, check: Check) -> str:
    return context.prose.plain(check.title)


def _limit(context: Context, applied: AppliedSection, check: Check) -> Line:
    return context.prose.line(check.limit, applied.section.file, applied.section.line_of(check.id))


def _batches(context: Context, check: Check) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The boxes at which a check is due, by branch, then the runs that close a ring."""
    network = context.network
    electrodes = {each.where for each in context.analysis.electrodes.places}
    for group in context.groups:
        ids = (
            network.boxes[index] for index in group.indices
            if is_due_at(check.where, context.box(index), index, network, electrodes)
        )  # fmt: skip
        for some in _batched(ids, BATCH):
            yield group.title, some
    for some in _batched((run.id for run in network.closures if is_due_on_ring_run(check, run)), BATCH):
        yield "Runs that close a ring", some


def _batched(ids: Iterable[str], size: int) -> Iterator[tuple[str, ...]]:
    """Ids in tuples of at most ``size``."""
    every = tuple(ids)
    return (every[start : start + size] for start in range(0, len(every), size))


def _batch(title: str, ids: Iterable[str]) -> tuple[Cell, ...]:
    return cell(title.split(":")[0]), cell("   ".join(f"□ {each}" for each in ids)), *_blank(2)


def _blank(count: int) -> tuple[Cell, ...]:
    """Places to write."""
    return (TO_WRITE,) * count
