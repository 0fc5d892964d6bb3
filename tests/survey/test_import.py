"""A survey becomes a job file that checks, reads back the same and says what was guessed."""

from __future__ import annotations

import json
import math
import os
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from samples import REPOSITORY, chain, job_text
from slackloop.cli import main
from slackloop.site.reader import read_job
from survey.conftest import Run

THREE = "id,x_m,y_m\ncontroller,0,0\nB01,40,3\nB02,80,-3\n"


def feature(kind: str, places: Any, **properties: Any) -> dict[str, Any]:
    return {"type": "Feature", "properties": properties, "geometry": {"type": kind, "coordinates": places}}


def collection(*features: Any) -> str:
    return json.dumps({"type": "FeatureCollection", "features": list(features)})


def test_a_table_becomes_boxes_with_runs_and_places(survey: Run) -> None:
    made = survey(
        "id,x_m,y_m,title,device,stations,address,surface,lead\n"
        "controller,100,200,,,,,,\nB01,140,203,Gate,one,7,A1,planting,1.2 m\nB02,180,197,,two,,,,\n"
    )
    assert made.status == 0, made.said
    boxes = made.boxes
    assert boxes["B01"].from_ == "controller"
    assert boxes["B01"].at == (140.0, 203.0)
    assert (boxes["B01"].name, boxes["B01"].address, boxes["B01"].surface) == ("Gate", "A1", "planting")
    assert boxes["B01"].station_numbers == (7,)
    assert boxes["B01"].lead.si == pytest.approx(1.2)
    assert boxes["B02"].station_numbers == (1, 2), "numbered along the path, past those that are given"
    assert boxes["B02"].surface == "lawn"
    assert made.reading.job is not None
    assert made.reading.job.path.controller_at == (100.0, 200.0)
    assert [each.key for each in made.reading.assumptions] == ["path.each.surface"], "every box states its device"
    assert boxes["B01"].run.si == pytest.approx(math.hypot(40, 3) * 1.05, abs=0.011)
    assert boxes["B02"].run.si == pytest.approx(math.hypot(40, 6) * 1.05, abs=0.011)
    assert "# Guessed: stations numbered along the path (1 box)" in made.text
    assert "A trench is longer than a straight line" in made.text.replace("\n#  ", "")
    assert main(["check", str(made.out)]) == 0


@pytest.mark.parametrize(
    "name",
    ["no", "1e3", "07", "🌳", "a|b", "a: b", "- x", "#1", "true", "null", "~", "=", "12", "1_0", "{a}", "[b]", "'q'",
     "back\\slash", "Ärmel 3", "%x", "@y", "*z", "&w", "!t", "0x1F", "12:30", ".5", "<<", "a #b", "ends:", "é–ü"],
)  # fmt: skip
def test_an_id_is_read_back_as_it_was_surveyed(survey: Run, name: str) -> None:
    points = collection(
        feature("Point", [-0.1276, 51.5072], id="controller"), feature("Point", [-0.1270, 51.5072], id=name),
        feature("Point", [-0.1265, 51.5072], id="after", name=name, note=f"# {name}"),
    )  # fmt: skip
    made = survey(points)
    assert made.status == 0, made.said
    assert set(made.boxes) == {name, "after"}
    assert made.boxes["after"].from_ == name
    assert made.boxes["after"].name == name
    assert made.boxes["after"].note == f"# {name}"
    other = yaml.safe_load(made.text)["path"]["boxes"]
    assert [str(box["id"]) for box in other] == [name, "after"], "another reader reads the same"
    assert main(["check", str(made.out)]) in (0, 1)


