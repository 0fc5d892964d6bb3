"""Quantities and conductor sizes against the definitions of their units and against published tables."""

from __future__ import annotations

import pytest

from slackloop.units.amount import parse_price
from slackloop.units.conductor_size import parse_conductor, parse_conductor_range
from slackloop.units.quantity import parse_int_range, parse_quantity, parse_range
from slackloop.units.unit_table import QuantityError


@pytest.mark.parametrize(
    ("text", "dimension", "inside", "unit"),
    [
        ("62 m", "length", 62.0, "m"),
        ("450 mm", "length", 0.45, "mm"),
        ("45 cm", "length", 0.45, "cm"),
        ("1.2 km", "length", 1200.0, "km"),
        ("5 ft", "length", 1.524, "ft"),
        ("1 yd", "length", 0.9144, "yd"),
        ("3/4 in", "length", 0.01905, "in"),
        ("1 1/2 in", "length", 0.0381, "in"),
        ("1-1/2 in", "length", 0.0381, "in"),
        ("1½ in", "length", 0.0381, "in"),
        ("5 ft 6 in", "length", 1.6764, "ft"),
        ("1.5 m (5 ft)", "length", 1.5, "m"),
        ("5 ft (1.5 m)", "length", 1.524, "ft"),
        ("20 mm (3/4 in)", "length", 0.02, "mm"),
        ("62m", "length", 62.0, "m"),
        ("36 V", "volts", 36.0, "V"),
        ("1.5 kV", "volts", 1500.0, "kV"),
        ("250 mV", "volts", 0.25, "mV"),
        ("0.6 mA", "current", 0.0006, "mA"),
        ("600 uA", "current", 0.0006, "uA"),
        ("600 µA", "current", 0.0006, "uA"),
        ("2.5 A", "current", 2.5, "A"),
        ("5 Mohm", "resistance", 5e6, "Mohm"),
        ("5 mohm", "resistance", 0.005, "mohm"),
        ("10 Ω", "resistance", 10.0, "ohm"),
        ("1 kΩ", "resistance", 1000.0, "kohm"),
        ("60 ohm m", "resistivity", 60.0, "ohm m"),
        ("6000 ohm cm", "resistivity", 60.0, "ohm cm"),
        ("4 degC", "temperature", 4.0, "degC"),
        ("-2 °C", "temperature", -2.0, "degC"),
        ("41 degF", "temperature", 5.0, "degF"),
        ("4 degC (39 degF)", "temperature", 4.0, "degC"),
        ("0 degC (32 °F)", "temperature", 0.0, "degC"),
        ("10 %", "percent", 0.10, "%"),
        ("2.1 mm2", "area", 2.1, "mm2"),
        ("2.1 mm²", "area", 2.1, "mm2"),
        ("60 Hz", "frequency", 60.0, "Hz"),
        ("1.5 uF", "capacitance", 1.5e-6, "uF"),
        ("1.5 µF", "capacitance", 1.5e-6, "uF"),
        ("60 nF/km", "capacitance of a cable", 60e-12, "nF/km"),
        ("60 pF/m", "capacitance of a cable", 60e-12, "pF/m"),
        ("18.288 pF/ft", "capacitance of a cable", 60e-12, "pF/ft"),
        ("18.288 nF/1000 ft", "capacitance of a cable", 60e-12, "nF/1000 ft"),
    ],
)
def test_read(text: str, dimension: str, inside: float, unit: str) -> None:
    """Inch, foot and yard by the international yard and pound agreement of 1959; Fahrenheit by its definition."""
    found = parse_quantity(text, dimension, zero_allowed=False)
    assert found.si == pytest.approx(inside, rel=1e-12, abs=1e-12)
    assert (found.text, found.unit, found.dimension) == (text, unit, dimension)


