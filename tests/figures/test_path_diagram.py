"""The one-line diagram: every box once, nothing over anything, whatever the tree."""

from __future__ import annotations

import pytest
from drawing_reader import HOSTILE, assert_sound, texts
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.document.drawings.path_diagram import DiagramBox, DiagramClosure, path_diagram
from slackloop.document.drawings.symbols import chains


def line(count: int) -> list[DiagramBox]:
    return [
        DiagramBox(
            f"B{n:03}", f"B{n - 1:03}" if n > 1 else "controller", f"{n % 90 + 10} m (33 ft)",
            n % 5 != 0, n % 10 == 0, n == count,
        )
        for n in range(1, count + 1)
    ]  # fmt: skip


BRANCHED = [
    DiagramBox("A", "controller", "10 m"),
    DiagramBox("B", "A", "20 m", has_device=False),
    DiagramBox("C", "B", "30 m"),
    DiagramBox("D", "C", "40 m", electrode=True),
    DiagramBox("E", "B", "50 m", has_device=False),
    DiagramBox("F", "E", "60 m", worst=True),
    DiagramBox("G", "E", "70 m"),
    DiagramBox("H", "controller", "80 m"),
]


@pytest.mark.parametrize("width", [344.0, 720.0])
def test_three_hundred_and_twenty_boxes_each_stand_once_without_overlap(width: float) -> None:
    boxes = line(320)
    figure = path_diagram("p", boxes, width_px=width)
    assert_sound(figure)
    said = [text for text, _ in texts(figure)]
    assert [said.count(box.id) for box in boxes] == [1] * 320
    assert sum(text.endswith(" m") for text in said) == sum(text == "(33 ft)" for text in said) == 320


def test_branches_on_branches_are_blocks_of_their_own() -> None:
    figure = path_diagram("p", BRANCHED, [DiagramClosure("D", "H", "55 m")], controller_electrode=True)
    assert_sound(figure)
    said = [text for text, _ in texts(figure)]
    assert [text for text in said if text.startswith(("Arm", "Branch", "Ring"))] == [
        "Arm 1, from the controller", "Branch 1, from B", "Branch 2, from E", "Arm 2, from the controller",
        "Ring 1, D to H",
    ]  # fmt: skip
    assert said.count("ring 1") == 2
    assert said.count("branch 1") == said.count("branch 2") == said.count("lowest") == 1
    for words in ("Lowest volts at F.", "Earth electrodes at D.", "A ring is closed from D to H."):
        assert words in figure.description


def test_at_a_fork_the_longest_line_goes_on() -> None:
    found = chains([box.id for box in BRANCHED], {box.id: box.from_id for box in BRANCHED})
    assert [(each.start, each.boxes) for each in found] == [
        ("controller", ("A", "B", "C", "D")),
        ("B", ("E", "F")),
        ("E", ("G",)),
        ("controller", ("H",)),
    ]


@pytest.mark.parametrize(("width", "height"), [(344.0, 650.0), (640.0, 900.0)])
def test_sheets_hold_every_box_once_and_keep_to_their_height(width: float, height: float) -> None:
    boxes = line(320)
    sheets = path_diagram("p", boxes, width_px=width, sheet_px=height).sheets
    assert len(sheets) > 1
    assert len({sheet.id for sheet in sheets}) == len(sheets)
    said = []
    for sheet in sheets:
        assert_sound(sheet)
        assert sheet.height_px <= height
        said += [text for text, _ in texts(sheet)]
    assert [said.count(box.id) for box in boxes] == [1] * 320


def test_a_short_path_is_one_sheet() -> None:
    assert path_diagram("p", BRANCHED[:4]).sheets == ()


def test_long_and_hostile_ids_stay_text_and_apart() -> None:
    long_name = "Box-with-a-very-long-name-0001"
    boxes = [DiagramBox(HOSTILE, "controller", HOSTILE), DiagramBox(long_name, HOSTILE, "1,240 m")]
    assert_sound(path_diagram("p", boxes))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 10**6), st.booleans(), st.booleans()), min_size=1, max_size=60),
    st.sampled_from(["62 m", "62 m (203 ft)"]),
    st.integers(0, 3),
)
def test_any_tree_is_drawn_whole_and_the_same_each_time(
    shape: list[tuple[int, bool, bool]], run: str, rings: int
) -> None:
    boxes: list[DiagramBox] = []
    for place, (parent, device, electrode) in enumerate(shape):
        up = parent % (place + 1)
        boxes.append(DiagramBox(f"B{place}", f"B{up - 1}" if up else "controller", run, device, electrode, place == 0))
    closures = [DiagramClosure("B0", boxes[-1].id, "40 m (131 ft)")] * rings
    figure = path_diagram("p", boxes, closures)
    for sheet in figure.sheets:
        assert_sound(sheet)
    assert figure.svg == path_diagram("p", boxes, closures).svg
    assert_sound(figure)
    assert sum(text == "62 m" for text, _ in texts(figure)) == len(boxes)
