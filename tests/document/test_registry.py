"""Every table is registered once, its banner is tied to codes that exist, and no error leaves all tables good."""

from __future__ import annotations

import ast
import inspect
from dataclasses import fields, is_dataclass
from pathlib import Path

from pydantic import BaseModel

import slackloop
from book_samples import book_of, demonstration, rows_of
from samples import chain, job_text
from slackloop.document.table import Table
from slackloop.document.tables import registry
from slackloop.document.tables.registry import BY_ID, DEFINITIONS, FILES, HOMES, table_of
from slackloop.reference.rows import Row
from slackloop.reference.tables import load_tables, row_lists
from slackloop.render.workbook.workbook import table_files
from slackloop.source.codes import codes

PACKAGE = Path(slackloop.__file__).parent
FOLDER = PACKAGE / "document" / "tables"


def makers(path: Path) -> list[str]:
    """The public functions of a module that give a table of one context."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef)
        and isinstance(node.returns, ast.Name)
        and node.returns.id == "Table"
        and not node.name.startswith("_")
        and len(node.args.args) == 1
    ]


def test_every_table_that_a_module_defines_is_registered() -> None:
    used = inspect.getsource(registry)
    missing = [
        f"{path.name} defines {name}, and registry.py does not name it: add a TableDefinition"
        for path in sorted(FOLDER.glob("*.py"))
        for name in makers(path)
        if f".{name})" not in used and f".{name}," not in used
    ]
    assert not missing, "\n".join(missing)


def test_ids_are_those_of_the_tables_and_stand_once() -> None:
    assert len(BY_ID) == len(DEFINITIONS)
    assert not set(BY_ID) & set(HOMES)
    context = demonstration().context
    for each in DEFINITIONS:
        made = table_of(context, each.id)
        assert made is not None
        assert made.id == each.id
        assert set(each.files) <= set(BY_ID)
        assert each.page or each.id in FILES, f"{each.id} is neither a page nor a file"


def test_each_table_that_a_code_spoils_exists() -> None:
    for each in codes().values():
        assert set(each.spoils) <= set(BY_ID), each.code
        assert not each.spoils or "error" in each.levels, f"{each.code} is no error, and only errors spoil a table"


NOTHING_PRINTED = {"programme-too-long"}
"""Errors for which what they are about is left out, so that there is no table to spoil: no day sheet is made."""


def test_every_error_of_a_figure_spoils_a_table() -> None:
    errors = [each for each in codes().values() if each.kind == "figure" and "error" in each.levels]
    assert {"volts-low", "cover-low", "connector-misfit"} <= {each.code for each in errors}
    harmless = {each.code for each in errors if not each.spoils}
    assert harmless == NOTHING_PRINTED, f"errors that leave every table good: {sorted(harmless - NOTHING_PRINTED)}"


def rows_in(value: object) -> list[Row]:
    """Every row inside a value, at any depth."""
    if isinstance(value, Row):
        return [value]
    if isinstance(value, dict):
        return [row for each in value.values() for row in rows_in(each)]
    if isinstance(value, tuple | list):
        return [row for each in value for row in rows_in(each)]
    if is_dataclass(value):
        return [row for each in fields(value) for row in rows_in(getattr(value, each.name))]
    if isinstance(value, BaseModel):
        return [row for each in type(value).model_fields for row in rows_in(getattr(value, each))]
    return []


def test_every_reference_row_is_on_the_list_that_the_sources_page_walks() -> None:
    tables = load_tables()
    listed = {id(row) for each in row_lists(tables, tuple(tables.code_bases.values())) for row in each.rows}
    forgotten = [repr(row) for row in rows_in(tables) if id(row) not in listed]
    assert not forgotten, "row_lists of reference/tables.py leaves out:\n" + "\n".join(forgotten[:5])


def test_every_row_that_a_table_uses_reaches_the_sources_page() -> None:
    """Clauses of one law stand in one row, under the law's name."""
    context = demonstration().context
    sources = table_of(context, "sources")
    assert sources is not None
    listed = {(source, checked) for source, _, checked, _ in rows_of(sources)}
    assert sum(int(count) for _, _, _, count in rows_of(sources)) > 60
    for each in DEFINITIONS:
        made = table_of(context, each.id)
        assert made is not None
        for row in made.rows_used:
            named = row.source.split(".")[0] if row.source.startswith("29 CFR") else row.source
            assert {(named, row.checked), (named, "–")} & listed, f"{each.id}: {row.source}"


def test_a_banner_is_on_the_file_of_a_table_too(tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_text(job_text(chain(4), volts="21 V"), encoding="utf-8")
    book = book_of(path)
    boxes: Table | None = table_of(book.context, "boxes")
    assert boxes is not None
    assert "needs" in boxes.banner
    assert b"NOT GOOD" in table_files(book)["schedules/boxes.csv"]
    pages = {each.id for each in book.pages}
    assert {"tables/boxes", "tables/matrix"} <= pages
    assert "tables/each-splice" not in pages
