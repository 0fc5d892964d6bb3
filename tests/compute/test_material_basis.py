"""Each line of the materials says where its figure comes from, and names nothing that is not in it."""

from pathlib import Path

from book_samples import book_of, rows_of, table_in
from samples import DEMO, chain, job_text
from slackloop.document.worked import work
from slackloop.render.workbook.workbook import table_files


def test_cables_and_connectors_name_only_what_they_hold() -> None:
    basis = {line.item: line.basis for line in work(DEMO).analysis.materials}
    assert basis["path-14"].startswith("runs, with 1.2 m (4 ft) of slack per tail; 5 % waste")
    assert basis["lead-16"].startswith("leads longer than 1.5 m (4 ft 11 in); 5 % waste")
    assert "solenoid" not in basis["sealed-large"]
    assert "path" not in basis["sealed-small"]


def test_sand_is_ordered_loose_without_waste_and_says_so(tmp_path: Path) -> None:
    """Half of the volume again as waste of cable changes nothing of the sand."""
    path, orders = tmp_path / "job.yml", set()
    for waste in ("0 %", "50 %"):
        path.write_text(job_text(chain(4)).replace("waste: 5 %", f"waste: {waste}"), encoding="utf-8")
        (sand,) = (line for line in work(path).analysis.materials if line.item == "bedding sand")
        assert sand.basis.endswith("; no waste added")
        orders.add(sand.order)
    assert len(orders) == 1


def test_a_part_number_stands_where_the_part_is_ordered(tmp_path: Path) -> None:
    """On the page and in the schedule; a job without part numbers has no column for them on the page."""
    path = tmp_path / "job.yml"
    text = job_text(chain(2))
    path.write_text(text, encoding="utf-8")
    plain = table_in(path, "materials")
    more = "    part: CAB-7\n    armour: true\n    price: 0.62 /m\n"
    text = text.replace("    build: solid\n", f"    build: solid\n{more}")
    text = text.replace("pack: 25\n", "pack: 25\n    part: '=CON-8'\n")
    path.write_text(text.replace("outputs: 2,", "outputs: 2, part: DEV-9,"), encoding="utf-8")
    book = book_of(path)
    columns = [column.key for column in book.tables["materials"].columns]
    rows = [dict(zip(columns, row, strict=True)) for row in rows_of(book.tables["materials"])]
    parts = {row["kind"]: row["part"] for row in rows if row["kind"] in ("cable", "connector", "device", "solenoid")}
    assert parts == {"cable": "CAB-7", "connector": "=CON-8", "device": "DEV-9", "solenoid": "–"}
    assert "Part number" not in [column.heading for column in plain.columns]
    lines = table_files(book)["schedules/materials.csv"].decode().splitlines()
    assert [line.split(",")[0] for line in lines if "DEV-9" in line] == ["Two-output decoder"]
    assert any("'=CON-8" in line for line in lines)
    cable = book.job.cables["main"]
    assert (cable.armour, cable.price.per_m if cable.price else None) == (True, 0.62)
