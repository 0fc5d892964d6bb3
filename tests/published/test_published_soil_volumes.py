"""Soil volumes against published worked examples."""

from __future__ import annotations

import math

import pytest

from slackloop.compute.ground.trench import bank_for_backfill_m3, loose_m3
from slackloop.reference.rows import SoilRow
from slackloop.reference.tables import ReferenceTables, load_tables


@pytest.fixture(scope="module")
def tables() -> ReferenceTables:
    return load_tables()


def soil(tables: ReferenceTables, name: str) -> SoilRow:
    row = tables.soils.find(name)
    assert row is not None
    return row


# US Army FM 5-434 Table 1-1: bank to loose, bank to compacted (sand read, the others from memory).
FM_5_434 = [
    ("sand", 1.11, 0.95), ("loam", 1.25, 0.90), ("common earth", 1.25, 0.90), ("clay", 1.43, 0.90),
    ("blasted rock", 1.50, 1.30), ("rock", 1.50, 1.30),
]  # fmt: skip


@pytest.mark.parametrize(("name", "loose", "compacted"), FM_5_434)
def test_fm_5_434_table_1_1(tables: ReferenceTables, name: str, loose: float, compacted: float) -> None:
    row = soil(tables, name)
    assert (row.bank_to_loose, row.bank_to_compacted) == (loose, compacted)


def test_us_navy_training_course_table_10_1_sand(tables: ReferenceTables) -> None:
    """US Navy training course Table 10-1: 100 in place of sand is 111 loose and 95 compacted."""
    sand = soil(tables, "sand")
    assert loose_m3(100.0, sand) == pytest.approx(111.0, abs=0.5)
    assert bank_for_backfill_m3(95.0, sand) == pytest.approx(100.0, abs=0.5)


def test_estimating_example_9_2_swell_and_truck_loads() -> None:
    """Estimating textbook Ex. 9-2 (title from memory): 1,000 bank yd3, 30 % swell: 1,300 loose, 186 loads of 7."""
    swells = SoilRow(
        name="30 % swell", bank_to_loose=1.30, bank_to_compacted=1.0, source="Ex. 9-2", checked="read in a copy"
    )
    loose = loose_m3(1000.0, swells)
    assert loose == pytest.approx(1300.0, abs=0.5)
    assert math.ceil(loose / 7.0) == 186
