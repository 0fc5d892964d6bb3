"""Cover against NFPA 70 Table 300.5, every cell that a path can fall in, written out here apart from the data file."""

from __future__ import annotations

import math

import pytest

from slackloop.compute.ground.cover import NO_FIGURE, least_cover
from slackloop.reference.code_basis import CoverTable
from slackloop.reference.tables import ReferenceTables, load_tables

# NFPA 70 Table 300.5: row id, then inches (mm) in columns 1, 3 and 5.
TABLE_300_5 = {
    "not-listed": [(24, 600), (18, 450), (6, 150)],
    "under-building": [(0, 0), (0, 0), (0, 0)],
    "roads": [(24, 600), (24, 600), (24, 600)],
    "dwelling-driveway": [(18, 450), (18, 450), (18, 450)],
}


@pytest.fixture(scope="module")
def tables() -> ReferenceTables:
    return load_tables()


@pytest.fixture(scope="module")
def cover(tables: ReferenceTables) -> CoverTable:
    table = tables.code_bases["us"].cover
    assert table is not None
    return table


@pytest.mark.parametrize("row_id", TABLE_300_5)
def test_table_300_5_cell_by_cell(cover: CoverTable, row_id: str) -> None:
    row = next(row for row in cover.rows if row.id == row_id)
    printed = [(row.cells[column].inches, row.cells[column].mm) for column in "135"]
    assert printed == TABLE_300_5[row_id]
    assert "300.5" in row.source


def test_table_300_5_has_no_other_rows(cover: CoverTable) -> None:
    assert {row.id for row in cover.rows} == set(TABLE_300_5)


@pytest.mark.parametrize(
    ("surface", "volts", "least_m", "binding"),
    [
        ("lawn", 24.0, 0.150, "binds"), ("lawn", 30.0, 0.150, "binds"), ("lawn", 30.1, 0.600, "open"),
        ("planting", 24.0, 0.150, "binds"), ("planting", 36.0, 0.600, "open"),
        ("path", 24.0, 0.150, "binds"), ("path", 36.0, 0.600, "open"),
        ("driveway", 24.0, 0.450, "binds"), ("driveway", 36.0, 0.450, "open"),
        ("drive", 24.0, 0.600, "binds"), ("drive", 36.0, 0.600, "open"),
        ("paved", 24.0, 0.150, "binds"), ("paved", 36.0, 0.600, "open"),
        ("gravel", 24.0, 0.150, "binds"), ("gravel", 36.0, 0.600, "open"),
        ("road", 24.0, 0.600, "binds"), ("road", 36.0, 0.600, "open"),
        ("building", 24.0, 0.0, "binds"), ("building", 36.0, 0.0, "open"),
    ],
)  # fmt: skip
def test_column_5_stops_at_30_volts(
    tables: ReferenceTables, surface: str, volts: float, least_m: float, binding: str
) -> None:
    """NFPA 70 Table 300.5 column 5 is for not over 30 V; above it column 1, and whether it binds is open."""
    least = least_cover(tables.code_bases["us"], surface, volts)
    assert least.min_m == pytest.approx(least_m, abs=1e-12)
    assert least.min_inches == round(least_m / 0.025)
    assert least.binding == binding
    assert least.row
    assert least.column.startswith("5" if volts <= 30 else "1")
    assert bool(least.question) == (binding == "open")


@pytest.mark.parametrize(
    ("surface", "volts", "column", "least_m", "otherwise_m"),
    [
        ("lawn", 30.0, "5", 0.150, 0.600), ("lawn", 36.0, "3", 0.450, 0.600), ("planting", 36.0, "3", 0.450, 0.600),
        ("driveway", 36.0, "3", 0.450, 0.450), ("drive", 36.0, "3", 0.600, 0.600), ("road", 36.0, "3", 0.600, 0.600),
        ("building", 36.0, "3", 0.0, 0.0),
    ],
)  # fmt: skip
def test_a_run_in_a_duct_is_read_in_the_column_for_nonmetallic_raceway(
    tables: ReferenceTables, surface: str, volts: float, column: str, least_m: float, otherwise_m: float
) -> None:
    """NFPA 70 Table 300.5 column 3 above 30 V, column 5 up to it; the duct may not be listed, so column 1 is told too.

    What the duct is made of is not known, so column 2 (metal conduit, 6 in) is never read.
    """
    least = least_cover(tables.code_bases["us"], surface, volts, "duct")
    assert (least.column[0], least.own_column) == (column, True)
    assert least.min_m == pytest.approx(least_m, abs=1e-12)
    assert least.otherwise_m == pytest.approx(otherwise_m, abs=1e-12)
    assert least.cable_question
    assert least.binding == ("binds" if volts <= 30 else "open")


