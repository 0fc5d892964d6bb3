"""Sheets to sign: hold points in batches, what is done each day, each reel, and what is done once for the job."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import TypeVar, get_args

from slackloop.document.blocks import Block, Form, Paragraph, RecordBar, TableBlock
from slackloop.document.boxes.due_records import controller_checks
from slackloop.document.context import Context
from slackloop.document.doubts import confirming_rows
from slackloop.document.inline import Break, Inline, Line, line, strong
from slackloop.document.page import Page
from slackloop.document.pages.sheet_forms import (
    ELECTRODE,
    checks_where,
    crossing_forms,
    day_checks,
    day_forms,
    fact_form,
    job_forms,
    limit_of,
    reel_forms,
    title_of,
)
from slackloop.document.table import Cell, Column, Part, Table, cell, figure_cell
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.inspection_points import AT_NO_BOX, is_due_at, is_due_on_ring_run
from slackloop.sections.job_keys import cable_titles
from slackloop.sections.section import DAY_PARTS, Check, Where
from slackloop.units.figure import stated

MENU = ("Inspection", "Sheets")
BATCH = 10
"""Boxes that one signature may cover."""
ABREAST = 3
"""Points that are signed beside each other."""
DAYS = 6
ROOM_TO_WRITE = 4
"""Lines of a row that somebody writes sentences in, below its first."""
Batch = tuple[str, tuple[str, ...]]
"""The title of a branch, and some of its boxes."""
Point = tuple[AppliedSection, Check]
Some = TypeVar("Some")
WORDS = {"hold": "HOLD", "witness": "Witness", "none": ""}
TO_WRITE = cell(" ")
TO_SIGN = cell("Signed", Break(), "\u00a0", Break(), "Date, time", Break(), "Not at", Break(), "\u00a0")
"""Where a batch is signed: one list of boxes stands beside several of these."""
TO_READ = (Break(), "________________________________") * 2
AT_BOXES: frozenset[Where] = frozenset(get_args(Where)) - AT_NO_BOX
SIGNED = (Column("name", "Name and signature", share=7), Column("when", "Date, time", share=3))


def sheet_pages(context: Context) -> tuple[Page, ...]:
    """Every sheet of the job; one with nothing on it is left out."""
    made = (fact_sheet(context), batch_sheet(context), daily_sheet(context),
            day_notes_sheet(context), reel_sheet(context), crossing_sheet(context), job_sheet(context))  # fmt: skip
    return tuple(page for page in made if page is not None)


def fact_sheet(context: Context) -> Page | None:
    """Each fact that is assumed or not known, held until somebody has confirmed it; nothing where all are sure."""
    rows = tuple((*cells, *_blank(2)) for cells in confirming_rows(context))
    if not rows:
        return None
    columns = (
        Column("id", "Hold"), Column("fact", "Fact", share=6), Column("limit", "Signed off when", share=6), *SIGNED,
    )  # fmt: skip
    words = "Each is a hold point. What rests on the fact waits until it is confirmed and signed."
    table = Table("fact-sheet", "Facts to confirm", columns, (Part("", rows),), ("job",))
    form = fact_form(context)
    return _page("facts", "Facts to confirm", words, table, (form,) if form else ())


def batch_sheet(context: Context) -> Page | None:
    """Hold and witness points of boxes and runs, a batch of boxes of one branch to a row, a signature each.

    Points that are due at the same boxes stand beside each other, so that the boxes are listed once.
    """
    points: dict[tuple[Batch, ...], list[Point]] = {}
    for hold in ("hold", "witness"):
        for applied, check in checks_where(context, _held(hold, AT_BOXES)):
            points.setdefault(tuple(_batches(context, check)), []).append((applied, check))
    blocks = [
        TableBlock(_batch_table(context, batches, some, number), sourced=False)
        for number, (batches, some) in enumerate(
            (batches, some) for batches, every in points.items() if batches for some in _batched(every, ABREAST)
        )
    ]
    if not blocks:
        return None
    words = (
        "One signature, with date and time, covers the boxes and runs of its row that its writer has seen. Name after "
        "“Not at” each one that is not good or not yet seen: it is not signed off. On the card, write “batch sheet” "
        "and the day in place of the signature."
    )
    return _sheet("hold-points", "Hold points signed in batches", (Paragraph(line(words), "lead"), *blocks))


def _batch_table(context: Context, batches: Iterable[Batch], points: Iterable[Point], number: int) -> Table:
    """Batches of boxes down, and across the points that are signed for each."""
    columns = [Column("branch", "Branch"), Column("boxes", "Boxes and runs", share=10)]
    for each in points:
        head = f"{each[1].id} {title_of(context, each[1])} ({WORDS[each[1].hold].lower()})"
        columns.append(Column(each[1].id.lower(), head, share=8))
    rows = tuple(
        (cell(title.split(":")[0]), cell("  ".join(ids)), *(TO_SIGN,) * (len(columns) - 2)) for title, ids in batches
    )
    return Table(f"hold-points-{number}", "Hold points", tuple(columns), (Part("", rows),), ("method",))


def daily_sheet(context: Context) -> Page | None:
    """What is looked at each day, with a column for each day; before work and before the crew leaves it is signed."""
    parts: list[Part] = []
    for part, checks in day_checks(context).items():
        duties = (
            cell(strong(f"{each[1].id} {title_of(context, each[1])}{_held_text(each[1])}"), ". ",
                 limit_of(context, *each))
            for each in checks
        )  # fmt: skip
        ends = (cell(strong(words)) for words in (("Signed by",) if parts else ("Date", "Signed by")))
        parts.append(Part(DAY_PARTS[part], tuple((each, *_blank(DAYS)) for each in (*duties, *ends))))
    if not parts:
        return None
    columns = (
        Column("duty", "Each day", share=12),
        *(Column(f"day-{n}", f"Day {n}", share=2) for n in range(1, DAYS + 1)),
    )
    words = (
        "Tick what is good. If a tick is missing before work, do not start that work. If one is missing at the end of "
        "the shift, do not leave. Each signature covers the ticks above it. Strike out what is not done."
    )
    search = context.job.locates
    if search and search.valid_to:
        words += f" The search for buried utilities holds until {search.valid_to}; nobody digs after that day."
    table = Table("daily", "Daily sheet", columns, tuple(parts), ("method",))
    return _page("daily", "Daily sheet", words, table, tuple(day_forms(context).values()))


def day_notes_sheet(context: Context) -> Page | None:
    """Room for what is written down each day in words: a row for each day and a column for each such check.

    A handbook with results has none: it is for those who read them.
    """
    asked = [check for checks in day_checks(context).values() for _, check in checks if check.method == "record"]
    if not asked or context.recorded is not None:
        return None
    columns = (
        Column("day", "Day"),
        *(Column(each.id.lower(), f"{each.id} {title_of(context, each)}", share=5) for each in asked),
    )
    room = (Break(), "\u00a0") * ROOM_TO_WRITE
    rows = tuple((cell(strong(f"Day {n}"), *room), *_blank(len(asked))) for n in range(1, DAYS + 1))
    words = "For the back of the daily sheet: names, times and results. A note on the daily sheet does as well."
    table = Table("day-notes", "Written down each day", columns, (Part("", rows),), ("method",))
    return _page("day-notes", "Written down each day", words, table)


def _held_text(check: Check) -> str:
    """Whether a check of each day is a hold or a witness point."""
    return "" if check.hold == "none" else f" ({WORDS[check.hold].lower()})"


def reel_sheet(context: Context) -> Page | None:
    """Each reel as it comes: what it holds, its receiving test, who passed it."""
    checks = tuple(checks_where(context, lambda each: each.where == "each-reel"))
    cables, titles, rows = context.job.cables, cable_titles(context.job), []
    for plan in context.analysis.reels:
        reel = cables[plan.cable].reel
        whole = stated(reel, "lowest") if reel is not None else None
        for number in range(1, len(plan.reels) + 1):
            cores = cables[plan.cable].cores
            rows.append(
                (
                    cell(f"{titles[plan.cable]}, reel {number}"),
                    figure_cell(whole, context.units) if whole else TO_WRITE,
                    cell(f"{cores.a}, {cores.b}"), *_blank(4),
                )
            )  # fmt: skip
    if not rows or not checks:
        return None
    columns = (
        Column("reel", "Reel"), Column("length", "Length", "length"), Column("cores", "Core a, core b"),
        Column("seen", "Label and colours agree", share=3), Column("reading", "Insulation read", share=3), *SIGNED,
    )  # fmt: skip
    words = [
        line(strong(f"{each[1].id} {title_of(context, each[1])}"), ". ", limit_of(context, *each)) for each in checks
    ]
    table = Table("reel-sheet", "Reels received", columns, (Part("", tuple(rows)),), ("method",))
    shown = TableBlock(table, sourced=False, on="paper")
    blocks: tuple[Block, ...] = *(Paragraph(each) for each in words), *reel_forms(context), RecordBar(), shown
    return _sheet("reels-received", "Reel sheet", blocks)


def crossing_sheet(context: Context) -> Page | None:
    """The runs that cross, each with what is recorded of it; paper has the cards of their boxes."""
    forms = tuple(crossing_forms(context))
    if not forms:
        return None
    words = "Each run that passes under something. The page of its box has the same fields: write in one of the two."
    return replace(_sheet("crossings", "Crossings", (Paragraph(line(words), "lead"), *forms, RecordBar())), paper=False)


def job_sheet(context: Context) -> Page | None:
    """What is checked once for the job and holds no work, and the electrode at the controller; holds have their list.
    """
    checks = checks_where(context, _held("none", frozenset({"job"})))
    rows = tuple(
        (cell(strong(each[1].id)), cell(title_of(context, each[1])), cell(limit_of(context, *each), *room), *_blank(2))
        for each in checks for room in ((TO_READ if each[1].record == "measure" else ()),)
    )
    rows += tuple(_electrode_row(context))
    if not rows:
        return None
    columns = (Column("id", "Check"), Column("title", "What", share=5), Column("limit", "Limit", share=8), *SIGNED)
    words = "Checks made once for the job. On paper, the list of hold points has those that are held or witnessed."
    table = Table("job-sheet", "Checks of the job", columns, (Part("", rows),), ("method",))
    return _page("job", "Checks of the job", words, table, tuple(job_forms(context)))


def _electrode_row(context: Context) -> Iterator[tuple[Cell, ...]]:
    """The electrode at the controller: what one signature covers, and a place for its reading."""
    ids: list[str | Inline | Line] = []
    told: list[str | Inline | Line] = []
    for applied, check in controller_checks(context):
        ids += [*([Break()] if ids else []), strong(check.id)]
        told += [" " if told else "", title_of(context, check)]
        if check.record == "measure":
            told += [": ", limit_of(context, applied, check), ". ", strong("Read:"), " ________ Ω"]
        told.append(".")
    if ids:
        yield cell(*ids), cell(ELECTRODE), cell(*told), *_blank(2)


def _page(name: str, title: str, words: str, table: Table, forms: tuple[Form, ...] = ()) -> Page:
    """A sheet that is a table, in place of which a screen has forms where there are any."""
    lead = Paragraph(line(words), "lead")
    if not forms:
        return _sheet(name, title, (lead, TableBlock(table, sourced=False)))
    return _sheet(name, title, (lead, *forms, RecordBar(), TableBlock(table, sourced=False, on="paper")))


def _sheet(name: str, title: str, blocks: tuple[Block, ...]) -> Page:
    return Page(f"sheets/{name}", title, blocks, "register", "inspection", MENU, title)


def _held(hold: str, places: frozenset[Where]) -> Callable[[Check], bool]:
    """Whether a check holds work in this way at one of these places; one that another covers is signed there."""
    return lambda check: check.hold == hold and check.where in places and not check.signed_with


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


def _batched(ids: Iterable[Some], size: int) -> Iterator[tuple[Some, ...]]:
    """What comes in tuples of at most ``size``."""
    every = tuple(ids)
    return (every[start : start + size] for start in range(0, len(every), size))


def _blank(count: int) -> tuple[Cell, ...]:
    """Places to write."""
    return (TO_WRITE,) * count
