"""The tables are found from anywhere, and a broken one is refused with its file and row named."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from slackloop.reference import table_file as folder
from slackloop.reference.rows import Row
from slackloop.reference.table_file import TableRefused, data_folder
from slackloop.reference.tables import load_tables
from slackloop.sections.content import load_content
from slackloop.sections.page_source import named_clauses


def test_folders_are_found_from_another_working_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert (data_folder("site_data") / "soils.yml").is_file()
    assert data_folder("content").is_dir()


def test_an_installed_folder_is_taken_before_the_repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "site_data").mkdir()
    monkeypatch.setattr(folder, "files", lambda _: tmp_path)
    assert data_folder("site_data") == tmp_path / "site_data"
    assert data_folder("content") != tmp_path / "content"


def test_a_missing_folder_says_where_it_was_looked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folder, "files", lambda _: tmp_path)
    monkeypatch.setattr(folder, "__file__", str(tmp_path / "a" / "b" / "c" / "folder.py"))
    with pytest.raises(TableRefused, match="site_data that belongs to slackloop is missing"):
        data_folder("site_data")


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A firm's own folder with copies of every table."""
    shutil.copytree(data_folder("site_data"), tmp_path / "own", ignore=shutil.ignore_patterns("jobs"))
    return tmp_path / "own"


def test_own_tables_stand_before_the_standing_ones(own: Path) -> None:
    plain = load_tables()
    assert load_tables(own).digest == plain.digest
    text = (own / "soils.yml").read_text().replace("bank_to_loose: 1.11", "bank_to_loose: 1.12")
    (own / "soils.yml").write_text(text)
    changed = load_tables(own)
    assert changed.soils.rows["sand"].bank_to_loose == 1.12
    assert changed.digest != plain.digest


def test_an_own_code_basis_is_added(tmp_path: Path) -> None:
    (tmp_path / "code_basis").mkdir()
    text = (data_folder("site_data") / "code_basis" / "general.yml").read_text()
    (tmp_path / "code_basis" / "island.yml").write_text(text.replace("name: General", "name: Island"))
    assert set(load_tables(tmp_path).code_bases) == {"us", "uk", "general", "island"}


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("soils.yml", ', source: "US Army FM 5-434 Table 1-1"', "", "soils.yml, rows, row 1: source"),
        ("soils.yml", ", checked: read in a copy", "", "soils.yml, rows, row 1: checked"),
        ("soils.yml", "checked: read in a copy", "checked: surely", "soils.yml, rows, row 1: checked"),
        ("soils.yml", "name: loam", "name: sand", "two rows have the name 'sand'"),
        ("soils.yml", "bank_to_loose: 1.11", "bank_to_loose: -1", "soils.yml, rows, row 1: bank_to_loose"),
        ("soils.yml", "bank_to_loose: 1.11", "bank_to_lose: 1.11", "soils.yml, rows, row 1"),
        ("soils.yml", "rows:", "lines:", "needs a list under `rows:`"),
        ("soils.yml", "rows:", "rows: [", "soils.yml, line"),
        ("copper.yml", "id: alpha", "id: beta", "needs a row with the id alpha"),
        ("risk.yml", "{probability: E, severity: 4", "{probability: E, severity: 3", "the matrix needs each"),
        ("code_basis/us.yml", "road: roads", "road: road", "no cover row for the surface road"),
        ("code_basis/us.yml", "clause: spoil", "clause: soil", "no clause with the id soil"),
        ("code_basis/us.yml", 'column: "1"', 'column: "9"', "column 9 has no title"),
        ("code_basis/us.yml", "name: United States", "name: A\nname: B", "the key 'name' is written twice"),
    ],
)
def test_a_broken_table_is_refused(own: Path, name: str, old: str, new: str, said: str) -> None:
    text = (own / name).read_text()
    assert old in text
    (own / name).write_text(text.replace(old, new, 1))
    with pytest.raises(TableRefused) as refused:
        load_tables(own)
    assert said in str(refused.value)
    assert name.rsplit("/", 1)[-1] in str(refused.value)


def test_bytes_that_are_not_text_are_refused(own: Path) -> None:
    (own / "marks.yml").write_bytes(b"rows: \xff\xfe")
    with pytest.raises(TableRefused, match=r"marks\.yml: is not UTF-8 text"):
        load_tables(own)


def test_every_row_says_where_it_comes_from() -> None:
    tables = load_tables()
    rows: list[Row] = [*tables.resistivity, *tables.marks]
    for table in (tables.conductors.awg_sizes, tables.conductors.iec_60228,
                  tables.conductors.iec_60228_class_5, tables.copper.rows, tables.soils.rows,
                  tables.rod_groups, tables.insulation, tables.signs, tables.voltage_limits):  # fmt: skip
        rows.extend(table.values())
    for basis in tables.code_bases.values():
        rows.extend([*basis.clauses, *basis.excavation, *(basis.cover.rows if basis.cover else ())])
    assert len(rows) > 100
    assert all(row.source and row.checked for row in rows)
    assert not any("http" in row.source for row in rows)


@pytest.mark.parametrize("basis", ["us", "uk", "general"])
def test_every_clause_of_a_basis_is_cited_somewhere(basis: str) -> None:
    """A clause that no section, rule of digging or computed rule names is a row that nothing reads."""
    rules = load_tables().code_bases[basis]
    cited = {row.clause for row in rules.excavation}
    cited |= {part.clause for part in (rules.cover, rules.burial, rules.power_limit) if part is not None}
    for section in load_content(data_folder("content")).sections:
        for each in section.front.requirements:
            if each.source == "code":
                cited.update(named_clauses(each.clause))
    assert {clause.id for clause in rules.clauses} <= cited


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('    "1": Direct-buried cable\n', '    "1": Direct-buried cable\n    "9": Other\n', "nothing reads column 9"),
        ("    gravel: gravel\n", "", "no word for the surface gravel"),
        ("driveway: dwelling-driveway", "driveway: roads", "nothing reads the row dwelling-driveway"),
    ],
)
def test_a_row_that_nothing_reads_is_refused(own: Path, old: str, new: str, said: str) -> None:
    text = (own / "code_basis" / "us.yml").read_text()
    assert old in text
    (own / "code_basis" / "us.yml").write_text(text.replace(old, new, 1))
    with pytest.raises(TableRefused, match=said):
        load_tables(own)
