"""The slack loop, the electrode's clearance and the sign shapes."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from drawing_reader import HOSTILE, assert_sound, length_px, part, root, texts
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.handbook.figures.core_colour import HEX_BY_WORD
from slackloop.handbook.figures.electrode_clearance import ElectrodeLabels, electrode_clearance
from slackloop.handbook.figures.measured import both_units, round_length_m, spread
from slackloop.handbook.figures.signs import sign_figure
from slackloop.handbook.figures.slack_loop import GROUND, SlackLabels, slack_loop
from slackloop.handbook.figures.svg import Figure

LABELS = ElectrodeLabels("2.4 m (7 ft 10 in)", "2.4 m (7 ft 10 in)", "450 mm (17 3/4 in)")
SLACK = SlackLabels("1.5 m (5 ft)", "on each cable end", "orange", "grey")


def bar_m(figure: Figure, place: int) -> float:
    """Return the length that the n-th scale bar states, in metres."""
    shown = [m for text, _ in texts(figure) if (m := re.fullmatch(r"([\d.]+) (m|mm) \(.*\)", text))]
    marks = [m for m in shown if m.group(0) not in vars(LABELS).values()]
    return float(marks[place].group(1)) / (1 if marks[place].group(2) == "m" else 1000)


@pytest.mark.parametrize(("rod", "cover", "clear"), [(2.4, 0.45, 2.4), (1.2, 0.9, 0.6), (3.05, 0.3, 6.1)])
def test_rod_cover_and_clearance_are_in_proportion(rod: float, cover: float, clear: float) -> None:
    figure = electrode_clearance("e", rod, cover, clear, LABELS)
    assert_sound(figure)
    px_per_m = float(part(figure, "section-scale-bar")["width"]) / bar_m(figure, 0)
    for name, metres in (("dim-rod", rod), ("dim-cover", cover), ("dim-clear", clear)):
        assert length_px(figure, name) / px_per_m == pytest.approx(metres, rel=0.005), name
    plan_px_per_m = float(part(figure, "plan-scale-bar")["width"]) / bar_m(figure, 1)
    assert float(part(figure, "clear-circle")["r"]) / plan_px_per_m == pytest.approx(clear, rel=0.005)
    circle, cable = part(figure, "clear-circle"), part(figure, "plan-cable")
    edge = float(cable["y1"]) - float(cable["stroke-width"]) / 2
    assert edge == pytest.approx(float(circle["cy"]) + float(circle["r"]), abs=0.05), "the cable stays outside"


@settings(deadline=None)
@given(st.floats(0.3, 6), st.floats(0.1, 1.5), st.floats(0.3, 10))
def test_any_electrode_is_a_sound_drawing(rod: float, cover: float, clear: float) -> None:
    assert_sound(electrode_clearance("e", rod, cover, clear, LABELS))


def test_an_electrode_without_size_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        electrode_clearance("e", 2.4, 0.0, 2.4, LABELS)


@pytest.mark.parametrize("jacketed", [True, False])
def test_the_slack_is_measured_from_the_box_floor_to_ends_above_ground(jacketed: bool) -> None:
    figure = slack_loop("s", SlackLabels("1.5 m (5 ft)", "on each cable end", "orange", "violet", jacketed))
    assert_sound(figure)
    dimension = part(figure, "dim-slack")
    assert float(dimension["y1"]) < GROUND - 100
    assert float(dimension["y2"]) > GROUND + 90
    for colour in ("orange", "violet"):
        assert figure.svg.count(f'stroke="{HEX_BY_WORD[colour]}"') >= 4
    assert ("jacket ends" in figure.description) == jacketed


def test_hostile_words_stay_text() -> None:
    assert_sound(slack_loop("s", SlackLabels(*[HOSTILE] * 4)))
    assert_sound(electrode_clearance("e", 2.4, 0.45, 2.4, ElectrodeLabels(*[HOSTILE] * 3)))
    assert_sound(sign_figure("g", "W012", HOSTILE))


@pytest.mark.parametrize("number", ["W001", "M004", "P010", "E003", "F001"])
def test_a_sign_carries_its_number_in_a_shape_of_its_group(number: str) -> None:
    figure = sign_figure("g", number, "words")
    assert_sound(figure)
    assert [text for text, _ in texts(figure)] == [number]
    assert number in figure.description


def test_groups_of_signs_differ_by_shape_alone() -> None:
    def shape(number: str) -> tuple[tuple[str, str], ...]:
        drawn = root(sign_figure("g", number, "w")).iter()
        return tuple((element.tag, element.get("d", "") + element.get("r", "")) for element in drawn)

    assert len({shape(number) for number in ("W001", "M001", "P001", "E001")}) == 4


@pytest.mark.parametrize("number", ["", "W", "W1", "X001", "W0011", "W٠٠١", "w001", HOSTILE])
def test_what_is_no_sign_number_is_refused(number: str) -> None:
    with pytest.raises(ValueError, match="7010"):
        sign_figure("g", number, "words")


def test_drawings_give_the_same_bytes() -> None:
    assert slack_loop("s", SLACK) == slack_loop("s", SLACK)
    assert electrode_clearance("e", 2.4, 0.45, 2.4, LABELS) == electrode_clearance("e", 2.4, 0.45, 2.4, LABELS)


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
