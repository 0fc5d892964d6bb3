"""Figures as text: as the job wrote them, in both systems, and never on the wrong side of what they are."""

from __future__ import annotations

import random
import re
from fractions import Fraction

import pytest

from shared import short
from slackloop.units import figure as fig
from slackloop.units.ladder import Kind, Rounding, System
from slackloop.units.quantity import parse_quantity

VALUES = (1_000, 10_000)
SEED = 20_260_302
LOST_IN_BINARY = Fraction(1, 10**9)
DIRECTIONS: tuple[Rounding, ...] = ("least", "most", "cut", "lowest", "highest")
RANGES: dict[Kind, tuple[float, float]] = {
    "length": (1e-4, 5e4),
    "run": (1e-2, 5e4),
    "volts": (1e-1, 60.0),
    "current": (1e-5, 20.0),
    "resistance": (1e-2, 1e9),
    "resistivity": (1.0, 1e4),
    "temperature": (-30.0, 60.0),
    "volume": (1e-2, 1e5),
    "area": (1e-1, 100.0),
    "mass": (1.0, 1e5),
    "percent": (1e-4, 1.0),
}
DIMENSIONS = {"run": "length"}
EXACT = {
    "mm": "1/1000", "m": "1", "in": "254/10000", "ft": "3048/10000", "V": "1", "mA": "1/1000", "A": "1",
    "Ω": "1", "kΩ": "1000", "MΩ": "1000000", "Ω·m": "1", "m³": "1", "yd³": "764554857984/1000000000000",
    "mm²": "1", "kg": "1", "lb": "45359237/100000000", "%": "1/100",
}  # fmt: skip
"""NIST SP 811, Appendix B: exact by the international yard and pound agreement of 1959."""


def by_hand(text: str) -> Fraction:
    """What a printed text says, without the program's own reader."""
    total = Fraction(0)
    for number, unit in re.findall(r"(-?[0-9./ ]*[0-9]) ([^ 0-9]+)", text):
        value = sum((Fraction(part) for part in number.split()), Fraction(0))
        if unit in ("°C", "°F"):
            return value if unit == "°C" else (value - 32) * 5 / 9
        total += value * Fraction(EXACT[unit])
    return total


def drawn(numbers: random.Random, kind: Kind) -> float:
    """A value of a kind: any size, a step of a tape, or a sum that binary fractions spoil."""
    low, high = RANGES[kind]
    if low < 0:
        return numbers.uniform(low, high)
    value = float(low * (high / low) ** numbers.random())
    choice = numbers.randrange(4)
    if choice == 0:
        return round(value, 3) or low
    if choice == 1 and kind in ("length", "run"):
        return numbers.randrange(1, 4000) * 0.0254 / 16
    if choice == 2:
        return sum([round(value, 2) / 10] * 10) or low
    return value


def parts(text: str) -> list[str]:
    return [part.strip(" )") for part in text.split("(")]


@pytest.mark.parametrize("values", short(VALUES, 1_000))
@pytest.mark.parametrize("kind", RANGES)
def test_a_least_never_prints_smaller_and_a_most_never_larger(kind: Kind, values: int) -> None:
    numbers = random.Random(f"{SEED} {kind}")
    for _ in range(values):
        value, direction = drawn(numbers, kind), numbers.choice(DIRECTIONS)
        digits = numbers.choice((None, None, 2, 3))
        units: System = numbers.choice(("metric", "us"))
        text = fig.Figure(value, kind, direction, digits).text(units)
        read = [by_hand(part) for part in parts(text)]
        if kind != "mass":
            dimension = DIMENSIONS.get(kind, kind)
            read += [Fraction(parse_quantity(part, dimension, True).si) for part in parts(text)]
        allowed = LOST_IN_BINARY * abs(Fraction(value)) + (LOST_IN_BINARY * 32 if kind == "temperature" else 0)
        for found in read:
            if direction in ("least", "cut", "highest"):
                assert found >= Fraction(value) - allowed, (value, direction, text)
            else:
                assert found <= Fraction(value) + allowed, (value, direction, text)


