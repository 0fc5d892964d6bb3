"""Every unit that a job may write, against pint and scipy.constants: general-purpose libraries of units."""

from __future__ import annotations

import math
from importlib import import_module
from typing import Any

import pytest
import scipy.constants

from slackloop.units import unit_table
from slackloop.units.conductor_size import awg_area_mm2, awg_diameter_mm, parse_conductor
from slackloop.units.unit_table import DIMENSIONS, UNITS, QuantityError

WRITTEN = {
    "in": "inch", "ft": "foot", "yd": "yard", "m3": "meter**3", "yd3": "yard**3", "ft3": "foot**3", "mm2": "mm**2",
    "uA": "microampere", "kohm": "kiloohm", "Mohm": "megaohm", "Gohm": "gigaohm", "ohm m": "ohm*meter",
    "ohm cm": "ohm*centimeter", "ohm ft": "ohm*foot", "%": "percent", "uF": "microfarad", "uF/km": "microfarad/km",
    "nF/1000 ft": "nanofarad/(1000*foot)",
}  # fmt: skip
INSIDE = {
    "length": "m", "volts": "V", "current": "A", "resistance": "ohm", "resistivity": "ohm*m", "percent": "",
    "volume": "m**3", "frequency": "Hz", "capacitance": "F", "capacitance of a cable": "F/m", "area": "mm**2",
}  # fmt: skip


@pytest.fixture(scope="module")
def pint() -> Any:
    """The units of pint; loaded here, because it takes a second that the other files need not pay."""
    return import_module("pint").UnitRegistry()


@pytest.mark.parametrize("name", sorted({unit.name for unit in UNITS.values() if unit.dimension != "temperature"}))
def test_a_unit_is_what_pint_says(name: str, pint: Any) -> None:
    unit = next(each for each in UNITS.values() if each.name == name)
    said = pint.Quantity(WRITTEN.get(name, name)).to(INSIDE[unit.dimension]).magnitude
    assert float(unit.factor) == pytest.approx(said, rel=1e-12)


@pytest.mark.parametrize("celsius", [-40.0, 0.0, 20.0, 75.0])
def test_fahrenheit_is_what_scipy_says(celsius: float) -> None:
    unit = UNITS["degF"]
    fahrenheit = float(scipy.constants.convert_temperature(celsius, "C", "F"))
    assert fahrenheit * float(unit.factor) + float(unit.offset) == pytest.approx(celsius, abs=1e-12)


def test_lengths_and_volumes_that_code_converts_by() -> None:
    assert pytest.approx(scipy.constants.inch, rel=1e-15) == unit_table.METRES_PER_INCH
    assert pytest.approx(scipy.constants.foot, rel=1e-15) == unit_table.METRES_PER_FOOT
    assert pytest.approx(scipy.constants.yard**3, rel=1e-15) == unit_table.CUBIC_METRES_PER_CUBIC_YARD


def test_every_dimension_is_compared() -> None:
    assert {unit.dimension for unit in UNITS.values()} == {*INSIDE, "temperature"} == set(DIMENSIONS)


@pytest.mark.parametrize("gauge", [6, 10, 12, 14, 16, 18, 20, 22, 24])
def test_areas_are_round_and_follow_the_diameter(gauge: int) -> None:
    """ASTM B258: 36 AWG is 0.005 in, 4/0 is 0.46 in, and sizes between are in geometric progression."""
    inches = 0.005 * (0.46 / 0.005) ** ((36 - gauge) / 39)
    assert awg_diameter_mm(gauge) == pytest.approx(inches * scipy.constants.inch * 1000.0, rel=1e-12)
    assert awg_area_mm2(gauge) == pytest.approx(math.pi * (inches * scipy.constants.inch * 500.0) ** 2, rel=1e-12)


@pytest.mark.parametrize(
    ("mm2", "agrees"), [(2.0, True), (1.9775, True), (1.9763, False), (2.1895, True), (2.191, False)]
)
def test_two_sizes_agree_within_five_percent(mm2: float, agrees: bool) -> None:
    """The job format asks for 5 % of the larger; 14 AWG is 2.0809 mm2, so 1.9768 to 2.1904 mm2 agree."""
    text = f"14 AWG ({mm2} mm2)"
    if agrees:
        assert parse_conductor(text).label == "14 AWG"
    else:
        with pytest.raises(QuantityError):
            parse_conductor(text)
