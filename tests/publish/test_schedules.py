"""Schedules read back: figures as figures, totals that add up, text that no spreadsheet runs, the same bytes twice."""

from __future__ import annotations

import csv
import io
import math
import re
import zipfile
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from compute.tally import JOBS, read
from samples import DEMO, chain, job_text
from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.book import Book
from slackloop.handbook.page import DocumentHeader
from slackloop.handbook.schedule_files import SCHEDULES, WORKBOOK, csv_file
from slackloop.handbook.spans import spans
from slackloop.publish.schedule import Column, Formula, Schedule, csv_bytes
from slackloop.publish.schedules import schedule_files
from slackloop.publish.workbook import HEAD_ROW, workbook_bytes

FACTS = DocumentHeader("N-1", "Title", "Site", "B", "2026-03-02", "draft", "a" * 40, True, "Example Groundworks")
NASTY = ("=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0", "\t=2", "plain, with \"quotes\"", "a\x07b")


@cache
def book(path: Path) -> Book:
    return book_from_job(path)


@cache
def files(path: Path) -> dict[str, bytes]:
    return schedule_files(book(path))


def rows_of(path: Path, name: str) -> list[dict[str, str]]:
    text = files(path)[csv_file(name)].decode("utf-8")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def workbook(path: Path, *, values: bool) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(files(path)[WORKBOOK]), data_only=values)


def sheet_rows(sheet: Any) -> list[dict[str, Any]]:
    """Data rows of a sheet by heading, the total left out."""
    assert isinstance(sheet, Worksheet)
    lines = list(sheet.iter_rows(min_row=HEAD_ROW, values_only=True))
    found = [dict(zip(map(str, lines[0]), line, strict=True)) for line in lines[1:]]
    return [row for row in found if next(iter(row.values())) != "In all"]


def test_every_schedule_is_a_file_and_a_sheet() -> None:
    assert set(files(DEMO)) == {WORKBOOK, *(csv_file(name) for name in SCHEDULES)}
    assert workbook(DEMO, values=False).sheetnames == ["Document", *SCHEDULES.values()]


@pytest.mark.parametrize("name", ["links", "garden", "mixed", "ring"])
def test_materials_equal_an_independent_tally(name: str) -> None:
    """Cable, connectors and bedding of whole jobs against plain loops over the job's own YAML."""
    tally, path = read(name), JOBS / f"{name}.yml"
    lines = {row["Item"]: row for row in rows_of(path, "materials")}
    for item, metres in tally.cable_m().items():
        assert float(lines[item]["Quantity"]) == pytest.approx(metres)
    for item, count in tally.connectors().items():
        assert float(lines[item]["Quantity"]) == count
        spare = float(tally.job["rules"]["spare"].split()[0]) / 100
        pack = tally.job["connectors"][item]["pack"]
        assert float(lines[item]["Order"]) == math.ceil(math.ceil(round(count * (1 + spare), 9)) / pack)
    assert sum(float(row["Bedding, compacted (m3)"]) for row in rows_of(path, "trench")) == pytest.approx(
        tally.trench()["bedding"], abs=1e-6
    )


@pytest.mark.parametrize("name", ["links", "mixed"])
def test_every_material_names_the_boxes_that_need_it(name: str) -> None:
    path = JOBS / f"{name}.yml"
    pairs = {(row["Item"], row["Kind"], row["Box"]) for row in rows_of(path, "material-boxes")}
    for line in book(path).analysis.materials:
        assert {box for item, kind, box in pairs if (item, kind) == (line.item, line.kind)} == set(line.boxes)


@pytest.mark.parametrize("path", [DEMO, JOBS / "links.yml"], ids=lambda path: path.stem)
def test_formulas_come_to_the_values_beside_them(path: Path) -> None:
    """Each order worked out again from the figures in its row, as a spreadsheet would."""
    live, shown = workbook(path, values=False), workbook(path, values=True)
    reels = sheet_rows(shown["Reels"])
    for formula, value in zip(sheet_rows(live["Materials to order"]), sheet_rows(shown["Materials to order"]),
                              strict=True):  # fmt: skip
        added = round(value["Quantity"] * (1 + value["Added (fraction)"]), 6)
        assert formula["With what is added"].startswith("=ROUND(")
        assert value["With what is added"] == pytest.approx(added)
        if value["Order unit"] == "reel":
            assert formula["Order"].startswith("=COUNTIF('Reels'!$A$6:$A$")
            assert value["Order"] == sum(reel["Cable"] == value["Item"] for reel in reels)
        elif "/" in formula["Order"]:
            assert value["Order"] == math.ceil(math.ceil(added) / value["One order unit holds"])
        else:
            step = float(re.fullmatch(r"=CEILING\([A-Z]\d+,([\d.]+)\)", formula["Order"])[1])  # type: ignore[index]
            assert value["Order"] == pytest.approx(math.ceil(round(added / step, 6)) * step)