@pytest.mark.parametrize("kind", RANGES)
def test_no_text_is_further_off_than_its_step(kind: Kind) -> None:
    """What keeps the test above from being met by figures that are safe and useless."""
    numbers = random.Random(f"{SEED} {kind} step")
    for _ in range(500):
        value, direction = drawn(numbers, kind), numbers.choice(DIRECTIONS)
        for part in parts(fig.Figure(value, kind, direction).text("us")):
            off = abs(by_hand(part) - Fraction(value))
            least = {"length": 0.0016, "run": 0.31, "volume": 0.1, "percent": 0.0001, "resistance": 0.01,
                     "current": 0.0001, "mass": 1.0, "temperature": 1.0}.get(kind, 0.1)  # fmt: skip
            assert off <= max(least, 0.11 * abs(value)), (value, part)
            nearest = fig.Figure(value, kind, "nearest").text("us")
            assert abs(by_hand(parts(nearest)[0]) - Fraction(value)) <= abs(by_hand(parts(
                fig.Figure(value, kind, direction).text("us"))[0]) - Fraction(value)) + LOST_IN_BINARY  # fmt: skip


@pytest.mark.parametrize(
    ("metres", "metric", "us"),
    [
        (0.02, "20 mm", "13/16 in"),
        (0.01905, "19.1 mm", "3/4 in"),
        (0.45, "450 mm", "18 in"),
        (0.6, "600 mm", "24 in"),
        (0.9144, "915 mm", "3 ft"),
        (0.075, "75 mm", "3 in"),
        (1.5, "1.5 m", "4 ft 11 1/2 in"),
        (2.4, "2.4 m", "7 ft 10 1/2 in"),
        (3.048, "3.05 m", "10 ft"),
        (48.0, "48 m", "158 ft"),
        (0.9999, "1 m", "3 ft 3 1/2 in"),
        (0.0, "0 mm", "0 in"),
    ],
)
def test_a_least_length_in_both_systems(metres: float, metric: str, us: str) -> None:
    assert fig.length(metres, "least").text("metric") == f"{metric} ({us})"
    assert fig.length(metres, "least").text("us") == f"{us} ({metric})"
    assert fig.length(metres, "least").brief("metric") == metric
    assert fig.length(metres, "least").brief("us") == f"{us} ({metric})"


@pytest.mark.parametrize(
    ("text", "rounding", "metric", "us"),
    [
        ("1.5 m (5 ft)", "cut", "1.5 m (5 ft)", "1.5 m (5 ft)"),
        ("450 mm", "least", "450 mm (18 in)", "18 in (450 mm)"),
        ("450 mm", "most", "450 mm (17 1/2 in)", "17 1/2 in (450 mm)"),
        ("18 in", "least", "458 mm (18 in)", "18 in (458 mm)"),
        ("18 in", "most", "457 mm (18 in)", "18 in (457 mm)"),
        ("62.00 m", "cut", "62.00 m (204 ft)", "204 ft (62.00 m)"),
        ("3/4 in", "nearest", "19.1 mm (3/4 in)", "3/4 in (19.1 mm)"),
    ],
)
def test_a_stated_length_keeps_its_own_words(text: str, rounding: Rounding, metric: str, us: str) -> None:
    told = fig.stated(parse_quantity(text, "length"), rounding)
    assert told.text("metric") == metric
    assert told.text("us") == us


def test_figures_carry_no_more_digits_than_they_have_earned() -> None:
    assert fig.ohms(36.42, "highest", 2).text("metric") == "37 Ω"
    assert fig.ohms(3.642, "highest", 2).text("metric") == "3.7 Ω"
    assert fig.ohms(99.6, "highest", 2).text("metric") == "100 Ω"
    assert fig.ohms(364.2, "highest", 2).text("metric") == "370 Ω"
    assert fig.volume(1234.5, "cut").text("metric") == "1240 m³ (1620 yd³)"
    assert fig.volume(1.0, "cut").text("metric") == "1.0 m³ (1.4 yd³)"


def test_other_kinds() -> None:
    assert fig.temperature(4, "lowest").text("metric") == "4 °C (39 °F)"
    assert fig.temperature(28, "highest").text("us") == "83 °F (28 °C)"
    assert fig.volts(21.97, "lowest").text("us") == "21.9 V"
    assert fig.volts(22.0, "lowest").text("us") == "22.0 V"
    assert fig.volts(-3.0, "lowest").text("us") == "no volts"
    assert fig.amps(0.0148, "highest").text("us") == "14.8 mA"
    assert fig.amps(2.503, "highest").text("us") == "2.51 A"
    assert fig.ohms(10e6, "least").text("metric") == "10 MΩ"
    assert fig.ohms(2.249, "nearest").text("metric") == "2.25 Ω"
    assert fig.written("60 ohm m") == "60 Ω·m"
    assert fig.written("2.5 mm2") == "2.5 mm²"
