"""Surveys as other programs and people write them: decimal commas, odd features, words in capitals."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence

import pytest

from samples import chain, job_text
from slackloop.cli import main
from slackloop.survey.csv_rows import parted_number, read_decimal_commas
from survey.conftest import Imported, Run
from survey.test_import import THREE, collection, feature

GOOD = (
    feature("Point", [0, 0], id="controller"), feature("Point", [0.001, 0], id="B01"),
    feature("Point", [0.002, 0], id="B02"),
)  # fmt: skip


def refused(made: Imported) -> list[str]:
    """What is said of each row that was refused."""
    return [line.split("]: ", 1)[1] for line in made.said.splitlines() if "error[survey-row-wrong]" in line]


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_a_decimal_comma_is_read_where_no_comma_parts_the_columns(survey: Run, delimiter: str) -> None:
    rows = ["id;x_m;y_m;lead;stations", "controller;0,0;0;;", "B01;40,5;3,125;1,2 m;7,8", "B02;-80,25;0,5;0,450 m;9"]
    made = survey("\n".join(rows).replace(";", delimiter) + "\n")
    assert made.status == 0, made.said
    assert (made.boxes["B01"].at, made.boxes["B02"].at) == ((40.5, 3.12), (-80.25, 0.5)), "to the centimetre"
    assert (made.boxes["B01"].lead.si, made.boxes["B02"].lead.si) == (1.2, 0.45)
    assert made.boxes["B01"].station_numbers == (7, 8), "a comma between stations parts two of them"
    told = "points.csv: the comma in a number is read as a decimal comma: 40,5 is 40.5"
    assert told in made.said
    assert f"# {told}" in made.text
    assert main(["check", str(made.out)]) in (0, 1)


def test_lines_to_follow_may_have_decimal_commas_too(survey: Run) -> None:
    made = survey(THREE, "line;x_m;y_m\n1;0,0;0,5\n1;90,5;0,5\n")
    assert made.status == 0, made.said
    assert made.boxes["B01"].run.si == pytest.approx(43.0), "0.5 m to the line, 40 m along it, 2.5 m from it"


def test_a_comma_beside_decimal_points_is_refused_as_it_may_set_thousands_apart(survey: Run) -> None:
    made = survey("id;x_m;y_m\ncontroller;0;0\nB01;1,234;2.5\nB02;40;3\n")
    assert list(made.boxes) == ["B02"]
    assert refused(made) == ["row 3: x: 1,234 is not a number"]
    assert "hint: write 1234, or 1.234 if that is meant" in made.said
    lead = survey("id;x_m;y_m;lead\ncontroller;0;0;\nB01;40,5;3;1,200 mm\nB02;80;3;\n")
    assert refused(lead) == ["row 3: lead: 1,200 mm has a comma in a number"]


def test_a_decimal_comma_between_commas_is_named_by_row_and_column(survey: Run) -> None:
    made = survey(
        "id,x_m,y_m,title\ncontroller,0,0,\nB01,40,5,3,125,Gate\nB02,80,25,-3,\nB03,90,3,Gate\n"
        'B04,"90,5",3,Gate\nB05,95,3,"Gate, north"\nB06,1,2,3,4,5,6,7\n'
    )
    assert list(made.boxes) == ["B03", "B05"]
    assert refused(made) == [
        "row 3: it has 6 cells, and the first row has 4; x: the comma of 40,5 parts it in two",
        "row 4: it has 5 cells, and the first row has 4; x: the comma of 80,25 parts it in two",
        "row 6: x: 90,5 is not a number",
        "row 8: it has 8 cells, and the first row has 4",
    ]
    assert "points.csv:3:5: " in made.said
    assert "hint: write 90.5" in made.said


@pytest.mark.parametrize(
    ("keys", "cells", "found"),
    [
        ("id x y", "B 40 5 3 5", ("x", "40,5")), ("id x y", "B 4.5 40 5", None), ("id x y", "B 1 2 more", None),
        ("id x y", "B 1 2 ", None), ("id lon lat", "B -0 1276 51 5072", ("lon", "-0,1276")), ("id x y", "B 1 2", None),
        ("y x", "1 2 3", ("y", "1,2")), ("id note", "B a b", None), ("id x y", "B 1 -2 3", ("y", "-2,3")),
    ],
)  # fmt: skip
def test_what_a_comma_may_have_parted(keys: str, cells: str, found: tuple[str, str] | None) -> None:
    assert parted_number(keys.split(" "), cells.split(" ")) == found


def test_nothing_is_said_of_a_table_without_decimal_commas() -> None:
    rows = [{"x": "1", "y": "2", "note": "1,5"}]
    assert read_decimal_commas(rows) == ""
    assert rows == [{"x": "1", "y": "2", "note": "1,5"}]


ODD = (
    7, None, "x", [1, [2]], {"type": "Feature", "properties": {"a": {"features": [{"b": [{}]}]}}, "geometry": None},
    feature("Point", []), feature("MultiPoint", [], id="M1"), feature("MultiLineString", []),
    {"type": "Feature", "id": "G1", "geometry": {"type": "GeometryCollection", "geometries": []}},
)  # fmt: skip


def laid(features: Sequence[object], way: str) -> str:
    """A collection whose text also has other lists and maps, in one of several ways of breaking lines."""
    whole = {"meta": {"features": [{"a": 1}, {"b": "{["}]}, "type": "FeatureCollection", "features": list(features)}
    if way == "a line each":
        inner = ",\n".join(json.dumps(each) for each in features)
        return '{"type": "FeatureCollection", "meta": {"features": [{}]},\n"features": [' + inner + "]}"
    return json.dumps(whole, indent=1 if way == "pretty" else None)


@pytest.mark.parametrize("way", ["a line each", "pretty", "one line"])
def test_a_feature_is_placed_right_behind_odd_ones(survey: Run, way: str) -> None:
    wrong = feature("Point", [0.0015, 99], id="B99")
    made = survey(laid((*GOOD, *ODD, wrong), way))
    assert list(made.boxes) == ["B01", "B02"]
    text = laid((*GOOD, *ODD, wrong), way)
    named = re.search(r":(\d+):(\d+): error\[survey-row-wrong\]: feature 13 \(B99\): lat: 99 is outside", made.said)
    assert named is not None, made.said
    line, column = int(named[1]), int(named[2])
    here = text.split("\n")[line - 1][column - 1 :]
    starts = "{" if way == "pretty" else "99"
    assert here.startswith(starts), here
    assert text.index("B99") > sum(len(each) + 1 for each in text.split("\n")[: line - 1])
    assert len(refused(made)) == len(ODD) + 1, "every odd feature is told once"
    for number, name in ((4, ""), (5, ""), (8, " (B02)"), (10, " (M1)"), (12, " (G1)")):
        assert (f"feature {number}{name}: " in made.said) == (number != 8), made.said


def test_what_is_not_read_is_named_and_counted_once(survey: Run) -> None:
    ring = [[[0, 0], [1, 1], [1, 0], [0, 0]]]
    both = {"type": "GeometryCollection", "geometries": [
        {"type": "Polygon", "coordinates": ring}, {"type": "Polygon", "coordinates": ring},
        {"type": "Point", "coordinates": [0.003, 0]},
    ]}  # fmt: skip
    made = survey(collection(
        *GOOD, feature("Polygon", ring, id="pond"), feature("Polygon", ring), feature("MultiPolygon", [ring], id=9),
        {"type": "Feature", "id": "B03", "geometry": both}, *(feature("Polygon", ring) for _ in range(8)),
    ))  # fmt: skip
    assert made.status == 0
    assert list(made.boxes) == ["B01", "B02", "B03"], "the point of a collection is a box"
    told = [line.split("]: ", 1)[1] for line in made.said.splitlines() if "survey-passed-over" in line]
    assert told == [
        "feature 4 (pond), feature 5, feature 7 (B03), feature 8, feature 9, feature 10 and 5 more: "
        "a Polygon is not read (11 features)",
        "feature 6 (9): a MultiPolygon is not read",
    ]


def test_branches_of_one_box_keep_the_order_of_the_file(survey: Run) -> None:
    made = survey(collection(
        feature("Point", [0, 0], id="controller"), feature("Point", [0.003, 0], id="far"),
        feature("Point", [0.003, 0.001], id="farther"), feature("Point", [-0.001, 0], id="near"),
        feature("Point", [0, 0.0005], id="nearest"),
    ))  # fmt: skip
    assert list(made.boxes) == ["far", "farther", "near", "nearest"]
    assert [box.from_ for box in made.boxes.values()] == ["controller", "far", "controller", "controller"]


@pytest.mark.parametrize("written", ["Planting", "PLANTING", "planting"])
def test_a_surface_is_taken_in_capitals_too(survey: Run, written: str) -> None:
    made = survey(f"id,x_m,y_m,surface\ncontroller,0,0,\nB01,40,3,{written}\nB02,80,3,assumed {written}\n")
    assert made.status == 0, made.said
    assert [box.surface for box in made.boxes.values()] == ["planting"] * 2
    assert [each.text for each in made.reading.assumptions if each.key.startswith("path.boxes[B02]")] == ["planting"]


@pytest.mark.parametrize(
    ("written", "meant"), [("Grass", "lawn"), ("gravle", "gravel"), ("Side walk", ""), ("assumed Turf", "lawn")]
)
def test_a_surface_that_is_not_known_is_told_with_the_nearest(survey: Run, written: str, meant: str) -> None:
    made = survey(f"id,x_m,y_m,surface\ncontroller,0,0,\nB01,40,3,{written}\nB02,80,3,lawn\n")
    assert list(made.boxes) == ["B02"]
    assert refused(made) == [f"row 3: surface: {written} is not one of the words known here"]
    assert "expected: lawn, planting, gravel, path" in made.said
    assert (f"hint: did you mean {meant}?" in made.said) == bool(meant)


def test_one_box_is_one_box(survey: Run) -> None:
    made = survey("id,x_m,y_m\ncontroller,0,0\nB01,40,3\n")
    assert "1 box, " in made.said
    assert "# 1 box, " in made.text
    assert "1 boxes" not in made.said + made.text


def test_what_comes_next_names_the_file_that_was_written(survey: Run) -> None:
    made = survey(THREE, base=f"# run\n#   slackloop check base.yml\n{job_text(chain(2))}")
    assert f"slackloop check {made.out}" in made.said
    assert "#   slackloop check new.yml\n" in made.text
    assert "base.yml" not in made.text
