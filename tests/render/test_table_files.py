"""Files of tables read back: figures as figures, totals that add up, no text that runs, the same bytes twice."""

from __future__ import annotations

import csv
import io
import json
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

from book_samples import LINKS, book_of, first_boxes, standing
from compute.tally import JOBS, read
from samples import DEMO, chain, job_text
from shared import short
from slackloop.document.book import Book
from slackloop.document.page import DocumentHeader
from slackloop.document.table import (
    JSON_FILE,
    WORKBOOK,
    Column,
    Table,
    cell,
    csv_file,
    figure_cell,
    number_cell,
    one_part,
)
from slackloop.document.tables.registry import FILES, file_tables
from slackloop.render.workbook.sheet import csv_bytes
from slackloop.render.workbook.workbook import HEAD_ROW, table_files, workbook_bytes
from slackloop.sections.inspection_points import spans
from slackloop.sections.job_keys import cable_titles, connector_titles
from slackloop.units.figure import run_length

FACTS = DocumentHeader("N-1", "Title", "Site", "B", "2026-03-02", "draft", "a" * 40, True, "Example Groundworks")
NASTY = ("=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0", "\t=2", 'plain, with "quotes"', "a\x07b")


def table(*columns: Column, rows: list[tuple[Any, ...]], **more: Any) -> Table:
    return Table("sample", "Sample", columns, one_part(rows), ("job",), **more)


@cache
def book(path: Path) -> Book:
    return standing(path)


@cache
def files(path: Path) -> dict[str, bytes]:
    return table_files(book(path))


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


@pytest.fixture(scope="module")
def us_job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first boxes of a job in US units."""
    return first_boxes(LINKS, 24, tmp_path_factory.mktemp("us"))


@pytest.fixture(scope="module", params=short(["demonstration", "us", "links"], "demonstration", "us"))
def path(request: pytest.FixtureRequest, us_job: Path) -> Path:
    """The job files whose tables are read back; the whole of the large one in ``make proofs``."""
    return {"demonstration": DEMO, "us": us_job, "links": LINKS}[request.param]


def test_every_table_that_is_a_file_is_a_csv_a_sheet_and_a_record() -> None:
    assert set(files(DEMO)) == {WORKBOOK, JSON_FILE, *(csv_file(name) for name in FILES)}
    titles = [each.title for each in file_tables(book(DEMO).context)]
    assert workbook(DEMO, values=False).sheetnames == ["Document", *titles]
    record = json.loads(files(DEMO)[JSON_FILE])
    assert [each["id"] for each in record["tables"]] == list(FILES)
    assert record["document"]["revision"] == book(DEMO).header.revision


def test_the_record_holds_si_numbers_with_their_words_and_sources(us_job: Path) -> None:
    record = {each["id"]: each for each in json.loads(files(us_job)[JSON_FILE])["tables"]}
    runs, made = record["runs"], book(us_job)
    assert next(each for each in runs["columns"] if each["key"] == "length")["unit"] == "m"
    for row, run in zip(runs["rows"], made.analysis.network.all_runs, strict=True):
        assert row["length"]["number"] == pytest.approx(run.length_m)
    assert {"source", "checked"} <= runs["sources"][0].keys()


@pytest.mark.parametrize("name", short(["links", "garden", "mixed", "ring"], "garden", "mixed", "ring"))
def test_materials_equal_an_independent_tally(name: str) -> None:
    """Cable, connectors and bedding of whole jobs against plain loops over the job's own YAML."""
    tally, path = read(name), JOBS / f"{name}.yml"
    job = book(path).job
    lines = {row["Item"]: row for row in rows_of(path, "materials")}
    for item, metres in tally.cable_m().items():
        assert float(lines[cable_titles(job)[item]]["Quantity"]) == pytest.approx(metres)
    for item, count in tally.connectors().items():
        line = lines[connector_titles(job)[item]]
        assert float(line["Quantity"]) == count
        spare = float(tally.job["rules"]["spare"].split()[0]) / 100
        pack = tally.job["connectors"][item]["pack"]
        assert float(line["Order"]) == math.ceil(math.ceil(round(count * (1 + spare), 9)) / pack)
    assert sum(float(row["Bedding, compacted (m3)"]) for row in rows_of(path, "runs")) == pytest.approx(
        tally.trench()["bedding"], abs=1e-6
    )


@pytest.mark.parametrize("name", short(["links", "mixed"], "mixed"))
def test_every_material_names_the_boxes_that_need_it(name: str) -> None:
    path = JOBS / f"{name}.yml"
    lines = rows_of(path, "materials")
    pairs = {(row["Item"], row["Kind"], row["Box"]) for row in rows_of(path, "material-boxes")}
    for material, line in zip(book(path).analysis.materials, lines, strict=True):
        of_line = {box for item, kind, box in pairs if (item, kind) == (line["Item"], line["Kind"])}
        assert of_line == set(material.boxes)


