"""The trench section is to scale."""

from __future__ import annotations

import re

import pytest
from drawing_reader import HOSTILE, assert_sound, length_px, part, texts
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.document.drawings.trench_section import TrenchLabels, TrenchSize, trench_section

LABELS = TrenchLabels(
    "150 mm (5 7/8 in)", "588 mm (23 1/8 in)", "450 mm (17 3/4 in)", "213 mm (8 3/8 in)", "75 mm (3 in)",
    "63 mm (2 1/2 in)", "200 mm (7 7/8 in)", "9.5 mm (3/8 in)",
)  # fmt: skip
SHARED = TrenchSize(0.15, 0.45, 0.0095, 0.075, 0.063, 0.2)
ALONE = TrenchSize(0.3, 0.61, 0.012, 0.05)


@pytest.mark.parametrize("size", [SHARED, ALONE, TrenchSize(0.6, 0.3, 0.02, 0.1, 0.2, 0.1)])
def test_every_dimension_is_in_proportion(size: TrenchSize) -> None:
    figure = trench_section("trench", size, LABELS)
    assert_sound(figure)
    label = next(text for text, _ in texts(figure) if re.fullmatch(r"[\d.]+ mm \([\d.]+ in\)", text) and "mm (" in text
                 and text not in vars(LABELS).values())  # fmt: skip
    bar_m = float(label.split()[0]) / 1000
    px_per_m = float(part(figure, "scale-bar")["width"]) / bar_m
    depth_m = size.cover_m + (size.pipe_od_m or size.cable_od_m) + size.bedding_m
    for name, metres in (
        ("dim-width", size.width_m),
        ("dim-depth", depth_m),
        ("dim-cover", size.cover_m),
        ("dim-zone", 2 * size.bedding_m + (size.pipe_od_m or size.cable_od_m)),
    ):
        assert length_px(figure, name) / px_per_m == pytest.approx(metres, rel=0.005), name
    assert float(part(figure, "cable")["r"]) * 2 / px_per_m == pytest.approx(size.cable_od_m, abs=0.0003)
    if size.pipe_od_m:
        assert float(part(figure, "pipe")["r"]) * 2 / px_per_m == pytest.approx(size.pipe_od_m, rel=0.005)


def test_pipe_and_cable_lie_beside_each_other_on_one_bed() -> None:
    """As the method lays them; the higher of the two has the cover over it."""
    figure = trench_section("trench", SHARED, LABELS)
    pipe, cable = part(figure, "pipe"), part(figure, "cable")
    gap = float(pipe["cx"]) - float(cable["cx"]) - float(cable["r"]) - float(pipe["r"])
    assert gap > 0
    beds = [float(circle["cy"]) + float(circle["r"]) for circle in (pipe, cable)]
    assert beds[0] == pytest.approx(beds[1], abs=0.03)
    cover, depth = part(figure, "dim-cover"), part(figure, "dim-depth")
    assert float(pipe["cy"]) - float(pipe["r"]) == pytest.approx(float(cover["y2"]), abs=0.03)
    px_per_m = (float(depth["y2"]) - float(depth["y1"])) / SHARED.depth_m
    assert (float(depth["y2"]) - beds[0]) / px_per_m == pytest.approx(SHARED.bedding_m, rel=0.01)


def test_a_pipe_too_wide_for_the_trench_is_said() -> None:
    figure = trench_section("trench", TrenchSize(0.1, 0.45, 0.01, 0.05, 0.11), LABELS)
    assert "do not fit side by side" in figure.description
    assert_sound(figure)


def test_no_pipe_tape_or_bedding_when_there_is_none() -> None:
    figure = trench_section("trench", TrenchSize(0.15, 0.45, 0.0095, 0.0), LABELS)
    for name in ("pipe", "tape", "dim-zone", "bedding-zone"):
        assert f'"trench-{name}"' not in figure.svg
    assert_sound(figure)


def test_a_trench_without_size_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        trench_section("trench", TrenchSize(0.0, 0.45, 0.0095, 0.075), LABELS)


def test_hostile_labels_stay_text() -> None:
    assert_sound(trench_section("t", SHARED, TrenchLabels(*[HOSTILE] * 8)))


@settings(deadline=None)
@given(
    st.floats(0.1, 1.0), st.floats(0.15, 1.5), st.floats(0.005, 0.03), st.floats(0.0, 0.2),
    st.one_of(st.none(), st.floats(0.02, 0.4)), st.booleans(),
)  # fmt: skip
def test_any_trench_is_a_sound_drawing(
    width: float, cover: float, cable: float, bedding: float, pipe: float | None, tape: bool
) -> None:
    size = TrenchSize(width, cover, cable, bedding, pipe, cover / 2 if tape else None)
    one, again = (trench_section("t", size, LABELS) for _ in range(2))
    assert one.svg == again.svg
    assert_sound(one)