@pytest.mark.parametrize("volts", [24.0, 36.0])
def test_a_cable_with_armour_has_no_column_and_is_read_as_direct_burial(tables: ReferenceTables, volts: float) -> None:
    """NFPA 70 Table 300.5 has a column for conduit and for raceway, none for armour."""
    bare, armoured = (least_cover(tables.code_bases["us"], "lawn", volts, laying) for laying in ("cable", "armour"))
    assert armoured.min_m == bare.min_m
    assert (bare.own_column, armoured.own_column) == (True, False)


@pytest.mark.parametrize("basis", ["uk", "general"])
def test_bs_7671_and_no_code_give_no_depth_figure(tables: ReferenceTables, basis: str) -> None:
    """BS 7671 522.8.10 asks for depth enough and gives no figure."""
    assert least_cover(tables.code_bases[basis], "lawn", 36.0) == NO_FIGURE
    assert tables.code_bases[basis].who_decides_cover


def test_29_cfr_1926_depths_and_distances(tables: ReferenceTables) -> None:
    """29 CFR 1926.651 and .652: way out 4 ft, spoil 2 ft, protection 5 ft, design 20 ft."""
    rows = {row.id: row for row in tables.code_bases["us"].excavation}
    assert (rows["way-out"].from_depth_ft, rows["way-out"].distance_ft) == (4, 25)
    assert rows["spoil"].distance_ft == 2
    assert rows["spoil"].from_depth_ft is None
    assert rows["support"].from_depth_ft == 5
    assert rows["design"].from_depth_ft == 20
    for row in rows.values():
        if row.from_depth_ft is not None:
            assert row.from_depth_m == pytest.approx(row.from_depth_ft * 0.3048, abs=0.005)
        if row.distance_ft is not None:
            assert row.distance_m == pytest.approx(row.distance_ft * 0.3048, abs=0.005)


def test_slopes_of_subpart_p_are_the_angles_of_their_ratios(tables: ReferenceTables) -> None:
    """29 CFR 1926 Subpart P App. B: H:V of 3/4, 1 and 1 1/2 to 1; the angle is that whose tangent is V/H."""
    (text,) = [row.text for row in tables.code_bases["us"].excavation if row.id == "slopes"]
    for ratio in (0.75, 1.0, 1.5):
        assert f"({math.degrees(math.atan(1 / ratio)):.0f}°)" in text


def test_no_power_tools_near_a_marked_cable(tables: ReferenceTables) -> None:
    """HSE HSG47: 0.5 m."""
    (row,) = [each for each in tables.code_bases["uk"].excavation if each.id == "hand-dig"]
    assert row.distance_m == 0.5


def test_frequency_of_the_public_supply(tables: ReferenceTables) -> None:
    """Electricity Safety, Quality and Continuity Regulations 2002 reg. 27: 50 Hz; ANSI C84.1: 60 Hz."""
    hertz = {name: basis.mains.hertz for name, basis in tables.code_bases.items() if basis.mains}
    assert hertz == {"us": 60, "uk": 50}


@pytest.mark.parametrize("basis", ["uk", "general"])
def test_cdm_2015_has_no_depth_trigger(tables: ReferenceTables, basis: str) -> None:
    """CDM 2015 reg. 22 and HSG150 set no depth; neither 5 ft nor 1.2 m may be printed as law."""
    code = tables.code_bases[basis]
    assert code.excavation
    assert all(row.least_depth_m is None for row in code.excavation)
    words = " ".join([row.text for row in code.excavation] + [clause.text for clause in code.clauses])
    assert "1.2 m" not in words
    assert "5 ft" not in words
