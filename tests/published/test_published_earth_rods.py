"""Earth rods against published figures."""

from __future__ import annotations

import math

import pytest

from slackloop.compute.ground.electrodes import (
    ElectrodeAnswer,
    group_factor,
    group_ohms,
    resistivity_for_rod,
    rod_ohms,
    rods_for_target,
    wenner_ohm_m,
)
from slackloop.reference.tables import ReferenceTables, load_tables

FT, IN = 0.3048, 0.0254


@pytest.fixture(scope="module")
def tables() -> ReferenceTables:
    return load_tables()


def test_dwight_8_ft_rod_takes_the_radius() -> None:
    """IEEE Std 142 (Dwight): 8 ft x 5/8 in in 100 ohm m is 39.9 ohm; the diameter in its place would give 35."""
    right = rod_ohms(100.0, 8 * FT, 5 / 8 * IN)
    assert right == pytest.approx(39.9, abs=0.05)
    trap = rod_ohms(100.0, 8 * FT, 2 * 5 / 8 * IN)
    assert trap == pytest.approx(35.0, abs=0.5)
    assert right - trap > 4
    told = ElectrodeAnswer((), right, None, ()).one_rod
    assert told is not None
    assert told.text("metric") == "40 Ω", "told to two digits, and never as less than it is"


def test_the_soil_for_a_rod_is_the_other_way_round() -> None:
    """The same published rod: 39.9 ohm is reached in 100 ohm m; half the last digit is an eighth of a percent."""
    assert resistivity_for_rod(39.9, 8 * FT, 5 / 8 * IN) == pytest.approx(100.0, rel=0.05 / 39.9)


def test_mil_hdbk_419a_10_ft_rod() -> None:
    """MIL-HDBK-419A vol. II 1.2.2.2: 10,000 ohm cm, 10 ft x 3/4 in: 32 ohm."""
    assert rod_ohms(10_000 / 100.0, 10 * FT, 3 / 4 * IN) == pytest.approx(32.0, abs=0.5)


# IEEE Std 142 Table 14: rods, factor.
IEEE_142 = [(2, 1.16), (3, 1.29), (4, 1.36), (8, 1.68), (12, 1.80), (16, 1.92), (20, 2.00), (24, 2.16)]


@pytest.mark.parametrize(("rods", "factor"), IEEE_142)
def test_ieee_142_group_factors(tables: ReferenceTables, rods: int, factor: float) -> None:
    assert group_factor(rods, tables.rod_groups) == factor
    assert group_ohms(rods, 100.0, tables.rod_groups) == pytest.approx(factor * 100.0 / rods)


def test_ieee_142_between_rows_and_beyond(tables: ReferenceTables) -> None:
    assert group_factor(1, tables.rod_groups) == 1.0
    assert group_factor(6, tables.rod_groups) == pytest.approx((1.36 + 1.68) / 2)
    assert group_factor(25, tables.rod_groups) is None
    with pytest.raises(ValueError, match="at least one rod"):
        group_factor(0, tables.rod_groups)


def test_rods_for_a_target_by_hand(tables: ReferenceTables) -> None:
    """IEEE Std 142 by hand: 24.23 ohm alone; 3 rods 1.29 x 24.23/3 = 10.4, 4 rods 1.36 x 24.23/4 = 8.2."""
    assert rods_for_target(24.23, 10.0, tables.rod_groups) == 4
    assert rods_for_target(24.23, 10.42, tables.rod_groups) == 3
    assert rods_for_target(9.9, 10.0, tables.rod_groups) == 1
    assert rods_for_target(100.0, 2.16 * 100 / 24, tables.rod_groups) == 24
    assert rods_for_target(100.0, 8.9, tables.rod_groups) is None


def test_more_rods_never_read_higher(tables: ReferenceTables) -> None:
    """Between the rows of IEEE Std 142 the straight line keeps a group of more rods at least as good."""
    ohms = [group_ohms(n, 1.0, tables.rod_groups) for n in range(1, 25)]
    values = [value for value in ohms if value is not None]
    assert len(values) == 24
    assert values == sorted(values, reverse=True)


def test_wenner_by_hand() -> None:
    """Wenner: rho = 2 pi a R; pins 3 m apart reading 5 ohm: 94.2 ohm m."""
    assert wenner_ohm_m(3.0, 5.0) == pytest.approx(94.2, abs=0.05)
    assert wenner_ohm_m(1.0, 1.0) == pytest.approx(2 * math.pi)


# US Bureau of Standards Report 108, ohm cm: mean, least, most.
REPORT_108 = [(2370, 590, 7000), (4060, 340, 16300), (15800, 1020, 135000), (94000, 59000, 458000)]


def test_bureau_of_standards_report_108(tables: ReferenceTables) -> None:
    rows = [(row.mean_ohm_cm, row.least_ohm_cm, row.most_ohm_cm) for row in tables.resistivity]
    assert rows == REPORT_108
    # The source's own words: what stands before the qualifier alone is another soil.
    words = ("ashes, cinders, brine wastes", "gumbo, loam", "varying proportions of sand and gravel",
             "little clay or loam")  # fmt: skip
    assert all(word in row.soil for row, word in zip(tables.resistivity, words, strict=True))
