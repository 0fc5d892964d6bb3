"""Adding as ``DEVELOPERS.md`` tells it: a computed table over a small reference table, and a section, in a copy."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from samples import REPOSITORY
from slackloop.source.codes import FOLDER

TABLE = {
    "site_data/pull_force.yml": """\
used_for: force on a cable
rows:
  - {id: copper, title: Most pull, value: 70, unit: N/mm2, source: Invented for this test, checked: read in a copy}
""",
    "generator/slackloop/compute/cable/pull_force.py": '''\
"""The force with which each cable may be pulled."""

from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Job


def most_pull_n(job: Job, tables: ReferenceTables) -> dict[str, float]:
    """Newtons for each cable, both cores sharing the pull."""
    per_mm2 = tables.constants["pull_force"].rows["copper"].value
    return {name: 2 * cable.conductor.area_mm2 * per_mm2 for name, cable in job.cables.items()}
''',
    "generator/slackloop/document/tables/pull_table.py": '''\
"""The force with which each cable may be pulled."""

from slackloop.compute.cable.pull_force import most_pull_n
from slackloop.document.context import Context
from slackloop.document.table import Column, Table, cell, number_cell, one_part


def pull_table(context: Context) -> Table:
    """One row a cable."""
    rows = [(cell(name), number_cell(force)) for name, force in most_pull_n(context.job, context.tables).items()]
    used = tuple(context.tables.constants["pull_force"].rows.values())
    columns = (Column("cable", "Cable"), Column("newtons", "Most pull, N", "number"))
    return Table("pull-force", "Most pull on each cable", columns, one_part(rows), ("computed",), used)
''',
}  # fmt: skip
REGISTERED = (
    ('    TableDefinition("cables", ',
     '    TableDefinition("pull-force", pull_table.pull_table, files=("pull-force",)),\n'),
    ("    reel_tables,", "    pull_table,\n"),
)
"""Lines of the registry, each with what is put before it."""
READ = """
import sys
sys.path[:0] = ["generator", "tests"]
from pathlib import Path
from book_samples import book_of, pages_of, rows_of, said_by
from slackloop.render.workbook.workbook import table_files
book = book_of(Path("site_data/jobs/heron-fold.yml"))
pages = pages_of(book)
"""


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the tree, with what Python has compiled of it: the times of files are copied too."""
    for name in ("generator", "site_data", "content", "tests"):
        shutil.copytree(REPOSITORY / name, tmp_path / name, ignore=shutil.ignore_patterns("expected"))
    return tmp_path


def python(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(folder / "generator")}
    return subprocess.run(
        [sys.executable, *words], cwd=folder, env=environment, capture_output=True, text=True, check=False
    )


def add(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        assert not (folder / name).exists()
        (folder / name).write_text(text, encoding="utf-8")


def register(folder: Path) -> None:
    path = folder / "generator/slackloop/document/tables/registry.py"
    text = path.read_text(encoding="utf-8")
    for line, before in REGISTERED:
        assert line in text
        text = text.replace(line, before + line, 1)
    path.write_text(text, encoding="utf-8")


def test_a_table_takes_four_files_and_its_test_and_a_section_one(copy: Path) -> None:
    """Page, source line, sources page and CSV follow from three new files and two lines of the registry.

    A section's page, its steps in the matrix and its requirements follow from its file alone.
    """
    add(copy, TABLE)
    register(copy)
    assert len(TABLE) + 1 + 1 <= 5
    add(copy, {"content/method/opening.md": (FOLDER / "sample_section.md").read_text(encoding="utf-8")})
    done = python(copy, "-c", READ + """
assert "Most pull on each cable" in pages["tables/pull-force"]
assert "Invented for this test" in said_by(book.tables["pull-force"])
sources = [row for row in rows_of(book.tables["sources"]) if "Invented for this test" in row[0]]
assert sources and "force on a cable" in sources[0][1].lower(), sources
files = table_files(book)
assert b"291" in files["schedules/pull-force.csv"], files["schedules/pull-force.csv"]
assert "Wipe the end." in pages["method/opening"]
assert any("R-OPEN-1" in cell for row in rows_of(book.tables["matrix"]) for cell in row)
""")  # fmt: skip
    assert done.returncode == 0, done.stderr


def test_a_table_that_is_not_registered_fails_a_test_that_says_so(copy: Path) -> None:
    add(copy, TABLE)
    test = "tests/document/test_registry.py::test_every_table_that_a_module_defines_is_registered"
    told = python(copy, "-m", "pytest", "-q", "-p", "no:cacheprovider", "--rootdir", ".", "--import-mode=importlib",
                  "-o", "pythonpath=generator tests", test)  # fmt: skip
    assert told.returncode == 1, told.stdout + told.stderr
    assert "pull_table.py defines pull_table, and registry.py does not name it: add a TableDefinition" in told.stdout


def test_a_reference_table_that_nothing_reads_is_refused(copy: Path) -> None:
    name = "site_data/pull_force.yml"
    add(copy, {name: TABLE[name].replace("used_for: force on a cable\n", "")})
    told = python(copy, "-c", READ)
    assert told.returncode == 1
    assert "pull_force.yml: nothing reads this file; write `used_for:`" in told.stderr


def test_files_that_the_guide_names_are_there() -> None:
    """Names in capitals, as ``NAME.yml``, stand for a file of the reader's own."""
    guide = (REPOSITORY / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = re.findall(r"`([\w./-]+\.(?:py|yml|md|js|typ|css))[:\d]*`", guide)
    own = [each for each in named if not re.search(r"[A-Z]{4}", each)]
    tops = (REPOSITORY / top for top in ("content", "generator", "site_data", "tests"))
    there = [f"/{path.as_posix()}" for top in tops for path in top.rglob("*.*")]
    assert len(own) > 20
    assert [each for each in own if not any(path.endswith(f"/{each}") for path in there)] == []
