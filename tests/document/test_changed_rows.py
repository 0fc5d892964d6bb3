"""A row of ``site_data`` that is changed changes every place that shows it, with its source; nothing is typed twice."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from book_samples import book_of_worked, demonstration, pages_of, said_by
from samples import DEMO, REPOSITORY, chain, job_text
from slackloop.document import worked as worked_module
from slackloop.document.book import Book
from slackloop.document.tables.registry import DEFINITIONS, table_of
from slackloop.document.worked import work
from slackloop.reference.tables import load_tables, row_lists
from slackloop.render.workbook.workbook import table_files

Rebuild = Callable[..., Book]
MARK = "CHANGED"
LAW = {
    "cover", "digging", "clauses", "frequency of the supply", "limits on volts", "insulation tests",
    "marks on the ground",
}  # fmt: skip
"""Lists whose sources are the law itself, which titles and rules name in their own words."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of ``site_data`` that handbooks are then made over."""
    copy = tmp_path / "site_data"
    shutil.copytree(REPOSITORY / "site_data", copy, ignore=shutil.ignore_patterns("jobs", "examples", "start"))
    monkeypatch.setattr(worked_module, "load_tables", lambda: load_tables(copy))
    return copy


@pytest.fixture
def rebuild(folder: Path) -> Rebuild:
    """Makes the demonstration's book after one text of one file has become another."""

    def made(file: str = "", old: str = "", new: str = "") -> Book:
        if file:
            text = (folder / file).read_text(encoding="utf-8")
            assert old in text, f"{file} has no {old}"
            (folder / file).write_text(text.replace(old, new), encoding="utf-8")
        return book_of_worked(work(DEMO))

    return made


def said(book: Book) -> dict[str, str]:
    """Everything that a book and its files say, by page or file."""
    files = {name: data.decode("utf-8") for name, data in table_files(book).items() if not name.endswith("xlsx")}
    tables = {f"table {name}": said_by(table) for name, table in book.tables.items()}
    return pages_of(book) | tables | files


@cache
def said_before() -> dict[str, str]:
    """What the demonstration says over the rows as they are."""
    return said(demonstration())


def differing(new: Book, after: dict[str, str]) -> set[str]:
    """Pages and files of the demonstration that now say something else.

    The fingerprint is on many of them and is left aside.
    """
    before = said_before()
    prints = demonstration().header.fingerprint[:12], new.header.fingerprint[:12]
    assert before.keys() == after.keys()
    return {
        name
        for name, text in before.items()
        if re.sub(prints[0] + r"\w*", "", text) != re.sub(prints[1] + r"\w*", "", after[name])
    }


def test_every_changed_source_shows_wherever_it_is_named(folder: Path, rebuild: Rebuild) -> None:
    """All sources but those of the law get a mark: no page and no file names one without it."""
    tables = load_tables()
    lists = row_lists(tables, tuple(tables.code_bases.values()))
    law = {row.source for each in lists if each.used_for in LAW for row in each.rows}
    sources = {row.source for each in lists if each.used_for not in LAW for row in each.rows} - law
    for path in sorted(folder.glob("*.yml")):
        text = path.read_text(encoding="utf-8")
        path.write_text(re.sub(r'(source: "[^"]*)"', rf'\1 {MARK}"', text), encoding="utf-8")
    new = said(rebuild())
    typed = [
        f"{name}: {source}: …{text[max(found.start() - 40, 0) : found.end() + 40]}…"
        for name, text in new.items()
        for source in sorted(sources)
        if not source.startswith("Common practice")
        for found in re.finditer(rf"{re.escape(source)}(?! {MARK}|\w| Table)", text)
    ]
    assert not typed, "\n".join(typed)
    assert new["tables/sources"].count(MARK) >= 10


def test_expansion_of_copper_doubles_what_a_run_shortens_by_with_its_source(rebuild: Rebuild) -> None:
    row = 'value: 0.0000{}, unit: "1/degC", source: "{}"'
    old = demonstration()
    new = rebuild("copper.yml", row.format("17", "Common handbook value for copper"), row.format("34", MARK))
    shows = {"tables/boxes", "table boxes", "schedules/boxes.csv", "schedules/tables.json", "tables/sources"}
    after = said(new)
    assert shows <= differing(new, after)
    assert not [name for name, text in after.items() if "Common handbook value" in text]
    for name in ("table boxes", "schedules/boxes.csv", "schedules/tables.json", "tables/sources"):
        assert MARK in after[name], name
    told = [re.search(r"shortens by up to ([\d.]+) mm", said_by(each.tables["boxes"])) for each in (old, new)]
    old_mm, new_mm = (float(found[1]) for found in told if found)
    assert new.analysis.slack[0].contraction_m == pytest.approx(2 * old.analysis.slack[0].contraction_m)
    assert 2 * old_mm - 1 <= new_mm <= 2 * old_mm, "both are rounded up to a whole millimetre"