def test_no_name_of_the_job_file_is_on_an_order(path: Path) -> None:
    """Parts by title; the names under which the job file lists them stay in it."""
    job = book(path).job
    names = {*job.cables, *job.connectors, *job.devices, *job.solenoids}
    for name in FILES:
        for row in rows_of(path, name):
            assert not names & set(row.values()), name


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


def test_totals_add_up_and_stay_live(path: Path) -> None:
    live, shown = workbook(path, values=False), workbook(path, values=True)
    sums = 0
    for title in live.sheetnames[1:]:
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


def test_sheets_are_fit_to_print_and_carry_the_document_and_their_source() -> None:
    facts = book(DEMO).header
    for sheet in workbook(DEMO, values=True).worksheets[1:]:
        assert facts.number in sheet["A2"].value
        assert f"revision {facts.revision}" in sheet["A2"].value
        assert facts.fingerprint[:12] in sheet["A2"].value
        assert sheet["A4"].value.startswith("Source: ")
        assert sheet.freeze_panes == f"B{HEAD_ROW + 1}"
        assert sheet.print_title_rows == f"${HEAD_ROW}:${HEAD_ROW}"


def test_every_row_of_a_csv_says_its_source_and_how_it_was_checked() -> None:
    for row in rows_of(DEMO, "boxes"):
        assert "IEC 60028 (read in a copy)" in row["Source"]
        assert "UL 1581 (from memory, to be checked)" in row["Source"]
        assert book(DEMO).header.fingerprint[:12] in row["Document"]


def test_us_job_gives_feet_first_and_metres_beside(us_job: Path) -> None:
    rows = rows_of(us_job, "runs")
    assert list(rows[0]).index("Length (ft)") + 1 == list(rows[0]).index("Length (m)")
    for row in rows:
        for heading in ("Length", "Length of cable", "Cover"):
            assert float(row[f"{heading} (ft)"]) * 0.3048 == pytest.approx(float(row[f"{heading} (m)"]), abs=0.005)
    assert "Length (ft)" not in rows_of(DEMO, "runs")[0]


def test_us_job_orders_in_feet_and_cubic_yards(us_job: Path) -> None:
    """What is ordered by length or volume stands in US units first, and holds what SI asks for."""
    rows = rows_of(us_job, "materials")
    assert list(rows[0]).index("Order, US") < list(rows[0]).index("Order")
    per = {"ft": 0.3048, "yd3": 0.9144**3}
    assert {"ft", "yd3"} <= {row["US unit"] for row in rows}
    for row in rows:
        told, order = float(row["Order, US"]) * per.get(row["US unit"], 1.0), float(row["Order"])
        assert order - 1e-9 <= told <= order + 0.31
    assert "US unit" not in rows_of(DEMO, "materials")[0]


def test_no_limit_or_length_to_cut_is_written_on_the_wrong_side(path: Path) -> None:
    """Cells as they stand against the figures that were worked out, at the decimals that a sheet shows."""
    analysis, network = book(path).analysis, book(path).analysis.network
    for row, loop in zip(rows_of(path, "each-loop"), analysis.loops.closed, strict=True):
        written = [float(cell) for name, cell in row.items() if name.startswith(("Least", "Most"))]
        for limit, low, high in zip(loop.limits, written[::2], written[1::2], strict=True):
            assert limit.low_ohms <= low < limit.low_ohms + 0.01
            assert limit.high_ohms - 0.01 < high <= limit.high_ohms
            assert (round(low, 2), round(high, 2)) == (low, high)
    runs = _by_group(path, network.runs) + list(network.closures)
    covers = {run.id: cover for run, cover in zip(network.all_runs, analysis.covers, strict=True)}
    for row, run in zip(rows_of(path, "runs"), runs, strict=True):
        for column, exact in (("Length", run.length_m), ("Least cover", covers[run.id].min_m)):
            for unit, metres in (("m", 1.0), ("ft", 0.3048)):
                written = row.get(f"{column} ({unit})")
                if written and exact is not None:
                    assert exact - 1e-9 <= float(written) * metres < exact + 0.011


def test_a_ring_is_read_open_then_closed() -> None:
    rows = rows_of(JOBS / "ring.yml", "each-loop")
    loops, network = book(JOBS / "ring.yml").analysis.loops, book(JOBS / "ring.yml").analysis.network
    states = [row["Ring"] for row in rows]
    boxes, ends = len(network.boxes), len(network.closures)
    assert states == ["open"] * (boxes + ends) + ["closed"] * boxes
    expected = [float(value) for row in rows for name, value in row.items() if name.startswith("Expected")]
    assert expected == pytest.approx([each.ohms_20c for each in (*loops.opened, *loops.closures, *loops.closed)])


