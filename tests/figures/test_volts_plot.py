"""The volts plot: points lie where the axes say, lines are told apart without colour, labels stand apart."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from drawing_reader import HOSTILE, assert_sound, part, root, texts
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.document.drawings.svg import Figure
from slackloop.document.drawings.volts_plot import VoltsLine, VoltsPoint, ticks, volts_plot
from slackloop.units.ladder import System

ARM = VoltsLine("Arm 1", tuple(VoltsPoint(m, 36 - m / 400, 36 - m / 60) for m in (0.0, 150.0, 300.0, 600.0)))
BRANCH = VoltsLine("Branch 1, from B07", (VoltsPoint(150, 35.6, 33.5), VoltsPoint(400, 35.2, 30.0)))


def points(data: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML]([\d.]+) ([\d.]+)", data)]


def axis(figure: Figure, anchor: str, at: int) -> list[tuple[float, float]]:
    """Return (value, place) of the ticks: upright axis labels end at their x, level ones are centred."""
    found = []
    for element in root(figure).iter():
        text = (element.text or "").replace(",", "")
        if element.get("text-anchor") == anchor and re.fullmatch(r"-?[\d.]+", text):
            place = float(element.attrib["y"]) - 4 if at else float(element.attrib["x"])
            found.append((float(text), place))
    return found


def read(place: float, scale: list[tuple[float, float]]) -> float:
    """Return the value at a place, from the first and the last tick."""
    (low, low_at), (high, high_at) = scale[0], scale[-1]
    return low + (place - low_at) / (high_at - low_at) * (high - low)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_point_reads_back_on_the_axes(units: System) -> None:
    figure = volts_plot("v", [ARM, BRANCH], 22.0, units)
    assert_sound(figure)
    across, up = axis(figure, "middle", 0), axis(figure, "end", 1)
    per_unit = 1.0 if units == "metric" else 0.3048
    for place, line in enumerate((ARM, BRANCH), start=1):
        worst = points(part(figure, f"worst{place}")["d"])
        rest = points(part(figure, f"standby{place}")["d"])
        for (x, y), (_, rest_y), point in zip(worst, rest, line.points, strict=True):
            assert read(x, across) * per_unit == pytest.approx(point.path_m, abs=0.4)
            assert read(y, up) == pytest.approx(point.worst_volts, abs=0.02)
            assert read(rest_y, up) == pytest.approx(point.standby_volts, abs=0.02)
    assert read(float(part(figure, "least")["y1"]), up) == pytest.approx(22.0, abs=0.02)


def test_rest_worst_and_least_are_told_apart_by_dash() -> None:
    figure = volts_plot("v", [ARM], 22.0)
    dashes = {part(figure, name).get("stroke-dasharray", "") for name in ("standby1", "worst1", "least")}
    assert len(dashes) == 3


def test_lines_are_named_with_their_end_volts() -> None:
    said = [text for text, _ in texts(volts_plot("v", [ARM, BRANCH], 22.0))]
    for words in ("Arm 1", "26.0 V", "Branch 1,", "30.0 V", "22 V", "volts, V", "path from the controller, m"):
        assert any(words in text for text in said), words


def test_many_branches_stay_apart_and_the_unnamed_are_counted() -> None:
    lines = [VoltsLine(f"Branch {n}", (VoltsPoint(n, 35, 34), VoltsPoint(n + 100, 35, 33 - n / 50))) for n in range(30)]
    figure = volts_plot("v", lines, 22.0)
    assert_sound(figure)
    assert "The 10 lowest of 30 lines are named." in [text for text, _ in texts(figure)]


def test_hostile_labels_stay_text() -> None:
    assert_sound(volts_plot("v", [VoltsLine(HOSTILE, ARM.points)], 22.0))


def test_a_line_of_one_point_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        volts_plot("v", [VoltsLine("Arm 1", ARM.points[:1])])


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 5000), st.floats(1, 60), st.floats(-20, 60)), min_size=2, max_size=12),
    st.one_of(st.none(), st.floats(5, 40)),
)
def test_any_volts_give_a_sound_plot(values: list[tuple[float, float, float]], least: float | None) -> None:
    line = VoltsLine("Arm 1", tuple(VoltsPoint(*value) for value in sorted(values)))
    assert_sound(volts_plot("v", [line], least))


@pytest.mark.parametrize("furthest", [1.0, 1.25, 3.0, 12.5, 99.9, 1000.0, 123_456.0])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_distances_with_decimals_stay_apart(furthest: float, units: System) -> None:
    """A short path has ticks such as 0.05, which are wider than its length in whole units."""
    line = VoltsLine("Arm 1", (VoltsPoint(0.0, 1.0, 0.0), VoltsPoint(furthest, 1.0, 0.0)))
    assert_sound(volts_plot("v", [line], units=units))


@given(st.floats(-1e4, 1e4), st.floats(1e-2, 1e4), st.integers(3, 12))
def test_ticks_are_round_few_and_span_the_axis(low: float, span: float, most: int) -> None:
    found = ticks(low, low + span, most)
    assert 2 <= len(found) <= most
    assert found[0] <= low + span * 1e-6
    assert found[-1] >= low + span * (1 - 1e-6)
    steps = [b - a for a, b in pairwise(found)]
    assert steps == pytest.approx([steps[0]] * len(steps), rel=1e-6)
