"""How far the work is: by branch, by day, which boxes have no record, and what is not good."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from slackloop.document.blocks import Block, Fact, Facts, Heading, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.inline import Line, joined, line, strong
from slackloop.document.page import Page
from slackloop.document.recorded import (
    BAD,
    PROGRESS_PAGE,
    Recorded,
    counted,
    day_text,
    place_of,
    value_text,
)
from slackloop.document.table import Cell, Column, Table, cell, count_cell, one_part
from slackloop.document.tables.run_table import box_line
from slackloop.records.result import STATUS_WORDS, NonConformance, Record, Result
from slackloop.sections import format as fmt
from slackloop.source.suggestions import listed

_COUNTS = tuple(
    Column(status, words.capitalize(), "count") for status, words in STATUS_WORDS.items()
)  # fmt: skip


MOST_NAMED = 5
"""Reels and days that a row names."""


def progress_page(context: Context, recorded: Recorded) -> Page:
    """The page of progress."""
    results = recorded.needed
    counts = counted(results)
    places = (*context.network.boxes, *(run.id for run in context.network.closures))
    done = sum(number for status, number in counts.items() if status != "outstanding")
    blocks: list[Block] = [
        Paragraph(line(f"{recorded.statement[:1].upper()}{recorded.statement[1:]}."), "aim"),
        Facts(
            (
                Fact("Recorded", line(f"{fmt.grouped(done)} of {fmt.grouped(len(results))}")),
                *(Fact(words.capitalize(), line(fmt.grouped(counts[status])))
                  for status, words in STATUS_WORDS.items() if counts[status] or status in ("pass", "fail")),
            ),
            large=True,
        ),
        Heading(2, line("Not good"), "not-good"), *_faults(context, recorded),
        Heading(2, line("By branch"), "by-branch"), TableBlock(_by_branch(context, recorded), sourced=False),
        Heading(2, line("By day"), "by-day"), TableBlock(_by_day(recorded), sourced=False),
        Heading(2, line("Boxes without a record"), "no-record"), Paragraph(without_record(context, recorded, places)),
    ]  # fmt: skip
    if refused := recorded.results.refused:
        rows = ((cell(each.file), count_cell(each.row), cell(each.message)) for each in refused)
        columns = Column("file", "File", share=3), Column("row", "Row", "count"), Column("why", "Why", share=6)
        table = Table("rows-refused", "Rows that could not be read", columns, one_part(rows), ("method",), stacks=True)
        blocks += [Heading(2, line(table.title), "rows-refused"), TableBlock(table, sourced=False)]
    blocks += [Paragraph(line(note), "small") for note in recorded.results.notes]
    about = "Results by branch and by day"
    return Page(PROGRESS_PAGE, "Progress", tuple(blocks), "register", "inspection", ("Inspection",), about)


def _faults(context: Context, recorded: Recorded) -> Iterator[Block]:
    """Every record that is not good, what to do, and whether a later record closed it; then what is void."""
    found = [*recorded.results.non_conformances]
    found += [
        NonConformance(each.due, each.record, each.status, each.why, each.to_do)
        for each in recorded.needed if each.status == "void" and each.record is not None
    ]  # fmt: skip
    if not found:
        yield Paragraph(line("Nothing that was recorded is outside its limits."))
        return
    columns = (
        Column("place", "Place"), Column("check", "Check", share=5), Column("value", "Recorded", share=4),
        Column("why", "Why it is not good", share=6), Column("do", "What to do", share=6),
        Column("closed", "Closed by", share=4),
    )  # fmt: skip
    rows = [_fault(context, each) for each in found]
    yield TableBlock(Table("not-good", "Not good", columns, one_part(rows), ("method",), stacks=True), sourced=False)


def _fault(context: Context, fault: NonConformance) -> tuple[Cell, ...]:
    record = fault.record
    closed = fault.closed_by
    return (
        cell(place_line(context, fault.due.subject)),
        cell(fault.due.ids[0], " ", fault.due.title),
        cell(strong(STATUS_WORDS[fault.status]), " ", _written(record)),
        cell(fault.why),
        cell(fault.to_do),
        cell(_written(closed)) if closed else cell(strong("not closed")),
    )


def _written(record: Record) -> str:
    """A record in one line: its value, who wrote it, when, and the note."""
    note = f". {record.note}" if record.note else ""
    return f"{value_text(record)}, {record.by}, {day_text(record)}{note}".removeprefix(", ")


def place_line(context: Context, subject: str) -> Line:
    """A box or closing run as a link to its page; any other subject as it is written."""
    return box_line(context, place_of(subject))


def _by_branch(context: Context, recorded: Recorded) -> Table:
    """A row for each branch, the closing runs, then what belongs to no box."""
    columns = (
        Column("branch", "Branch", share=1), Column("boxes", "Boxes", "count"),
        Column("with", "With a record", "count"), Column("whole", "Complete", "count"), *_COUNTS,
    )  # fmt: skip
    groups = [(group.title, [context.network.boxes[n] for n in group.indices]) for group in context.groups]
    if closures := [run.id for run in context.network.closures]:
        groups.append(("Runs that close a ring", closures))
    rows = [_branch(title, places, recorded) for title, places in groups]
    at_boxes = {place for _, places in groups for place in places}
    rest = [each for each in recorded.needed if place_of(each.due.subject) not in at_boxes]
    for title, begins in (("Reels", "reel:"), ("Days", "day:"), ("The job", "job")):
        some = [each for each in rest if each.due.subject.startswith(begins)]
        if some:
            open_at = dict.fromkeys(place_of(each.due.subject) for each in some if each.status != "pass")
            names = [each.partition(":")[2] for each in open_at if ":" in each]
            named = f"{title} (open: {listed(names, MOST_NAMED)})" if names else title
            rows.append((cell(named), cell(""), cell(""), cell(""), *_count_cells(some)))
    return Table("by-branch", "By branch", columns, one_part(rows), ("method",), stacks=True)


def _branch(title: str, places: Sequence[str], recorded: Recorded) -> tuple[Cell, ...]:
    some = [each for place in places for each in recorded.of(place)]
    complete = sum(
        bool(here := recorded.of(place)) and all(each.status == "pass" for each in here) for place in places
    )
    begun = sum(recorded.has_record(place) for place in places)
    return cell(title), count_cell(len(places)), count_cell(begun), count_cell(complete), *_count_cells(some)


def _count_cells(results: Iterable[Result]) -> Iterator[Cell]:
    counts = counted(results)
    return (count_cell(counts[status]) for status in STATUS_WORDS)


def _by_day(recorded: Recorded) -> Table:
    """A row for each day on which something was recorded that counts today."""
    columns = (
        Column("day", "Day"), Column("records", "Records", "count"), Column("boxes", "Boxes and runs", "count"),
        Column("good", "Pass", "count"), Column("bad", "Not good", "count"), Column("by", "Recorded by", share=1),
    )  # fmt: skip
    days: dict[str, list[Result]] = {}
    for each in recorded.needed:
        if each.record is not None:
            days.setdefault(str(each.record.when.date()), []).append(each)
    rows = []
    for day in sorted(days):
        some = days[day]
        places = {place_of(each.due.subject) for each in some if ":" not in each.due.subject or "run:" in
                  each.due.subject}  # fmt: skip
        people = dict.fromkeys(each.record.by for each in some if each.record is not None)
        rows.append((
            cell(day), count_cell(len(some)), count_cell(len(places)),
            count_cell(sum(each.status == "pass" for each in some)),
            count_cell(sum(each.status in BAD for each in some)), cell(", ".join(people)),
        ))  # fmt: skip
    return Table("by-day", "By day", columns, one_part(rows), ("method",), stacks=True)


def without_record(context: Context, recorded: Recorded, places: Sequence[str]) -> Line:
    """Those of some boxes and closing runs that have something due and no record."""
    empty = [place for place in places if recorded.of(place) and not recorded.has_record(place)]
    return joined(place_line(context, place) for place in empty) if empty else line("None: every box has a record.")
