"""Shapes of signs, scale bars and labels in a column."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.document.drawings.label_placement import spread
from slackloop.document.drawings.symbols import both_units, round_length_m


@pytest.mark.parametrize(("most", "length"), [(1.0, 1.0), (0.99, 0.5), (0.21, 0.2), (73.0, 50.0), (0.00012, 0.0001)])
def test_scale_bars_have_round_lengths(most: float, length: float) -> None:
    assert round_length_m(most) == pytest.approx(length)


@pytest.mark.parametrize(
    ("metres", "words"), [(0.1, "100 mm (3.9 in)"), (2.0, "2 m (6.6 ft)"), (50.0, "50 m (164 ft)")]
)
def test_scale_bars_state_both_systems_by_the_exact_foot(metres: float, words: str) -> None:
    """1 ft = 0.3048 m exactly (international foot of 1959)."""
    assert both_units(metres) == words


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0, 300), st.floats(5, 60)), min_size=1, max_size=12))
def test_spread_labels_never_overlap(wanted: list[tuple[float, float]]) -> None:
    wanted.sort()
    heights = [height for _, height in wanted]
    centres = spread([target for target, _ in wanted], heights, 0, 300)
    for (one, a), (other, b) in pairwise(zip(centres, heights, strict=True)):
        assert other - one >= (a + b) / 2 - 1e-6
    assert centres[0] - heights[0] / 2 >= -1e-6
    if sum(heights) <= 300:
        assert centres[-1] + heights[-1] / 2 <= 300 + 1e-6
