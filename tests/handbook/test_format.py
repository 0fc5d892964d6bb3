"""Figures as text; exact factors: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 yd = 0.9144 m (NIST SP 811, Appendix B)."""

from __future__ import annotations

import pytest

from slackloop.sections import format as fmt
from slackloop.units.quantity import parse_quantity


@pytest.mark.parametrize(
    ("metres", "metric", "us"),
    [
        (0.02, "20 mm", "13/16 in"),
        (0.01905, "19.1 mm", "3/4 in"),
        (0.45, "450 mm", "17 3/4 in"),
        (0.9144, "914 mm", "3 ft"),
        (0.075, "75 mm", "3 in"),
        (0.9, "900 mm", "35 1/2 in"),
        (1.5, "1.5 m", "4 ft 11 in"),
        (2.4, "2.4 m", "7 ft 10 1/2 in"),
        (3.048, "3.05 m", "10 ft"),
        (62.0, "62 m", "203 ft"),
        (0.0, "0 mm", "0 in"),
    ],
)
def test_lengths_in_both_systems(metres: float, metric: str, us: str) -> None:
    assert fmt.length(metres, "metric") == f"{metric} ({us})"
    assert fmt.length(metres, "us") == f"{us} ({metric})"


@pytest.mark.parametrize(
    ("text", "metric", "us"),
    [
        ("1.5 m (5 ft)", "1.5 m (5 ft)", "1.5 m (5 ft)"),
        ("450 mm", "450 mm (17 3/4 in)", "17 3/4 in (450 mm)"),
        ("18 in", "457 mm (18 in)", "18 in (457 mm)"),
        ("3/4 in", "19.1 mm (3/4 in)", "3/4 in (19.1 mm)"),
    ],
)
def test_a_stated_length_keeps_its_own_words(text: str, metric: str, us: str) -> None:
    quantity = parse_quantity(text, "length")
    assert fmt.stated_length(quantity, "metric") == metric
    assert fmt.stated_length(quantity, "us") == us


def test_other_figures() -> None:
    assert fmt.temperature(4, "metric") == "4 °C (39 °F)"
    assert fmt.temperature(28, "us") == "82 °F (28 °C)"
    assert fmt.volume(1.0, "metric") == "1.0 m³ (1.3 yd³)"
    assert fmt.ohms(2.249) == "2.25 Ω"
    assert fmt.ohms(10e6) == "10 MΩ"
    assert fmt.volts(27.64) == "27.6 V"
    assert fmt.volts(None) == "no reliable volts"
    assert fmt.amps(0.0148) == "14.8 mA"
    assert fmt.amps(1.234) == "1.23 A"
    assert fmt.written("10 Mohm") == "10 MΩ"
    assert fmt.written("2.5 mm2") == "2.5 mm²"
    assert fmt.written("60 ohm m") == "60 Ω·m"
    assert fmt.listing(["a", "b", "c"]) == "a, b and c"


def test_worst_volts_are_cut_so_that_a_shortfall_never_shows_as_enough() -> None:
    assert fmt.lowest_volts(21.97) == "21.9 V"
    assert fmt.lowest_volts(22.0) == "22.0 V"
    assert "none" in fmt.lowest_volts(-3.0)
