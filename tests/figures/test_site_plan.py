"""The site plan is to scale, with its y axis up the page, and no label lies over another."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

import pytest
from drawing_reader import HOSTILE, assert_sound, part, texts
from hypothesis import given, settings
from hypothesis import strategies as st

from book_samples import demonstration
from slackloop.document.drawings.path_drawings import plan_of
from slackloop.document.drawings.site_plan import PlanBox, PlanRun, site_plan
from slackloop.document.drawings.svg import WIDTH_PX, Figure
from slackloop.document.inserts import PAPER_PX

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


def large_site() -> tuple[list[PlanBox], list[PlanRun]]:
    """320 boxes on eight arms that bend, some 25 m apart, as on a park."""
    boxes, runs = [PlanBox("controller", 0.0, 0.0, has_device=False, electrode=True)], []
    for arm in range(8):
        x, y, before = 0.0, 0.0, "controller"
        for step in range(40):
            turn = math.radians(45 * arm + 40 * math.sin(step / 6 + arm))
            x, y = x + 25 * math.cos(turn), y + 25 * math.sin(turn)
            id = f"B{40 * arm + step + 1:03}"
            boxes.append(PlanBox(id, x, y, has_device=step % 9 != 4, electrode=step % 10 == 9, worst=arm == step == 3))
            runs.append(PlanRun(before, id, "lawn" if step % 5 else "path"))
            before = id
    return boxes, runs


def marks_of(figure: Figure, boxes: Sequence[PlanBox]) -> dict[str, tuple[float, float, float, float]]:
    """Left, top, right and bottom of the symbol of each box."""
    found = {}
    for place, box in enumerate(boxes, start=1):
        drawn = part(figure, f"box{place}")
        if "d" in drawn:
            numbers = [float(each) for each in re.findall(r"-?[\d.]+", drawn["d"])]
            found[box.id] = min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2])
        else:
            x, y, wide, tall = (float(drawn[key]) for key in ("x", "y", "width", "height"))
            found[box.id] = x, y, x + wide, y + tall
    return found


def away(one: Sequence[float], other: Sequence[float]) -> float:
    """Distance between two boxes."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    return math.hypot(across, max(one[1] - other[3], other[1] - one[3], 0.0))


def assert_each_label_is_nearest_its_mark(figure: Figure, boxes: Sequence[PlanBox]) -> int:
    """Count the labels, each of which stands nearer the symbol of its box than that of any other."""
    marks, count = marks_of(figure, boxes), 0
    key = float(part(figure, "scale-bar")["y"])
    for text, label in texts(figure):
        if text in marks and label[3] < key:
            nearest = min(marks, key=lambda id: away(label, marks[id]))
            assert nearest == text, f"{text} is nearer {nearest}"
            count += 1
    return count


@pytest.mark.parametrize("width_px", [WIDTH_PX, PAPER_PX])
def test_each_label_of_the_demonstration_is_nearest_its_own_mark(width_px: float) -> None:
    boxes, runs = plan_of(demonstration().context)
    count = assert_each_label_is_nearest_its_mark(site_plan("plan", boxes, runs, width_px=width_px), boxes)
    assert count == len(boxes) if width_px == PAPER_PX else count >= 0.8 * len(boxes)


@pytest.mark.parametrize("width_px", [WIDTH_PX, PAPER_PX])
def test_each_label_of_320_boxes_is_nearest_its_own_mark(width_px: float) -> None:
    boxes, runs = large_site()
    figure = site_plan("plan", boxes, runs, width_px=width_px)
    assert_sound(figure)
    count = assert_each_label_is_nearest_its_mark(figure, boxes)
    assert count >= (5 if width_px == WIDTH_PX else 16), "ends at least; boxes stand 8 units apart on paper"
    assert f"{len(boxes) - count} box numbers are left out: no space." in [text for text, _ in texts(figure)]


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
    surfaces = [f"run, surface: {each}" for each in ("lawn", "road", "path", "building")]
    for words in ("controller", "B01", "B02", "B03", "B04", "ring", "ring closure", *surfaces, "(it may not be north)"):
        assert words in said
    assert not any("planting" in each for each in said)
    assert "Earth electrodes at B02." in figure.description


def test_ids_without_room_are_counted_not_drawn_over_each_other() -> None:
    crowd = [PlanBox(f"Box-{n:03}", (n % 40) * 1.0, (n // 40) * 1.0) for n in range(400)]
    figure = site_plan("plan", crowd, [])
    assert_sound(figure)
    said = [text for text, _ in texts(figure)]
    drawn = sum(text.startswith("Box-") for text in said)
    assert f"{400 - drawn} box numbers are left out: no space." in said


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
