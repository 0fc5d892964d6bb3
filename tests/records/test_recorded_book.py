"""The handbook with results: what each page says, that hostile text stays text, and that nothing changes without."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter

import pytest

from book_samples import demonstration, html_of, page_of, page_words, rows_of
from records.record_samples import RING, due, file_of, good_rows, judge, row
from records.recorded_book import (
    BAD,
    HOSTILE,
    LEFT_OUT,
    LONGER,
    MOVED,
    NOTED,
    recorded_demonstration,
    recorded_job,
    with_results,
)
from samples import DEMO
from slackloop.control.snapshot import snapshot_bytes
from slackloop.document.blocks import TableBlock
from slackloop.document.book import Book
from slackloop.document.boxes.stages import box_page_id
from slackloop.document.recorded import Recorded
from slackloop.document.table import Table
from slackloop.document.walk import walk
from slackloop.document.worked import work_with_content
from slackloop.records.built_values import later_limits
from slackloop.render.workbook.workbook import table_files
from slackloop.site.effective_values import MeterError


@pytest.fixture(scope="module")
def recorded() -> Recorded:
    found = recorded_demonstration().context.recorded
    assert found is not None
    return found


def table_on(page: str, table: str) -> Table:
    return table_of_page(recorded_demonstration(), page, table)


def table_of_page(book: Book, page: str, table: str) -> Table:
    blocks = walk(page_of(book, page).blocks)
    return next(each.table for each in blocks if isinstance(each, TableBlock) and each.table.id == table)


def test_without_records_no_page_no_part_and_no_word_is_there() -> None:
    plain, book = demonstration(), recorded_demonstration()
    assert plain.handover.pages == ()
    new = {page.id for page in book.pages} - {page.id for page in plain.pages}
    assert new == {page.id for page in book.handover.pages}
    assert {page.part for page in plain.pages} == {"method", "design", "inspection", "document"}
    assert plain.header.results == ""


def test_results_are_no_part_of_the_issued_revision(recorded: Recorded) -> None:
    plain, book = demonstration(), recorded_demonstration()
    assert plain.snapshot is not None
    assert book.snapshot is not None
    assert snapshot_bytes(plain.snapshot) == snapshot_bytes(book.snapshot)
    assert book.header.fingerprint == plain.header.fingerprint
    assert book.header.results == f"with results of {len(recorded.records)} records up to 2024-03-13"
    assert "fingerprint does not cover them" in page_words(book, "design/document")


def test_the_matrix_counts_the_results_of_each_check(recorded: Recorded) -> None:
    told = {row[3].split(" ")[0]: row[8] for row in rows_of(table_on("tables/matrix", "matrix"))}
    assert told["C-TEST-3"] == f"38 pass 1 fail: {BAD} 1 not recorded: {LEFT_OUT}"
    assert told["C-TEST-1"] == f"39 pass 1 not recorded: {LEFT_OUT}"
    assert told["C-RECORD-1"].startswith(f"1 pass good when signed, not good now: {BAD} signed although not rec")
    assert f"signed although not recorded: {LEFT_OUT}" in told["C-POWER-1"]
    assert told["C-SCOPE-1"] == "1 pass"
    covered = {check: text for check, text in told.items() if check == "C-LAY-1"}
    by_stage = f"39 pass by stage 1 not recorded: {LEFT_OUT}"
    assert covered == {"C-LAY-1": by_stage}, "what its stage covers goes by the signature of the stage"
    assert [check for check, text in told.items() if check and not check.endswith(",") and not text] == []


def test_a_box_says_what_is_not_good_what_passed_and_what_is_missing() -> None:
    book = recorded_demonstration()
    bad = page_words(book, box_page_id(BAD))
    assert "Fail: Loop, shorted here: 99.9 Ω. A. Smith, 2024-03-13 11:00. meter lead loose?" in bad
    assert "is outside the limits" in bad
    assert "Do this: Stop if the reading is outside the limits." in bad
    assert "Results: 15 pass, 2 not good, 0 not recorded" in bad
    told = "Good when it was signed: 4.642 Ω. Read again later, not good. Sign again."
    assert f"Inspector, both readings pass: I. Brook. Loop, shorted here. {told}" in bad
    good = page_words(book, box_page_id(LONGER))
    assert "Pass, A. Smith, 2024-03-11. Run: Cover" in good
    assert "Besides: Length of the run as built 55.5 m" in good
    assert "Seen: " not in good, "its stages are signed, and say no more what that covers"
    empty = page_words(book, box_page_id(LEFT_OUT))
    assert empty.count("Seen: ") > 2
    assert "There is no record of this box." in empty
    assert "Pass" not in empty.split("There is no record")[1].split("Run")[0]


def test_a_box_says_what_a_signature_covers_that_was_not_recorded() -> None:
    rows = [
        row("B07", "C-TEST-1", "2", "MΩ"), row("B07", "C-TEST-4", "A. Smith"), row("B07", "sign-splice", "A. Smith"),
    ]  # fmt: skip
    words = page_words(with_results(work_with_content(DEMO), judge(file_of(rows))), box_page_id("B07"))
    doubt, rest = words.split("Signed although not good: ")[1].split(" Signed although not recorded: ", 1)
    assert "Insulation" in doubt
    assert "Cover" in rest.split(". ")[0]
    assert "Signed by the person who made the readings." in words
    assert "Splice signature: A. Smith. Signed although not recorded: " in words
    missing = words.split("Not recorded: ")[1]
    assert "Run signature" in missing
    assert "C-SOL-3" not in missing, "a tick is told by its words"
    assert "Signed by;" not in missing


def test_hostile_values_and_notes_are_shown_as_they_were_written() -> None:
    book = recorded_demonstration()
    assert HOSTILE in page_words(book, box_page_id(NOTED))
    for page in book.pages:
        html = html_of(book, page.id) if page.screen else ""
        assert "<script>alert" not in html, page.id
        assert "49 *b*" not in html, page.id
    assert "&lt;script&gt;alert(1)&lt;/script&gt; {{ 7*7 }} *b*" in html_of(book, box_page_id(NOTED))
    data = table_files(book)["handover/boxes.csv"].decode()
    (line,) = [each for each in csv.DictReader(io.StringIO(data)) if each["Box"] == NOTED]
    assert line["Address"] == f"'{HOSTILE}"


def test_hold_points_show_who_signed_and_when(recorded: Recorded) -> None:
    rows = {each[1].split(" ")[0]: each for each in rows_of(table_on("tables/hold-points", "hold-points"))}
    assert rows["C-DIG-1"][4:] == ("I. Brook", "2024-03-11")
    assert rows["C-TEST-4"][4] == "on the card or the batch sheet: 38 of 40 signed, I. Brook"
    assert rows["C-RECORD-2"][4] == "A. Smith, who made readings too", "a witness who is not another person"
    plain = table_of_page(demonstration(), "tables/hold-points", "hold-points")
    empty = {row[1].split(" ")[0]: row for row in rows_of(plain)}
    assert empty["C-DIG-1"][4:] == ("", "")


def test_the_list_of_boxes_says_how_each_stands() -> None:
    words = page_words(recorded_demonstration(), "boxes/all")
    assert re.search(rf"{BAD}\W*not good", words)
    assert re.search(rf"{LEFT_OUT}\W*open", words)
    assert re.search(r"B07\W*pass", words)
    assert "not good" not in page_words(demonstration(), "boxes/all")


def test_progress_adds_up(recorded: Recorded) -> None:
    branches = rows_of(table_on("inspection/progress", "by-branch"))
    counts = Counter(each.status for each in recorded.needed)
    for column, status in ((4, "pass"), (5, "fail"), (6, "outstanding")):
        assert sum(int(row[column]) for row in branches) == counts[status]  # type: ignore[index]
    assert sum(int(row[1]) for row in branches[:2]) == 40
    assert sum(int(row[2]) for row in branches[:2]) == 39
    days = rows_of(table_on("inspection/progress", "by-day"))
    assert [row[0] for row in days] == ["2024-03-11", "2024-03-12", "2024-03-13"]
    assert sum(int(row[1]) for row in days) == sum(each.record is not None for each in recorded.needed)
    assert [row[5] for row in days] == ["A. Smith", "A. Smith, B. Okoro", "A. Smith"]
    words = page_words(recorded_demonstration(), "inspection/progress")
    assert f"Boxes without a record\n{LEFT_OUT}\n" in words
    assert "Days (open: 2024-03-13)" in [row[0] for row in branches]
    faults = rows_of(table_on("inspection/progress", "not-good"))
    assert [(fault[0], fault[5]) for fault in faults] == [(BAD, "not closed")] * 2, "the loop, and the hold before it"


def test_the_start_page_says_how_many_results_are_not_good_or_missing(recorded: Recorded) -> None:
    words = page_words(recorded_demonstration(), "index")
    missing = sum(each.status == "outstanding" for each in recorded.needed)
    assert "This copy is that revision with results of" in words
    assert "results not good\n2\n2 fail" in words
    assert f"results not recorded\n{missing}" in words


def test_the_list_of_boxes_has_a_line_each_with_its_first_readings(recorded: Recorded) -> None:
    table = recorded_demonstration().handover.boxes
    assert table is not None
    lines = {row[0]: row for row in rows_of(table)}
    assert len(lines) == len(table.rows) == 40
    at = {column.key: n for n, column in enumerate(table.columns)}
    assert lines[LEFT_OUT][at["day"]] == "no record"
    assert lines[BAD][at["loop"]] == "–", "a reading that failed is no baseline"
    assert lines[MOVED][at["place"]] == "12.5, 40.2"
    assert lines[NOTED][at["address"]] == HOSTILE
    result = recorded.last("B01", "C-TEST-3")
    assert result is not None
    assert result.number is not None
    low, high = later_limits(result.number, 12.0, MeterError(0.01, 0.05), 0.00393)
    cells = table.rows[0]
    assert cells[at["least"]].number == pytest.approx(low)
    assert cells[at["most"]].number == pytest.approx(high)
    assert float(lines["B01"][at["least"]].split()[0]) >= low, "a limit is never printed looser than it is"
    assert float(lines["B01"][at["most"]].split()[0]) <= high


def test_differences_and_what_moved_with_them_are_told(recorded: Recorded) -> None:
    book = recorded_demonstration()
    rows = {(row[0], row[1]): row for row in rows_of(table_on("handover/differences", "built-otherwise"))}
    assert rows[LONGER, "Length of the run"][2:4] == ("44.0 m (144 ft)", "55.5 m (182 ft)")
    assert rows[MOVED, "Easting and northing"][3] == "12.5, 40.2 m"
    assert rows[NOTED, "Address"][3] == HOSTILE
    assert len(rows) == 4
    words = page_words(book, "handover/differences")
    assert "Loop reading expected" in words
    assert "Lowest volts" in words
    cable = next(row for row in rows_of(table_on("handover/differences", "materials-used")) if "14 AWG" in row[0])
    planned = next(each for each in book.context.analysis.materials if each.kind == "cable")
    built = next(each for each in recorded.as_built.analysis.materials if each.item == planned.item)
    assert built.quantity - planned.quantity == pytest.approx(11.5 - (57.0 - 41.2))
    left = planned.order * planned.holds - built.quantity
    assert float(cable[-1].split(" m")[0].replace(",", "")) == pytest.approx(left, abs=0.1)


def test_a_reading_that_passes_by_the_plan_and_not_by_what_was_built_is_told(recorded: Recorded) -> None:
    """The run to B02 was built 23 m longer, and the loop reads as if it had not: too low for what lies there."""
    assert recorded.judged_again == {}, "11.5 m more are within the tolerance of a tenth"
    rule = next(each.loop for each in due(DEMO).dues if each.subject == "B02" and "C-TEST-3" in each.ids)
    assert rule is not None
    read = f"{rule.at(12.0).expected_ohms:.3f}"
    far = row("run:B02", "AB-LENGTH", "61", "m", when="2024-03-12T11:00:00+01:00")
    book = with_results(work_with_content(DEMO), judge(file_of([*good_rows(due(DEMO)), far])))
    again = book.context.recorded
    assert again is not None
    (result, new), *_ = again.judged_again["B02"]
    assert result.record is not None
    assert (result.status, new.status, result.record.value) == ("pass", "fail", read)
    more = 2.0 * 23.0 / (58.0 * 2.0809) * (1.0 + 0.00393 * (12.0 - 20.0))
    assert new.least == pytest.approx((rule.at(12.0).expected_ohms + more) * 0.9 * 0.99 - 0.05, abs=0.01)
    assert "By the lengths as built it is outside the limits" in page_words(book, box_page_id("B02"))
    assert rows_of(table_of_page(book, "handover/differences", "judged-again"))[0][:2] == ("B02", "C-TEST-3")
    assert book.handover.boxes is not None
    at = [column.key for column in book.handover.boxes.columns].index("loop")
    assert {line[0]: line[at] for line in rows_of(book.handover.boxes)}["B02"] == "–", "it is no baseline"


def test_the_path_is_drawn_as_built() -> None:
    book = recorded_demonstration()
    assert "55.5 m" in html_of(book, "handover/path")
    assert "55.5 m" not in html_of(book, "design/path")
    assert "Measured: 2 of 40 runs." in page_words(book, "handover/path")
    assert "As planned, not measured: B01 to B03, B05 to B07, B09 to B20" in page_words(book, "handover/path")


def test_boxes_are_on_a_map_where_longitude_and_latitude_were_recorded_and_nowhere_else() -> None:
    book = recorded_demonstration()
    made = json.loads(table_files(book)["handover/boxes.geojson"])
    assert made["type"] == "FeatureCollection"
    (feature,) = made["features"]
    assert (feature["type"], feature["id"]) == ("Feature", MOVED)
    assert feature["geometry"] == {"type": "Point", "coordinates": [-1.5, 51.25]}
    assert feature["properties"]["Box"] == MOVED
    assert feature["properties"]["Loop as read (ohm)"] > 0
    assert "with results of" in made["document"]
    assert "with 1 of 40 boxes" in page_words(book, "handover/all")


def test_a_path_with_a_ring_is_handed_over_too() -> None:
    book = recorded_job(RING)
    assert "handover/boxes.geojson" not in table_files(book)
    words = page_words(book, "handover/all")
    assert "there is no file for a map" in words or "so there is no file for a map" in words
    table = book.handover.boxes
    assert table is not None
    assert table.parts[-1].title == "Runs that close a ring"
    assert "Open each ring where its closing run ends" in page_words(book, "handover/each-year")
    closing = book.context.network.closures[0].id
    assert "Results: " in page_words(book, box_page_id(closing))


def test_the_owner_is_told_how_to_measure_without_being_hurt() -> None:
    words = page_words(recorded_demonstration(), "handover/each-year")
    assert "36 V ac" in words
    assert "Set the meter to ac. Hold the probes by their insulated handles." in words
    assert words.count("Test the meter on a known supply.") == 3, "loop, electrodes and fault"
    insulation = words.split("\nInsulation\n")[1].split("To find a fault")[0]
    for caution in ("Test volts", "The pair may be charged"):
        assert caution in insulation
    assert words.count("Thunder") >= 3
    closed_up, after = words.split("Loop readings, the path off")
    assert "earth lead" not in closed_up
    assert "take the earth lead off. Measure the rods alone." in after
    assert "only as the device maker allows" in after


def test_a_short_is_told_by_the_highest_that_one_can_read() -> None:
    book = recorded_demonstration()
    assert book.handover.boxes is not None
    at = [column.key for column in book.handover.boxes.columns].index("short-most")
    highest = max(row[at].number or 0.0 for row in book.handover.boxes.rows)
    words = page_words(book, "handover/each-year")
    told = words.split("turned to 20 °C, is ")[1].split(" Ω or less")[0]
    assert highest <= float(told) < highest + 0.1, "rounding never hides a short"


def test_the_first_page_of_the_handover_leads_with_what_is_not_good() -> None:
    words = page_words(recorded_demonstration(), "handover/all")
    assert words.index("not good, not complete") < words.index("Owner")
    bad = words.split("Results that are not good\n")[1].split("Boxes without a record")[0]
    assert bad.startswith(f"{BAD}, ")
    assert "99.9 Ω fail." in bad
    assert "passes" not in words
    assert "Volts by the lengths built\ncalculated, inside the limits" in words
    whole = page_words(recorded_job(RING), "handover/all")
    assert "Results\ncomplete" in whole
    assert "Nothing that was recorded is outside its limits." in whole


def test_a_reading_that_failed_is_not_told_as_no_reading() -> None:
    rows = [row("B07", "C-TEST-3", "99.9", "Ω"), row("B08", "C-BOX-1", "3", "m")]
    book = with_results(work_with_content(DEMO), judge(file_of(rows)))
    assert book.handover.boxes is not None
    at = [column.key for column in book.handover.boxes.columns].index("day")
    days = {each[0]: each[at] for each in rows_of(book.handover.boxes)}
    assert (days["B07"], days["B08"], days["B09"]) == ("reading not good", "no reading", "no record")
    assert "write this one as the first" in page_words(book, "handover/each-year")


def test_what_to_measure_names_no_command_and_leads_to_the_trouble_sheets() -> None:
    words = page_words(recorded_demonstration(), "handover/each-year")
    assert "slackloop" not in words
    for title in ("Service and fault finding", "Nicked core", "Flooded trench"):
        assert title in words
    assert "The test volts of new cable destroy them: do not use them." in words
    assert "20 °C (68 °F)\n1.000" in words
