"""The site plan is to scale, with its y axis up the page, and no label lies over another."""

from __future__ import annotations

import math

import pytest
from drawing_reader import HOSTILE, assert_sound, part, texts
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.handbook.figures.site_plan import PlanBox, PlanRun, site_plan

PLACES = [
    PlanBox("controller", 0.0, 0.0),
    PlanBox("B01", 60.0, 0.0),
    PlanBox("B02", 60.0, 45.0, electrode=True),
    PlanBox("B03", -20.0, 80.0, has_device=False),
    PlanBox("B04", 30.0, 100.0, worst=True),
]
RUNS = [
    PlanRun("controller", "B01", "lawn"),
    PlanRun("B01", "B02", "road"),
    PlanRun("B02", "B03", "path"),
    PlanRun("B03", "B04", "building"),
    PlanRun("controller", "B04", "lawn", closure=True),
]


def spot(figure_part: dict[str, str]) -> tuple[float, float]:
    """Return the centre of a device's symbol."""
    return float(figure_part["x"]) + 5, float(figure_part["y"]) + 5


def test_distances_are_in_proportion_to_the_scale_bar() -> None:
    figure = site_plan("plan", PLACES, RUNS)
    assert_sound(figure)
    bar = next(text for text, _ in texts(figure) if text.endswith(" ft)"))
    px_per_m = float(part(figure, "scale-bar")["width"]) / float(bar.split()[0])
    b01, b02, b04 = (spot(part(figure, f"box{place}")) for place in (2, 3, 5))
    for one, other, metres in ((b01, b02, 45.0), (b01, b04, math.hypot(30, 100)), (b02, b04, math.hypot(30, 55))):
        assert math.dist(one, other) / px_per_m == pytest.approx(metres, rel=0.005)
    assert b02[1] < b01[1], "the y axis points up the page"


def test_every_id_and_surface_is_named_and_north_is_not_claimed() -> None:
    figure = site_plan("plan", PLACES, RUNS)
    said = [text for text, _ in texts(figure)]
    for words in ("controller", "B01", "B02", "B03", "B04", "ring", "ring closure", "run under lawn", "run under road",
                  "run under path", "run under building", "(it may not be north)"):  # fmt: skip
        assert words in said
    assert "run under planting" not in said
    assert "Earth electrodes at B02." in figure.description


def test_ids_without_room_are_counted_not_drawn_over_each_other() -> None:
    crowd = [PlanBox(f"Box-{n:03}", (n % 40) * 1.0, (n // 40) * 1.0) for n in range(400)]
    figure = site_plan("plan", crowd, [])
    assert_sound(figure)
    said = [text for text, _ in texts(figure)]
    drawn = sum(text.startswith("Box-") for text in said)
    assert f"{400 - drawn} ids are left out for want of room." in said


def test_a_run_to_a_box_without_a_place_is_left_out_and_said() -> None:
    figure = site_plan("plan", PLACES, [*RUNS, PlanRun("B04", "B99", "lawn")])
    assert "1 run is left out: an end has no coordinates." in figure.description


def test_one_box_alone_is_a_plan() -> None:
    assert_sound(site_plan("plan", [PlanBox("B01", 5.0, 5.0)], []))


def test_hostile_ids_stay_text() -> None:
    assert_sound(site_plan("plan", [PlanBox(HOSTILE, 0, 0), PlanBox("B", 9, 9)], [PlanRun(HOSTILE, "B", "path")]))


def test_two_boxes_with_one_id_are_refused() -> None:
    with pytest.raises(ValueError, match="own"):
        site_plan("plan", [PlanBox("B", 0, 0), PlanBox("B", 9, 9)], [])


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 300), st.integers(0, 300), st.booleans()), min_size=1, max_size=40))
def test_any_plan_is_sound_and_the_same_each_time(spots: list[tuple[int, int, bool]]) -> None:
    boxes = [PlanBox(f"B{n:02}", x, y, n % 3 != 0, electrode) for n, (x, y, electrode) in enumerate(spots)]
    runs = [PlanRun(f"B{n:02}", f"B{n + 1:02}", "driveway") for n in range(len(boxes) - 1)]
    figure = site_plan("plan", boxes, runs)
    assert figure.svg == site_plan("plan", boxes, runs).svg
    assert_sound(figure)
