"""What a crew reads of the ground: what the depth sets off, volumes by soil, and how to measure a soil not known."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from book_samples import rows_of, said_by
from samples import chain, job_text
from slackloop.compute.ground.electrodes import resistivity_for_rod, rod_ohms, wenner_ohm_m
from slackloop.compute.ground.trench import triggers
from slackloop.document.context import Context
from slackloop.document.table import Table
from slackloop.document.tables.registry import page_tables, table_of
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of

OSHA_FT = {"way-out": 4.0, "support": 5.0, "design": 20.0}
"""29 CFR 1926.651(c) and 1926.652: the depths from which each rule holds."""


def context(
    folder: Path, *, cover: str = "450 mm", basis: str = "us", soil: str = "sand", known: bool = True
) -> Context:
    text = re.sub(r"cover: [^\n]*", f"cover: {cover}", job_text(chain(5), basis=basis, soil=soil), count=1)
    path = folder / "job.yml"
    path.write_text(text if known else re.sub(r"  soil_resistivity:[^\n]*\n", "", text), encoding="utf-8")
    return context_of(work(path))


def table(made: Context, name: str) -> Table:
    found = table_of(made, name)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("cover", "set_off"),
    [("450 mm", set()), ("1.3 m", {"way-out"}), ("1.6 m", {"way-out", "support"}), ("6.2 m", set(OSHA_FT))],
)
def test_depth_sets_off_what_osha_prints(cover: str, set_off: set[str], tmp_path: Path) -> None:
    made = context(tmp_path, cover=cover)
    deepest_ft = made.analysis.trench.deepest_m / 0.3048
    assert {name for name, feet in OSHA_FT.items() if deepest_ft >= feet} == set_off
    answers = {each.row.id: each.set_off for each in triggers(made.analysis.trench, made.basis)}
    assert {name for name in OSHA_FT if answers[name]} == set_off
    shown = {row[0]: row for row in rows_of(table(made, "trench-triggers"))}
    assert shown["A way out"][1] == "1.22 m (4 ft)"
    assert shown["A way out"][2].startswith("yes") is ("way-out" in set_off)
    assert shown["A way out"][4] == "7.62 m (25 ft)"
    assert shown["A way out"][5] == "29 CFR 1926.651(c)"


@pytest.mark.parametrize("basis", ["uk", "general"])
def test_where_law_gives_no_depth_none_is_printed(basis: str, tmp_path: Path) -> None:
    """CDM 2015 reg. 22 and HSG150 have no depth trigger; a basis without law has none either."""
    shown = table(context(tmp_path, cover="1.6 m", basis=basis), "trench-triggers")
    assert {row[1] for row in rows_of(shown)} == {"any depth"}
    assert not re.search(r"1\.2\d? m|1\.52|\b[45] ft", " ".join(" ".join(row) for row in rows_of(shown)))
    assert "No depth is printed" in said_by(shown)
    assert all(row[5] for row in rows_of(shown))
    assert {row.source for row in shown.rows_used} == {row[5] for row in rows_of(shown)}


@pytest.mark.parametrize(("soil", "loose", "compacted"), [("sand", "1.11", "0.95"), ("clay", "1.43", "0.90")])
def test_trench_table_names_the_published_factors(soil: str, loose: str, compacted: str, tmp_path: Path) -> None:
    """US Army FM 5-434 Table 1-1."""
    shown = table(context(tmp_path, soil=soil), "volumes")
    assert f"1 m³ in the ground is {loose} m³ dug out and {compacted} m³ compacted" in said_by(shown)
    assert "Source: US Army FM 5-434" in said_by(shown)


def test_bedding_backfill_and_pipe_fill_the_trench(tmp_path: Path) -> None:
    made = context(tmp_path)
    pipe = made.job.trench.shared_with_pipe
    hole_m2 = math.pi / 4 * pipe.si**2 if pipe is not None else 0.0
    for run in made.analysis.trench.runs:
        assert run.bedding_m3 + run.backfill_m3 + hole_m2 * run.length_m == pytest.approx(run.dug_m3)


def test_soil_not_known_is_measured_first(tmp_path: Path) -> None:
    """Each printed factor is Wenner's 2πa, and the resistivity that lets one rod do gives its target by Dwight."""
    made = context(tmp_path, known=False)
    rules = made.job.rules.earthing
    rows = rows_of(table(made, "soil-test"))
    factors = [float(found[1]) for row in rows if (found := re.search(r"is ([\d.]+) × the reading", row[1]))]
    spacings = [share * rules.rod.length.si for share in (0.5, 1, 2)]
    exact = [wenner_ohm_m(spacing, 1.0) for spacing in spacings]
    assert factors == pytest.approx(exact, abs=0.01)
    assert all(factor >= wenner for factor, wenner in zip(factors, exact, strict=True))
    enough = resistivity_for_rod(rules.target.si, rules.rod.length.si, rules.rod.diameter.si)
    assert rod_ohms(enough, rules.rod.length.si, rules.rod.diameter.si) == pytest.approx(rules.target.si)
    told = {found[1] for row in rows[1:4] if (found := re.search(r"gives (\d+) Ω·m or less", row[1]))}
    assert len(told) == 1
    assert enough * 0.9 < float(told.pop()) <= enough
    assert any("rod length apart" in row[1] for row in rows)
    assert "soil-test" not in {each.id for each, _ in page_tables(context(tmp_path))}