@pytest.mark.parametrize(
    ("text", "code", "hint"),
    [
        ("1,5 m", "comma-decimal", "write 1.5 m"),
        ("1,000 ft", "comma-decimal", "write 1000 ft, or 1.000 ft if that is meant"),
        ("5 ft (2.5 m)", "both-units-differ", "write 5 ft (1.524 m) or 2.5 m (8.202 ft)"),
        ("5 FT", "unit-unknown", "write 5 ft"),
        ("5'", "unit-unknown", "write 5 ft"),
        ('6"', "unit-unknown", "write 6 in"),
        ("14 AWG", "unit-wrong-kind", ""),
        ("62", "unit-missing", ""),
        ("m", "quantity-unreadable", ""),
        ("", "quantity-unreadable", ""),
        ("1e3 m", "unit-unknown", ""),
        ("1/0 m", "quantity-unreadable", ""),
        ("٣ m", "quantity-unreadable", ""),
        ("1.5 m (5 ft) (1 yd)", "quantity-unreadable", ""),
        ("1.5 m 5 ft", "unit-unknown", ""),
        ("9" * 90 + " m", "quantity-unreadable", ""),
        ("101 km", "quantity-too-large", ""),
        ("0 m", "not-positive", ""),
        ("−3 m", "not-positive", ""),
    ],
)
def test_refuse(text: str, code: str, hint: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, "length")
    assert caught.value.code == code, caught.value.message
    assert hint in caught.value.hint


@pytest.mark.parametrize(("text", "good"), [("100 m (95 m)", True), ("100 m (94.9 m)", False), ("10 m (33 ft)", True)])
def test_five_per_cent_is_the_limit(text: str, good: bool) -> None:
    if good:
        assert parse_quantity(text, "length").si == pytest.approx(float(text.split()[0]))
    else:
        with pytest.raises(QuantityError, match=r"not 94\.9 m"):
            parse_quantity(text, "length")


@pytest.mark.parametrize(
    ("gauge", "printed_mm2"),
    [(20, 0.518), (18, 0.823), (16, 1.31), (14, 2.08), (12, 3.31), (10, 5.26), (8, 8.37), (6, 13.3)],
)
def test_awg_areas_of_astm_b258(gauge: int, printed_mm2: float) -> None:
    """Printed areas of ASTM B258 sizes; half the last printed digit."""
    digits = len(str(printed_mm2).split(".")[1])
    assert parse_conductor(f"{gauge} AWG").area_mm2 == pytest.approx(printed_mm2, abs=0.5 * 10**-digits)


def test_conductor_labels() -> None:
    size = parse_conductor("2.5 mm²")
    assert (size.label, size.system, size.number, size.area_mm2) == ("2.5 mm2", "mm2", 2.5, 2.5)
    assert parse_conductor("0 AWG").number == 0
    assert parse_conductor("13 AWG").label == "13 AWG"
    assert parse_conductor("14AWG").label == "14 AWG"


@pytest.mark.parametrize("text", ["25 AWG", "14.5 AWG", "3 mm2", "-14 AWG", "AWG", "14 m", "#14", "1/0 AWG"])
def test_conductor_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_conductor(text)


def test_ranges() -> None:
    temperatures = parse_range("39 degF to 82 degF", "temperature")
    assert temperatures.low.si == pytest.approx(35 / 9)
    both = parse_range("4 degC to 28 degC (39 degF to 82 degF)", "temperature")
    assert (both.low.si, both.high.si) == (4.0, 28.0)
    sizes = parse_conductor_range("18 AWG to 2.5 mm2")
    assert (sizes.smallest.label, sizes.largest.label) == ("18 AWG", "2.5 mm2")
    assert (parse_int_range("2 to 5").low, parse_int_range("2 to 5").high) == (2, 5)
    assert parse_range("0 mm2 to 14 mm2", "area").low.si == 0


@pytest.mark.parametrize(
    ("text", "per_m"), [("0.62 /m", 0.62), ("0.62/m", 0.62), ("0.3048 /ft", 1.0), ("2 /metre", 2.0)]
)
def test_a_price_is_for_a_metre_or_a_foot(text: str, per_m: float) -> None:
    assert parse_price(text).per_m == pytest.approx(per_m, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "hint"),
    [("$0.62 /m", "write 0.62 /m"), ("0,62 /m", "a decimal takes a point"), ("0.62", "write 0.62 /m"),
     ("0.19 per foot", "write 0.19 /ft"), ("cheap", "")],
)  # fmt: skip
def test_what_is_no_price_is_refused_with_the_mend(text: str, hint: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_price(text)
    assert hint in refused.value.hint