@pytest.mark.parametrize("path", [DEMO, JOBS / "links.yml"], ids=lambda path: path.stem)
def test_totals_add_up_and_stay_live(path: Path) -> None:
    live, shown = workbook(path, values=False), workbook(path, values=True)
    sums = 0
    for title in SCHEDULES.values():
        formulas, values = live[title], shown[title]
        last = formulas.max_row
        if formulas.cell(last, 1).value != "In all":
            continue
        for column in range(2, formulas.max_column + 1):
            formula = formulas.cell(last, column).value
            if formula is None:
                continue
            letter = formulas.cell(last, column).column_letter
            assert formula == f"=SUM({letter}{HEAD_ROW + 1}:{letter}{last - 1})"
            cells = [values.cell(row, column).value for row in range(HEAD_ROW + 1, last)]
            assert values.cell(last, column).value == pytest.approx(math.fsum(cell or 0 for cell in cells))
            sums += 1
    assert sums >= 12


def test_sheets_are_fit_to_print_and_carry_the_document() -> None:
    facts = book(DEMO).facts
    for sheet in workbook(DEMO, values=True).worksheets[1:]:
        assert facts.number in sheet["A2"].value
        assert f"revision {facts.revision}" in sheet["A2"].value
        assert facts.fingerprint[:12] in sheet["A2"].value
        assert sheet.freeze_panes == f"B{HEAD_ROW + 1}"
        assert sheet.print_title_rows == f"${HEAD_ROW}:${HEAD_ROW}"
        headings = [cell.value for cell in sheet[HEAD_ROW]]
        assert headings[-1] == "Source"
        for row in sheet_rows(sheet):
            assert row["Source"]


def test_us_job_gives_feet_first_and_metres_beside(tmp_path: Path) -> None:
    rows = rows_of(JOBS / "links.yml", "runs")
    assert list(rows[0]).index("Length (ft)") + 1 == list(rows[0]).index("Length (m)")
    for row in rows:
        for heading in ("Length", "Slack", "Length and slack", "Cover"):
            assert float(row[f"{heading} (ft)"]) * 0.3048 == pytest.approx(float(row[f"{heading} (m)"]), abs=0.005)


def test_us_job_orders_in_feet_and_cubic_yards() -> None:
    """What is ordered by length or volume stands in US units first, and holds what SI asks for."""
    rows = rows_of(JOBS / "links.yml", "materials")
    assert list(rows[0]).index("Order, US") < list(rows[0]).index("Order")
    per = {"ft": 0.3048, "yd3": 0.9144**3}
    assert {"ft", "yd3"} <= {row["US unit"] for row in rows}
    for row in rows:
        told, order = float(row["Order, US"]) * per.get(row["US unit"], 1.0), float(row["Order"])
        assert order - 1e-9 <= told <= order + 0.31
    assert "US unit" not in rows_of(DEMO, "materials")[0]


@pytest.mark.parametrize("path", [DEMO, JOBS / "links.yml"], ids=lambda path: path.stem)
def test_no_limit_or_length_to_cut_is_written_on_the_wrong_side(path: Path) -> None:
    """Cells as they stand against the figures that were worked out, at the decimals that a sheet shows."""
    analysis, network = book(path).analysis, book(path).analysis.network
    for row, loop in zip(rows_of(path, "loop-readings"), analysis.loops.closed, strict=True):
        least = [float(cell) for name, cell in row.items() if name.startswith("Least at ")]
        most = [float(cell) for name, cell in row.items() if name.startswith("Most at ")]
        for low, high, limit in zip(least, most, loop.limits, strict=True):
            assert limit.low_ohms <= low < limit.low_ohms + 0.01
            assert limit.high_ohms - 0.01 < high <= limit.high_ohms
            assert (round(low, 2), round(high, 2)) == (low, high)
    for row, run, cover in zip(rows_of(path, "trench"), network.all_runs, analysis.covers, strict=True):
        for column, exact in (("Length", run.length_m), ("Least cover", cover.min_m)):
            for unit, metres in (("m", 1.0), ("ft", 0.3048)):
                cell = row.get(f"{column} ({unit})")
                if cell and exact is not None:
                    assert exact - 1e-9 <= float(cell) * metres < exact + 0.011


