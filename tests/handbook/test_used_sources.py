"""The sources page lists what this handbook uses, and not what another one would."""

from __future__ import annotations

from pathlib import Path

import pytest

from book_samples import rows_of, table_in
from samples import chain, job_text


def used(folder: Path, old: str = "", new: str = "", **changes: str) -> dict[str, set[str]]:
    """What is rested on with the sources of each; what is not used is left out."""
    text = job_text(chain(3), **changes)
    assert old in text
    (folder / "job.yml").write_text(text.replace(old, new) if old else text, encoding="utf-8")
    found: dict[str, set[str]] = {}
    for source, uses, _, _ in rows_of(table_in(folder / "job.yml", "sources")):
        for use in uses.split(", "):
            found.setdefault(use, set()).add(source)
    return found


def counted(folder: Path, use: str, **changes: str) -> int:
    """How many rows of one list are used."""
    used(folder, **changes)
    table = table_in(folder / "job.yml", "sources")
    return sum(int(row[3]) for row in rows_of(table) if row[1] == use)


def test_colours_of_marks_are_a_source_where_the_basis_has_them(tmp_path: Path) -> None:
    assert "marks on the ground" in used(tmp_path, basis="us")
    assert "marks on the ground" not in used(tmp_path, basis="uk")


def test_resistivity_is_read_until_the_soil_is_measured(tmp_path: Path) -> None:
    measured = used(tmp_path)
    assert "groups of rods" in measured
    assert "soil resistivity" not in measured
    open_soil = used(tmp_path, "  soil_resistivity: 60 ohm m\n", "")
    assert "soil resistivity" in open_soil
    assert "groups of rods" not in open_soil


def test_only_the_rows_of_the_jobs_soil_and_surfaces_are_listed(tmp_path: Path) -> None:
    assert counted(tmp_path, "soil volumes", basis="us", soil="sand") == 1
    assert counted(tmp_path, "cover", basis="us") == 1
    assert "cover" not in used(tmp_path, basis="uk")


def test_the_basis_gives_the_frequency_where_the_job_does_not(tmp_path: Path) -> None:
    assert "frequency of the supply" in used(tmp_path, basis="uk")
    assert "frequency of the supply" not in used(tmp_path, "current: ac", "current: ac\n  frequency: 50 Hz", basis="uk")
    assert "frequency of the supply" not in used(tmp_path, "current: ac", "current: dc", basis="uk")


@pytest.mark.parametrize(("basis", "cited", "other"), [("uk", "CDM 2015", "NFPA 70"), ("us", "NFPA 70", "BS 7671")])
def test_clauses_are_those_that_are_cited(tmp_path: Path, basis: str, cited: str, other: str) -> None:
    sources = used(tmp_path, basis=basis)["clauses"]
    assert cited in sources
    assert other not in sources
