"""The forms that records are written in: of what each is, every check once, limits as the stages have them."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from book_samples import DEMONSTRATION, LINKS, RING, demonstration, html_of, page_of, standing
from samples import REPOSITORY
from shared import short
from slackloop.document.blocks import Facts, Form, RecordBar, TableBlock
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.box_values import BOX_VALUES
from slackloop.document.boxes.card import cards_of
from slackloop.document.boxes.stage_work import stage_works
from slackloop.document.boxes.stages import box_stages
from slackloop.document.inline import plain
from slackloop.document.page import Page
from slackloop.records.result import AS_BUILT, CONTROLLER_CHECK, NOTE_CHECK, PHOTO_CHECK, SIGN_CHECKS
from slackloop.sections.inspection_points import CROSSED

SEVERAL = REPOSITORY / "tests" / "job" / "repeats.yml"


def forms(page: Page) -> list[Form]:
    return [block for block in page.blocks if isinstance(block, Form)]


def is_end(page: Page) -> bool:
    return any(each.id == "C-POWER-2" for form in forms(page) for each in form.fields)


@pytest.mark.parametrize("job", short([DEMONSTRATION, LINKS, RING], DEMONSTRATION, RING))
def test_each_place_to_write_is_there_once_for_what_it_is_of(job: Path) -> None:
    written: Counter[tuple[str, str]] = Counter()
    for page in standing(job).pages:
        if page.id != "sheets/crossings":  # the same fields as on the pages of their boxes
            written += Counter((each.subject or form.subject, each.id) for form in forms(page) for each in form.fields)
    of_the_day = "day:", CONTROLLER_CHECK  # written once for a day, at whichever end box or on the daily sheet
    assert written.pop(of_the_day, 0) == 1 + sum(1 for page in standing(job).pages if is_end(page))
    assert [each for each, count in written.items() if count > 1] == []
    assert not any(subject == "" for subject, _ in written)


def test_a_page_of_a_box_has_the_limits_of_its_stages() -> None:
    book = demonstration()
    for index, box in enumerate(book.analysis.network.boxes):
        facts = BoxFacts(book.context, index)
        page = next(page for page in book.pages if page.box == box)
        fields = {each.id: each for form in forms(page) for each in form.fields}
        for work in stage_works(facts, box_stages(book.context, facts)):
            for entry in work.entries:
                field = fields[entry.ids[0]]
                assert (field.unit, field.least, field.most, field.loop) == (
                    entry.unit, entry.least, entry.most, entry.loop
                )  # fmt: skip
                assert field.expected == (entry.limit if entry.kind == "text" else "")
            assert {each.id for each in (*work.ticks, *work.holds, *work.later)} <= set(fields)
        assert {form.subject for form in forms(page)} == {box}
        assert {each.id for each in fields.values() if each.id in SIGN_CHECKS}
        assert {PHOTO_CHECK, NOTE_CHECK} <= set(fields)


def test_leave_to_cross_is_asked_for_before_the_work_of_its_run() -> None:
    book, found = demonstration(), 0
    for page in (page for page in book.pages if page.box or page.id == "sheets/crossings"):
        for form in forms(page):
            names = [each.id for each in form.fields]
            if "C-CROSS-3" in names:
                first, found = form.fields[0], found + 1
                assert (first.id, first.kind, first.hold, first.first) == ("C-CROSS-3", "sign", True, True)
                assert plain(first.label) == "Hold, do not cut. Permission to cross"
                html = html_of(book, page.id)
                assert html.index('name="C-CROSS-3"') < html.index('name="C-LAY-4"') < html.index('name="sign-run"')
    assert found > 6, "on the page of each box and on the sheet of crossings"


def test_each_device_of_a_box_has_an_address_as_built() -> None:
    book, several = standing(SEVERAL), 0
    for page in (page for page in book.pages if page.box in book.analysis.network.index):
        devices = BoxFacts(book.context, book.analysis.network.index[page.box]).devices.placed
        names = [each.id for form in forms(page) for each in form.fields if each.id.startswith(AS_BUILT[1])]
        assert len(names) == len(set(names)) == len(devices)
        several += len(devices) > 1
    assert several


@pytest.mark.parametrize("name", ["daily", "reels-received", "job"])
def test_a_sheet_is_a_table_on_paper_and_forms_on_a_screen(name: str) -> None:
    page = page_of(demonstration(), f"sheets/{name}")
    assert all(form.on == "screen" for form in forms(page))
    assert forms(page)
    assert [block.on for block in page.blocks if isinstance(block, TableBlock)] == ["paper"]
    assert sum(isinstance(block, RecordBar) for block in page.blocks) == 1


def test_the_sheet_of_crossings_says_what_each_run_passes_under() -> None:
    book = demonstration()
    (page,) = (page for page in book.pages if page.id == "sheets/crossings")
    network, told = book.analysis.network, {form.subject: plain(form.about) for form in forms(page)}
    crossed = [run for run in network.runs if run.surface in CROSSED or run.crossing]
    assert crossed
    for run in crossed:
        words = told.pop(run.id if run.id in network.index else f"run:{run.id}")
        assert words.startswith(f"surface: {book.context.surface(run.surface)}")
        note = book.context.box(network.index[run.id]).note if run.id in network.index else ""
        assert " ".join(note.split()).rstrip(".") in words
    assert not told


def test_page_card_and_tables_call_the_bare_copper_of_a_wire_end_by_one_name() -> None:
    """A crew that dials in the length must not ask whether two words are two lengths."""
    book = demonstration()
    facts = {fact.label: plain(fact.value) for block in page_of(book, "boxes/b07").blocks if isinstance(block, Facts)
             for fact in block.facts}  # fmt: skip
    (card,) = [card for card in cards_of(book.context) if card.id == "B07"]
    (printed,) = [fact.value for fact in card.facts if fact.label == "Bare copper"]
    assert facts["Bare copper"] == "16 mm"
    assert printed.startswith("16 mm")
    assert BOX_VALUES["strip"].label == "Bare copper"
    assert "Bare copper" in [column.heading for column in book.tables["connectors"].columns]