def test_text_of_the_job_is_never_a_formula() -> None:
    schedule = Schedule("boxes", "Boxes", (Column("Note"), Column("Source")), tuple((each, "x") for each in NASTY))
    lines = list(csv.reader(io.StringIO(csv_bytes(schedule, FACTS).decode(), newline="")))[1:]
    assert [line[0] for line in lines[:6]] == ["'=1+1", "'+1", "'-1", "'@SUM(A1)", "'=cmd|' /C calc'!A0", "'=2"]
    assert [line[0] for line in lines[6:]] == ['plain, with "quotes"', "ab"]
    sheet = openpyxl.load_workbook(io.BytesIO(workbook_bytes([schedule], FACTS, paper="a4")))["Boxes"]
    for row, text in enumerate(NASTY[:5], start=HEAD_ROW + 1):
        cell = sheet.cell(row, 1)
        assert (cell.value, cell.data_type, cell.quotePrefix) == (text, "s", True)


def test_nasty_job_reaches_no_formula(tmp_path: Path) -> None:
    """Names and notes of a whole job that start like formulas stay text in every sheet and file."""
    path = tmp_path / "job.yml"
    text = job_text(chain(4)).replace("title: ", "title: '=HYPERLINK(\"x\")' #", 1)
    path.write_text(text, encoding="utf-8")
    made = schedule_files(book_from_job(path))
    for sheet in openpyxl.load_workbook(io.BytesIO(made[WORKBOOK])).worksheets:
        for line in sheet.iter_rows():
            for cell in line:
                assert cell.data_type != "f" or re.match(r"=(SUM|ROUND|CEILING|COUNTIF|[A-Z]+\d+[-+])", str(cell.value))


def test_same_book_gives_the_same_bytes_with_the_documents_date() -> None:
    assert schedule_files(book(DEMO)) == files(DEMO)
    with zipfile.ZipFile(io.BytesIO(files(DEMO)[WORKBOOK])) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(2026, 3, 2, 0, 0, 0)}
        core = archive.read("docProps/core.xml").decode()
    assert re.findall(r"\d{4}-\d\d-\d\dT[\d:]+Z", core) == ["2026-03-02T00:00:00Z"] * 2


def test_draft_is_marked_on_every_sheet() -> None:
    schedule = Schedule("boxes", "Boxes", (Column("Box"), Column("Length", "m", 2)), (("B01", 2.5),), ("Length (m)",))
    data = workbook_bytes([schedule], FACTS, paper="letter")
    sheet = openpyxl.load_workbook(io.BytesIO(data), data_only=True)["Boxes"]
    assert "DRAFT" in sheet["A2"].value
    assert sheet["B7"].value == 2.5
    assert b"DRAFT" in csv_bytes(schedule, FACTS)


def test_formula_names_cells_by_heading_and_carries_its_value() -> None:
    schedule = Schedule("x", "X", (Column("A", "m"), Column("Twice", "m")), ((3.0, Formula("=2*{A (m)}", 6.0)),))
    data = workbook_bytes([schedule], FACTS, paper="a4")
    assert openpyxl.load_workbook(io.BytesIO(data))["X"]["B6"].value == "=2*A6"
    assert openpyxl.load_workbook(io.BytesIO(data), data_only=True)["X"]["B6"].value == 6


def test_neighbours_are_drawn_together() -> None:
    order = {name: n for n, name in enumerate(["B8", "B9", "B10", "B11", "B30", "B31", "B12", "Gate"])}
    assert spans(["B11", "B8", "B9", "B10", "B12"], order) == "B8 to B11, B12"
    assert spans(["B12", "B31", "B30", "Gate"], order) == "B30, B31, B12, Gate"
    assert spans(list(order), order) == "every box"
    assert spans([], order) == ""
