"""Each line of the materials says where its figure comes from, and names nothing that is not in it."""

from pathlib import Path

from samples import DEMO, chain, job_text
from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.worked import work
from slackloop.publish.schedules import Schedules


def test_cables_and_connectors_name_only_what_they_hold() -> None:
    basis = {line.item: line.basis for line in work(DEMO).analysis.materials}
    assert basis["path-14"].startswith("runs, with 1.2 m (4 ft) of slack per tail; 5 % waste")
    assert basis["lead-16"].startswith("leads longer than 1.5 m (4 ft 11 in); 5 % waste")
    assert "solenoid" not in basis["sealed-large"]
    assert "path" not in basis["sealed-small"]


def test_a_part_number_stands_where_the_part_is_ordered(tmp_path: Path) -> None:
    """On the page and in the schedule; a job without part numbers has no column for them on the page."""
    path = tmp_path / "job.yml"
    text = job_text(chain(2))
    path.write_text(text, encoding="utf-8")
    plain = book_from_job(path).tables["materials"]
    more = "    part: CAB-7\n    armour: true\n    price: 0.62 /m\n"
    text = text.replace("    build: solid\n", f"    build: solid\n{more}")
    text = text.replace("pack: 25\n", "pack: 25\n    part: '=CON-8'\n")
    path.write_text(text.replace("outputs: 2,", "outputs: 2, part: DEV-9,"), encoding="utf-8")
    book = book_from_job(path)
    rows = {row[0]: row[-1] for row in book.tables["materials"].rows}
    assert (rows["main"], rows["sealed"], rows["two"], rows["valve"]) == ("CAB-7", "=CON-8", "DEV-9", "")
    assert "Part number" not in [column.heading for column in plain.columns]
    sheet = next(each for each in Schedules(book).all() if each.name == "materials")
    at = [column.heading for column in sheet.columns].index("Part number")
    assert [row[at] for row in sheet.rows if row[0] in ("main", "sealed", "two")] == ["CAB-7", "=CON-8", "DEV-9"]
    cable = book.job.cables["main"]
    assert (cable.armour, cable.price.per_m if cable.price else None) == (True, 0.62)
