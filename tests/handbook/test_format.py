"""Figures of pages; what a figure comes to in text is tried in ``tests/units``."""

from __future__ import annotations

from slackloop.sections import format as fmt
from slackloop.sections.text import Measure


def test_figures_of_pages() -> None:
    assert isinstance(fmt.length(0.45, "metric", "least"), Measure)
    assert fmt.volts(None, "lowest") == "no reliable volts"
    assert fmt.amps(None, "highest") == "cannot be calculated"
    assert fmt.listing(["a", "b", "c"]) == "a, b and c"


def test_worst_volts_are_cut_so_that_a_shortfall_never_shows_as_enough() -> None:
    assert fmt.lowest_volts(21.97) == "21.9 V"
    assert fmt.lowest_volts(22.0) == "22.0 V"
    assert "none" in fmt.lowest_volts(-3.0)


def test_both_figures_of_a_source_stand_as_it_prints_them() -> None:
    assert fmt.printed("metric", "least", metres=0.45, inch=18.0) == "450 mm (18 in)"
    assert fmt.printed("us", "least", metres=0.45, inch=18.0) == "18 in (450 mm)"
    assert fmt.printed("metric", "most", metres=1.52, feet=5.0) == "1.52 m (5 ft)"
    assert fmt.printed("us", "most", metres=1.2) == "3 ft 11 in (1.2 m)"
    assert fmt.printed("metric", "least", feet=2.0) == "610 mm (2 ft)"
