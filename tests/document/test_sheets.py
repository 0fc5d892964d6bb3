"""Sheets to sign: holds in batches by branch, a column a day, a row a reel, the job's own checks with holds first."""

from __future__ import annotations

from pathlib import Path

import pytest
from pydantic import ValidationError

from book_samples import DEMONSTRATION, LINKS, RING, demonstration, page_of, page_words, standing
from shared import short
from slackloop.document.blocks import Form, TableBlock
from slackloop.document.book import Book
from slackloop.document.boxes.due_records import due_list
from slackloop.document.inline import plain
from slackloop.document.pages.sheet_forms import day_checks
from slackloop.document.pages.sheets import BATCH, DAYS
from slackloop.document.table import Table
from slackloop.sections.section import Check

ONCE = ("job", "each-day", "each-reel")


def table_of(book: Book, page: str) -> Table:
    (table,) = [block.table for block in page_of(book, page).blocks if isinstance(block, TableBlock)]
    return table


@pytest.mark.parametrize("job", short([DEMONSTRATION, LINKS, RING], DEMONSTRATION, RING))
def test_every_box_and_closing_run_is_in_one_batch_of_its_hold(job: Path) -> None:
    book = standing(job)
    network = book.analysis.network
    tables = [block.table for block in page_of(book, "sheets/hold-points").blocks if isinstance(block, TableBlock)]
    table = next(each for each in tables if any(column.heading.startswith("C-TEST-4 ") for column in each.columns))
    batches = [plain(row[1].line).split() for row in table.rows]
    named = [name for batch in batches for name in batch]
    assert sorted(named) == sorted([*network.boxes, *(run.id for run in network.closures)])
    assert max(map(len, batches)) <= BATCH
    arms = {name: network.arm[index] for index, name in enumerate(network.boxes)}
    assert all(len({arms[name] for name in batch if name in arms}) <= 1 for batch in batches), "no batch mixes branches"


def test_a_day_is_signed_before_work_and_before_the_crew_leaves_with_every_daily_duty() -> None:
    book = demonstration()
    table = table_of(book, "sheets/daily")
    before, after = table.parts
    assert (before.title, after.title) == ("Before work", "Before you leave")
    assert len(table.columns) == 1 + DAYS
    duties = {check.id for section in book.context.sections for check in section.checks
              if check.where == "each-day" and check.record != "covered"}  # fmt: skip
    words = page_words(book, "sheets/daily")
    assert duties
    assert {name for name in duties if name not in words} == set()
    for duty in ("C-TRENCH-3", "C-WEA-1", "C-LON-1", "C-MARK-1"):
        assert duty in duties
    leaving = {duty for duty in duties if any(plain(row[0].line).startswith(f"{duty} ") for row in after.rows)}
    assert leaving == {"C-EXC-3", "C-PUB-3", "C-TRA-3"}
    assert len(before.rows) == len(duties - leaving) + 2
    for part in (before, after):
        assert plain(part.rows[-1][0].line) == "Signed by"
    forms = [block for block in page_of(book, "sheets/daily").blocks if isinstance(block, Form)]
    assert [form.title for form in forms] == ["Before work", "Before you leave"]
    assert [{each.id for each in form.fields} & duties for form in forms] == [duties - leaving, leaving]
    assert [form.fields[-1].id for form in forms] == ["sign-day", "sign-leave"]


def test_only_a_check_of_each_day_has_a_part_of_the_day() -> None:
    check = {"id": "C-X-1", "title": "x", "method": "look", "limit": "x", "proves": ("R-X-1",), "day": "leave"}
    assert Check.model_validate({**check, "where": "each-day"}).day == "leave"
    with pytest.raises(ValidationError, match="each-day"):
        Check.model_validate({**check, "where": "each-box"})


