"""The sources page lists what this handbook uses, and not what another one would."""

from __future__ import annotations

from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.used_sources import used_rows


def used(folder: Path, old: str = "", new: str = "", **changes: str) -> dict[str, list[str]]:
    """Titles of use with the sources under each; uses without rows are left out."""
    text = job_text(chain(3), **changes)
    assert old in text
    (folder / "job.yml").write_text(text.replace(old, new) if old else text, encoding="utf-8")
    rows = used_rows(book_from_job(folder / "job.yml").context)
    return {use: [row.source for row in found] for use, found in rows.items() if list(found)}


def test_colours_of_marks_are_a_source_where_the_basis_has_them(tmp_path: Path) -> None:
    assert "Marks on the ground" in used(tmp_path, basis="us")
    assert "Marks on the ground" not in used(tmp_path, basis="uk")


def test_resistivity_is_read_until_the_soil_is_measured(tmp_path: Path) -> None:
    measured = used(tmp_path)
    assert "Groups of rods" in measured
    assert "Soil resistivity" not in measured
    open_soil = used(tmp_path, "  soil_resistivity: 60 ohm m\n", "")
    assert "Soil resistivity" in open_soil
    assert "Groups of rods" not in open_soil


def test_only_the_rows_of_the_jobs_soil_and_surfaces_are_listed(tmp_path: Path) -> None:
    found = used(tmp_path, basis="us")
    assert len(found["Soil volumes"]) == 2
    assert len(found["Cover"]) == 1
    assert "Cover" not in used(tmp_path, basis="uk")


def test_the_basis_gives_the_frequency_where_the_job_does_not(tmp_path: Path) -> None:
    assert "Frequency of the supply" in used(tmp_path, basis="uk")
    assert "Frequency of the supply" not in used(tmp_path, "current: ac", "current: ac\n  frequency: 50 Hz", basis="uk")
    assert "Frequency of the supply" not in used(tmp_path, "current: ac", "current: dc", basis="uk")


@pytest.mark.parametrize(("basis", "cited", "other"), [("uk", "CDM 2015", "NFPA 70"), ("us", "NFPA 70", "BS 7671")])
def test_clauses_are_those_that_are_cited(tmp_path: Path, basis: str, cited: str, other: str) -> None:
    sources = used(tmp_path, basis=basis)["Clauses"]
    assert cited in sources
    assert other not in sources