def test_bad_rows_are_named_and_good_ones_kept(survey: Run) -> None:
    rows = [
        "id,lon,lat,device,stations,outputs", "controller,-0.1276,51.5072,,,", "B01,-0.1270,51.5072,,1,",
        ",-0.1269,51.5072,,,", "B03,here,51.5072,,,", "B04,NaN,51.5,,,", "B05,-0.1268,91,,,", "B01,-0.1267,51.5072,,,",
        "B06,0,0,,,", "B07,-0.1266,51.5072,nobody,,", "B08,-0.1265,51.5072,,x,", "B09,-0.1264,51.5072,,1,",
        "B10,-0.1263,51.5072,one,2 3,", "B11,1e999,51.5072,,,", "B12\x07,-0.1262,51.5072,,,",
        f"{'x' * 60},-0.1262,51.5072,,,", "B13,-0.1261,51.5072,,,many", "SET-ME,-0.126,51.5072,,,",
        "unknown,-0.126,51.5072,,,", "B14,-0.126,51.5072,,,9", "B15,\"-0,1259\",51.5072,,,",
        "B16\u200b,-0.1258,51.5072,,,", "B17,-0.1257,51.5072,,,,,extra", "B99,-0.1256,51.5072,,,",
    ]  # fmt: skip
    made = survey("\n".join(rows) + "\n")
    assert made.status == 1
    assert list(made.boxes) == ["B01", "B99"]
    lines = {line.split(":")[1] for line in made.said.splitlines() if "error[survey-row-wrong]" in line}
    assert lines == {str(number) for number in range(4, 24)}, made.said
    for words in (
        "row 4: it has no id", "row 5: lon: here is not a number", "row 7: lat: 91 is outside -90 to 90",
        "row 8: the id B01 is that of row 3 too", "row 9: B06 is 5,727 km from the middle",
        "row 10: device: nobody is not under devices in the base job", "row 12: the station 1 is that of row 3 too",
        "row 13: it has 2 stations, and the device one has 1 output", "row 15: id: the character U+0007 cannot",
        "row 16: id: the id has 60 characters", "row 21: lon: -0,1259 is not a number", "hint: write -0.1259",
        "row 23: it has 8 cells, and the first row has 6",
    ):  # fmt: skip
        assert words in made.said
    assert main(["check", str(made.out)]) in (0, 1)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ("", "the file is empty"),
        ("a,b\n1,2\n", "no columns give the place"),
        ("id,lon,lat,lon\nB,1,2,3\n", "two columns give the lon"),
        ("id,x_m,y_ft\nB,1,2\n", "x and y have different units"),
        ("{", "this is not JSON"),
        ("[1]", "this is not GeoJSON"),
        ("{}", "this is not GeoJSON"),
        ('{"type": "FeatureCollection", "features": 3}', "features is not a list"),
        ('{"type":"FeatureCollection","features":[' + "[" * 50 + "]" * 50 + "]}", "nests deeper than 40"),
        ('{"type":"Feature","geometry":' + '{"type":"GeometryCollection","geometries":[' * 100_000, "nests deeper"),
        ('{"type":"Point","coordinates":[' + "1" * 9000 + ",2]}", "too long to read"),
        ('{"type":"Point","coordinates":[1,2],"crs":{"properties":{"name":"EPSG:27700"}}}', "another system"),
        ("id,lon,lat\ncontroller,1,2\n", "no point is left"),
        ("id,lon,lat\n", "no point is left"),
        (f"id,lon,lat\n{'x' * 5000},1,2\n", "no point is left"),
        ("id,lon,lat,x\ncontroller,1,2,\nC,,,3\n", "row 3: lon is empty"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_and_nothing_is_written(survey: Run, points: str, words: str) -> None:
    made = survey(points)
    assert made.status == 2
    assert words in made.said
    assert "nothing was written" in made.said
    assert not made.out.exists()


def test_a_file_that_is_too_large_is_not_read(survey: Run, tmp_path: Path) -> None:
    big = tmp_path / "big.csv"
    with big.open("wb") as stream:
        stream.truncate(17_000_000)
    made = survey(THREE, words=(str(big),)[:0])
    assert made.status == 0
    assert main(["import", str(big), "-o", str(tmp_path / "x.yml")]) == 2
    rows = "".join(f"B{i},{i},0\n" for i in range(20_001))
    assert "more than 20,000 points" in survey(f"id,x_m,y_m\n{rows}").said
    net = "".join(f"h{i},0,{i}\nh{i},900,{i}\nv{i},{i},0\nv{i},{i},900\n" for i in range(400))
    assert "cross one another more than 100,000 times" in survey(THREE, f"line,x_m,y_m\n{net}").said
    many = "line,x_m,y_m\n" + "".join(f"1,{i},1\n" for i in range(10_002))
    assert "more than 10,000 straight pieces" in survey(THREE, many).said


def test_a_job_that_is_there_is_never_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    points, out = tmp_path / "points.csv", tmp_path / "new.yml"
    points.write_text(THREE)
    out.write_text("mine")
    assert main(["import", str(points), "-o", str(out)]) == 2
    assert "already exists; it was not changed" in capsys.readouterr().err
    assert out.read_text() == "mine"
    out.unlink()
    out.symlink_to(tmp_path / "nowhere.yml")
    assert main(["import", str(points), "-o", str(out)]) == 2
    assert not (tmp_path / "nowhere.yml").exists()


def test_without_a_base_the_start_file_is_used_and_check_names_its_placeholders(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points, out = tmp_path / "points.csv", tmp_path / "new.yml"
    points.write_text(THREE)
    assert main(["import", str(points), "-o", str(out)]) == 0
    assert main(["check", str(out)]) == 2
    found = read_job(out).findings
    assert {each.code for each in found} == {"value-not-set"}
    assert not [each for each in found if each.at[:1] == ("path",)]


@pytest.mark.parametrize("words", [("--from", "-5,7"), ("--from=-5,7",)])
def test_the_controller_is_where_it_is_said_to_be(survey: Run, words: tuple[str, ...]) -> None:
    made = survey("id,x_ft,y_ft\nB01,40,3\nB02,80,-3\n", words=words)
    assert made.status == 0, made.said
    assert made.reading.job is not None
    assert made.reading.job.path.controller_at == (-1.52, 2.13)
    assert list(made.boxes) == ["B01", "B02"]


def test_without_a_controller_the_first_point_is_taken_and_told(survey: Run) -> None:
    made = survey("id,x_m,y_m\nG,0,0\nB01,40,3\n")
    assert made.status == 0
    assert list(made.boxes) == ["B01"]
    assert "warning[survey-controller-guessed]" in made.said
    assert "# Guessed: controller: at the first point, G" in made.text


def test_a_place_that_is_none_is_refused_before_anything_is_read(capsys: pytest.CaptureFixture[str]) -> None:
    for text in ("1", "a,b", "1,nan", "1,2,3"):
        with pytest.raises(SystemExit):
            main(["import", "x.csv", "--from", text, "-o", "y.yml"])
        assert "is no place" in capsys.readouterr().err


def test_ids_are_made_up_where_there_are_none_and_told(survey: Run) -> None:
    made = survey("x_m,y_m\n0,0\n40,3\n80,0\n")
    assert list(made.boxes) == ["P02", "P03"]
    assert made.text.count("# id made up") == 2


def test_points_in_one_place_get_a_short_run_that_is_told(survey: Run) -> None:
    made = survey("id,x_m,y_m\ncontroller,0,0\nB01,40,0\nB02,40,0\n", "line,x_m,y_m\n1,0,20\n1,90,20\n")
    assert made.boxes["B02"].run.si == pytest.approx(0.1)
    assert "# in the same place as B01" in made.text
    assert made.boxes["B01"].run.si == pytest.approx(80.0), "20 m to the line, 40 m along it, 20 m from it"
    assert "20 m off the nearest line" in made.text


def test_x_and_y_without_a_unit_are_taken_as_metres_and_told(survey: Run) -> None:
    made = survey("id,x,y\ncontroller,0,0\nB01,40,0\n")
    assert made.status == 0
    assert "warning[survey-unit-guessed]" in made.said
    assert "Guessed: unit: x and y taken as metres" in made.text


def test_a_device_is_taken_by_its_outputs_and_told(survey: Run) -> None:
    made = survey("id,x_m,y_m,outputs\ncontroller,0,0,\nB01,40,0,2\nB02,80,0,0\n")
    assert made.boxes["B01"].device == "two"
    assert made.boxes["B01"].station_numbers == (1, 2)
    assert "# device by its outputs" in made.text
    assert made.boxes["B02"].station_numbers == ()


def test_boxes_that_no_line_leads_to_are_joined_straight_and_told(survey: Run) -> None:
    points = "id,x_m,y_m\ncontroller,0,0\nB01,40,0\nB02,40,60\nB03,80,60\n"
    made = survey(points, "line,x_m,y_m\n1,0,0\n1,45,0\n2,40,60\n2,90,60\n")
    assert made.status == 0
    assert "warning[survey-lines-apart]" in made.said
    assert made.boxes["B02"].from_ == "B01"
    assert made.boxes["B02"].run.si == pytest.approx(63.0)
    assert made.boxes["B03"].run.si == pytest.approx(40.0)
    assert "# straight: no line leads here" in made.text


def test_points_and_lines_of_two_systems_are_refused(survey: Run) -> None:
    line = collection(feature("LineString", [[0, 0], [1, 1]]))
    assert survey(THREE, line).status == 2
    far = survey(THREE, "line,x_m,y_m\n1,9000,0\n1,9100,0\n")
    assert far.status == 2
    assert "the lines are 9 km away" in far.said


def test_polygons_and_empty_geometries_are_named(survey: Run) -> None:
    made = survey(collection(
        feature("Point", [0, 0], id="controller"), feature("Polygon", [[[0, 0], [1, 1], [1, 0]]]),
        {"type": "Feature", "properties": None, "geometry": None}, 7,
        feature("Point", [0.001, 0, 31.5], id="B01", stations=[4], electrode=True),
        feature("Point", [0.002, 0], id={"a": 1}), feature("MultiPoint", [[0.003, 0], [0.004, 0]], id="B03"),
        feature("Point", ["0.003", None], id="B05"),
    ))  # fmt: skip
    assert made.status == 1
    assert list(made.boxes) == ["B01"]
    assert made.boxes["B01"].electrode
    assert made.boxes["B01"].station_numbers == (4,)
    assert "feature 2: a Polygon is not read" in made.said
    for number in ("3", "4", "6", "7 (B03)", "8 (B05)"):
        assert f"feature {number}: " in made.said


def test_a_feature_is_placed_at_its_line(survey: Run) -> None:
    points = json.dumps(json.loads(collection(
        feature("Point", [0, 0], id="controller"), feature("Point", [0.001, 0], id="B01", features=["{", "x"]),
        feature("Point", [0.001, 95], id="B02"),
    )), indent=1)  # fmt: skip
    made = survey(points)
    start = [i for i, line in enumerate(points.split("\n"), 1) if line == "  {"][2]
    assert f"points.geojson:{start}:" in made.said


def base_with(**changes: str) -> str:
    return job_text(chain(2), **changes)


def test_the_base_keeps_its_remarks_its_ways_of_writing_and_all_but_its_boxes(survey: Run) -> None:
    base = (REPOSITORY / "site_data/jobs/heron-fold.yml").read_text(encoding="utf-8")
    made = survey(THREE, base=base)
    before, after = base.split("\npath:")[0], made.text.split("\npath:")[0]
    assert after.endswith(before)
    assert "  cable: path-14                       # every run that names no other" in made.text
    assert list(made.boxes) == ["B01", "B02"]


def test_the_rings_of_the_base_are_kept_where_their_boxes_are_and_told_where_not(survey: Run) -> None:
    closures = ("{from: B02, to: controller, run: 55 m}", "{from: B01, to: B77, run: 9 m}",
                "{from: controller, to: B01, run: 5 m}")  # fmt: skip
    made = survey(THREE, base=job_text(chain(2), closures, ring="true"))
    job = made.reading.job
    assert job is not None, [(each.code, each.message) for each in made.reading.findings]
    assert [(each.from_, each.to, each.run.text) for each in job.path.ring_closures] == [("B02", "controller", "55 m")]
    remarks = " ".join(line.lstrip("# ") for line in made.text.splitlines() if line.startswith("#"))
    for said in (" ".join(made.said.split()), remarks):
        assert "ring_closures: kept from the base, each with its run as it is there: B02-controller" in said
        assert "left out B01-B77: the survey has no B77" in said
        assert "left out controller-B01: a run joins these two already" in said


@pytest.mark.parametrize("where", ["first", "middle", "flow path", "flow job"])
def test_a_base_may_be_written_in_any_order_and_form(survey: Run, where: str) -> None:
    head, path = base_with().split("\npath:\n")
    path = "path:\n" + path
    texts = {
        "first": f"{path}\n# of the job\n{head}\n",
        "middle": head.replace("\ntrench:", f"\n{path}\n# about the trench\ntrench:"),
        "flow path": f"{head}\npath: {{cable: main, connector: sealed, solenoid: valve, boxes: []}}\n",
        "flow job": json.dumps(yaml.safe_load(base_with()), default=str),
    }
    made = survey(THREE, base=texts[where])
    assert made.status == 0, made.said
    assert list(made.boxes) == ["B01", "B02"]
    assert main(["check", str(made.out)]) in (0, 1)
    if where == "middle":
        assert "# about the trench\ntrench:" in made.text


def test_what_the_path_of_the_base_leaves_out_is_guessed_and_told(survey: Run) -> None:
    made = survey(THREE, base=base_with().split("path:\n")[0])
    assert made.status == 0
    assert "# Guessed: connector is sealed; the base states none" in made.text
    assert main(["check", str(made.out)]) in (0, 1)


def test_a_base_that_cannot_be_read_is_refused(survey: Run) -> None:
    made = survey(THREE, base="job: [\n")
    assert made.status == 2
    assert "yaml-syntax" in made.said


def test_the_standard_of_the_base_is_found_from_the_new_file(tmp_path: Path) -> None:
    home, other = tmp_path / "work" / "base", tmp_path / "work" / "new"
    for folder in (home, other):
        folder.mkdir(parents=True)
    text = base_with().replace("job:\n", "standard: ../house.yml\njob:\n", 1)
    connectors = text[text.index("connectors:") : text.index("rules:")]
    (tmp_path / "work/house.yml").write_text(connectors)
    (home / "base.yml").write_text(text.replace(connectors, ""))
    (home / "points.csv").write_text(THREE)
    (tmp_path / "work/points.csv").write_text(THREE)
    for out, written in ((other / "job.yml", "../house.yml"), (tmp_path / "work/job.yml", "house.yml")):
        assert main(["import", str(home / "points.csv"), "--job", str(home / "base.yml"), "-o", str(out)]) == 0
        assert yaml.safe_load(out.read_text())["standard"] == written
        assert main(["check", str(out)]) in (0, 1)


def test_feet_are_written_where_the_job_shows_feet(survey: Run) -> None:
    made = survey("id,x_ft,y_ft\ncontroller,0,0\nB01,100,0\n", base=base_with(units="us"))
    assert "run: 105 ft" in made.text
    assert made.boxes["B01"].run.si == pytest.approx(105 * 0.3048)


def test_the_same_survey_gives_the_same_bytes_in_any_order_of_hash(survey: Run, tmp_path: Path) -> None:
    points = "id,x_m,y_m\ncontroller,0,0\n" + "".join(f"B{i},{i * 7 % 90},{i * 13 % 80}\n" for i in range(40))
    lines = "line,x_m,y_m\n" + "".join(f"{i},{0},{i * 10}\n{i},{90},{i * 10}\n" for i in range(9))
    assert survey(points, lines).text == survey(points, lines).text


def test_nothing_can_be_written_is_told(tmp_path: Path) -> None:
    if os.geteuid() == 0:
        pytest.skip("root may write anywhere")
    (tmp_path / "points.csv").write_text(THREE)
    folder = tmp_path / "closed"
    folder.mkdir(mode=0o500)
    assert main(["import", str(tmp_path / "points.csv"), "-o", str(folder / "x.yml")]) == 2


def test_a_box_is_fed_from_one_that_comes_before_it(survey: Run) -> None:
    rows = "".join(f"B{i},{i % 20 * 9},{i // 20 * 11 + i % 20}\n" for i in range(400))
    made = survey(f"id,x_m,y_m\ncontroller,0,0\n{rows}")
    boxes = made.boxes
    order = list(boxes)
    assert len(order) == 400
    place = {name: i for i, name in enumerate(["controller", *order])}
    assert all(place[boxes[name].from_] < place[name] for name in order)
    assert all(one != other for one, other in pairwise(order))