def test_swelling_of_soil_changes_volumes_and_their_source(rebuild: Rebuild) -> None:
    row = "aliases: [earth], bank_to_loose: {}, bank_to_compacted: 0.90, source: \"{}"
    new = rebuild("soils.yml", row.format("1.25", "US Army"), row.format("1.50", "Another army"))
    assert {"tables/volumes", "schedules/runs.csv", "tables/sources"} <= differing(new, said(new))
    assert "1.50 m³ dug out" in said_by(new.tables["volumes"])
    for name in ("volumes", "runs"):
        assert "Another army" in said_by(new.tables[name])


def test_source_of_groups_of_rods_changes_on_electrodes_and_orders(rebuild: Rebuild) -> None:
    new = rebuild("rod_groups.yml", "IEEE Std 142 Table 14", MARK)
    for name in ("electrodes", "materials"):
        assert MARK in said_by(new.tables[name])
    assert not [name for name, text in said(new).items() if "Std 142 Table 14" in text]


def test_largest_resistance_changes_every_table_of_volts(rebuild: Rebuild) -> None:
    row = 'value: {}, unit: "ratio", source: "{}"'
    new = rebuild("copper.yml", row.format("1.02", "UL 1581"), row.format("1.30", MARK))
    changed = differing(new, said(new))
    for name in ("boxes", "conductor-sizes", "spare-length", "reactance", "solenoids"):
        assert MARK in said_by(new.tables[name]), name
        assert f"tables/{name}" in changed, name
    assert "tables/runs" not in changed
    assert "schedules/each-loop.csv" not in changed, "a meter reads nominal copper"


@pytest.mark.parametrize(("build", "rests"), [("stranded", True), ("solid", False)])
def test_volts_of_a_stranded_job_name_the_lay_of_strands_as_from_memory(
    tmp_path: Path, build: str, rests: bool
) -> None:
    """The volts of a stranded AWG job rest on a factor that nobody read in a copy; those of a solid one do not."""
    path = tmp_path / "job.yml"
    path.write_text(job_text(chain(3)).replace("    build: solid\n", f"    build: {build}\n"), encoding="utf-8")
    book = book_of_worked(work(path))
    boxes = table_of(book.context, "boxes")
    lay = book.context.tables.copper.rows["lay-factor"]
    assert boxes is not None
    assert lay.checked == "from memory, to be checked"
    assert any(row is lay for row in boxes.rows_used) is rests
    assert (f"{lay.source} ({lay.checked})" in table_files(book)["schedules/boxes.csv"].decode()) is rests


def test_the_bedding_zone_is_never_higher_than_the_trench_is_deep(tmp_path: Path) -> None:
    """50 mm of cover, a 63 mm pipe and 100 mm of bedding: 213 mm deep, where twice 100 and 63 would be 263 mm."""
    path = tmp_path / "job.yml"
    text = job_text(chain(3), cover="50 mm").replace("  bedding: 75 mm", "  bedding: 100 mm")
    path.write_text(text, encoding="utf-8")
    book = book_of_worked(work(path))
    assert book.context.values.trench_depth.startswith("213 mm")
    assert book.context.values.bedding_zone.startswith("213 mm")
    assert not [name for name, words in said(book).items() if "263 mm" in words]


def test_every_table_of_figures_names_its_rows() -> None:
    """Tables that rest on the job and on formulas alone are few; each other table names rows of ``site_data``."""
    context = demonstration().context
    made = {each.id: table_of(context, each.id) for each in DEFINITIONS}
    without = {name for name, table in made.items() if table is not None and not table.rows_used}
    assert without <= {
        "job-facts", "departures", "material-boxes", "connectors", "makers-limits", "matrix", "hold-points",
        "soil-test", "sources", "reels", "pulls", "assumptions", "order-phases",
    }, "reels name a row where a published bound says that there can be no fewer"