def test_every_reel_has_a_row_for_its_receiving_test() -> None:
    book = demonstration()
    rows = [row for part in table_of(book, "sheets/reels-received").parts for row in part.rows]
    assert len(rows) == sum(len(plan.reels) for plan in book.analysis.reels)
    assert "C-LAY-REEL" in page_words(book, "sheets/reels-received")


def test_every_hold_of_a_box_or_run_has_one_place_to_sign_for_each_batch() -> None:
    book = demonstration()
    tables = [block.table for block in page_of(book, "sheets/hold-points").blocks if isinstance(block, TableBlock)]
    headed = [column.heading.split()[0] for table in tables for column in table.columns[2:]]
    checks = [check for section in book.context.sections for check in section.checks]
    held = [check.id for check in checks if check.hold != "none" and check.where not in ONCE]
    assert held
    assert sorted(headed) == sorted(held)


def test_every_check_made_once_has_one_place_to_sign_holds_in_the_list_of_holds() -> None:
    book = demonstration()
    places = {check.id: check.where for section in book.context.sections for check in section.checks
              if not check.signed_with}  # fmt: skip
    rows = [plain(row[0].line) for part in table_of(book, "sheets/job").parts for row in part.rows]
    others = rows[:-1]
    assert rows[-1].split() == ["C-EARTH-1", "C-EARTH-2", "C-EARTH-3", "C-BUR-4"], "those of the controller's electrode"
    holds = [plain(row[1].line).split()[0] for row in table_of(book, "tables/hold-points").rows]
    asked = [name for name, where in places.items() if where == "job"]
    assert sorted([*others, *(name for name in holds if places[name] == "job")]) == sorted(asked)


def test_what_is_written_down_each_day_has_room_beside_each_day() -> None:
    book = demonstration()
    table = table_of(book, "sheets/day-notes")
    checks = {each.id: each for parts in day_checks(book.context).values() for _, each in parts}
    asked = [name for name, each in checks.items() if each.method == "record"]
    assert [each.heading.split()[0] for each in table.columns] == ["Day", *asked]
    assert "C-WEA-1" in asked
    assert "C-MARK-1" not in asked
    days = [plain(row[0].line).replace("\u00a0", "").split() for row in table.rows]
    assert days == [["Day", str(n)] for n in range(1, DAYS + 1)]


def test_the_electrode_at_the_controller_has_a_place_for_its_reading_on_paper_and_screen() -> None:
    """It has no card: 15 Ω is the job's own limit, on the sheet of the job, on its form and where it is judged."""
    book = demonstration()
    row = table_of(book, "sheets/job").rows[-1]
    assert plain(row[1].line) == "Electrode at the controller"
    assert "Electrode resistance: At most 15 Ω" in plain(row[2].line)
    assert "Read: ________ Ω." in plain(row[2].line)
    forms = {block.anchor: block for block in page_of(book, "sheets/job").blocks if isinstance(block, Form)}
    (reading,) = [field for field in forms["of-controller"].fields if field.id == "C-EARTH-2"]
    assert (reading.kind, reading.unit, reading.most, plain(reading.limit)) == ("number", "Ω", 15.0, "15 Ω or less")
    (due,) = [each for each in due_list(book.context).dues if each.subject == "job" and each.ids == ("C-EARTH-2",)]
    assert (due.kind, due.unit, due.most, due.limit) == ("number", "Ω", 15.0, "15 Ω or less")
    assert due.title == "Electrode resistance, electrode at the controller"


def test_what_another_check_covers_is_on_no_sheet_and_leads_to_it_in_the_matrix() -> None:
    book = demonstration()
    covered = {check.id: check.signed_with for each in book.context.sections for check in each.checks
               if check.signed_with}  # fmt: skip
    written = [page_words(book, f"sheets/{name}") for name in ("daily", "day-notes", "job", "hold-points")]
    assert len(covered) > 4
    for name, other in covered.items():
        assert not any(name in words.split() for words in written), name
        assert f"with {other}" in page_words(book, "tables/matrix")