def _by_group(path: Path, values: Any) -> list[Any]:
    """Values by box in the order in which tables show boxes."""
    return [values[index] for group in book(path).context.groups for index in group.indices]


def test_text_of_the_job_is_never_a_formula() -> None:
    sample = table(Column("note", "Note"), rows=[(cell(each),) for each in NASTY])
    lines = list(csv.reader(io.StringIO(csv_bytes(sample, FACTS, "metric").decode(), newline="")))[1:]
    assert [line[0] for line in lines[:6]] == ["'=1+1", "'+1", "'-1", "'@SUM(A1)", "'=cmd|' /C calc'!A0", "'=2"]
    assert [line[0] for line in lines[6:]] == ['plain, with "quotes"', "ab"]
    sheet = openpyxl.load_workbook(io.BytesIO(workbook_bytes([sample], FACTS, "metric")))["Sample"]
    for row, text in enumerate(NASTY[:5], start=HEAD_ROW + 1):
        found = sheet.cell(row, 1)
        assert (found.value, found.data_type, found.quotePrefix) == (text, "s", True)


def test_nasty_job_reaches_no_formula(tmp_path: Path) -> None:
    """Names and notes of a whole job that start like formulas stay text in every sheet and file."""
    path = tmp_path / "job.yml"
    text = job_text(chain(4)).replace("title: ", "title: '=HYPERLINK(\"x\")' #", 1)
    path.write_text(text, encoding="utf-8")
    made = table_files(book_of(path))
    formulas = 0
    for sheet in openpyxl.load_workbook(io.BytesIO(made[WORKBOOK])).worksheets:
        for line in sheet.iter_rows():
            for found in line:
                if found.data_type == "f":
                    formulas += 1
                    assert re.match(r"=(SUM|ROUND|CEILING|COUNTIF|[A-Z]+\d+[-+])", str(found.value))
    assert formulas > 10


def test_same_book_gives_the_same_bytes_with_the_documents_date() -> None:
    assert table_files(book_of(DEMO)) == files(DEMO)
    with zipfile.ZipFile(io.BytesIO(files(DEMO)[WORKBOOK])) as archive:
        assert len({entry.date_time for entry in archive.infolist()}) == 1
        core = archive.read("docProps/core.xml").decode()
    assert re.findall(r"\d{4}-\d\d-\d\dT[\d:]+Z", core) == ["2026-03-02T00:00:00Z"] * 2


def test_draft_and_what_is_wrong_are_marked_on_every_sheet_and_row() -> None:
    columns = (Column("box", "Box"), Column("length", "Length", "run", total=True))
    rows = [(cell("B01"), figure_cell(run_length(2.5, "nearest"), "metric"))]
    sample = table(*columns, rows=rows, banner="B01 gets too few volts")
    sheet = openpyxl.load_workbook(io.BytesIO(workbook_bytes([sample], FACTS, "us")), data_only=True)["Sample"]
    assert "DRAFT" in sheet["A2"].value
    assert "Do not build" in sheet["A3"].value
    assert "B01 gets too few volts" in sheet["A3"].value
    assert (sheet["B5"].value, sheet["C5"].value, sheet["C7"].value) == ("Length (ft)", "Length (m)", 2.5)
    assert b"DRAFT, NOT GOOD: B01 gets too few volts" in csv_bytes(sample, FACTS, "us")
    assert json.loads(_record(sample))["tables"][0]["not_good"] == "B01 gets too few volts"


def _record(sample: Table) -> bytes:
    from slackloop.render.json.json_text import tables_json

    return tables_json([sample], FACTS)


def test_formula_names_cells_by_key_and_carries_its_value() -> None:
    columns = (Column("a", "A", "number"), Column("twice", "Twice", "number"))
    sample = table(*columns, rows=[(number_cell(3.0), number_cell(6.0, formula="=2*{a}"))])
    data = workbook_bytes([sample], FACTS, "metric")
    assert openpyxl.load_workbook(io.BytesIO(data))["Sample"]["B6"].value == "=2*A6"
    assert openpyxl.load_workbook(io.BytesIO(data), data_only=True)["Sample"]["B6"].value == 6


def test_neighbours_are_drawn_together() -> None:
    order = {name: n for n, name in enumerate(["B8", "B9", "B10", "B11", "B30", "B31", "B12", "Gate"])}
    assert spans(["B11", "B8", "B9", "B10", "B12"], order) == "B8 to B11, B12"
    assert spans(["B12", "B31", "B30", "Gate"], order) == "B30, B31, B12, Gate"
    assert spans(list(order), order) == "every box"
    assert spans([], order) == ""
