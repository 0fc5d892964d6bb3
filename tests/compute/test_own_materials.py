"""Crossings, ducts and the job's own materials, counted by hand."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest

from samples import DEMO, job_text
from slackloop.cli import main
from slackloop.document.inline import plain
from slackloop.document.tables.order_tables import materials_table
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of
from slackloop.units.amount import parse_amount
from slackloop.units.unit_table import QuantityError

BOXES = (
    "{id: E1, from: controller, run: 30 m, surface: lawn, device: one, stations: [1], existing: true}",
    "{ids: A1..A4, from: E1, run: 40 m, surface: lawn, device: two, stations: from 2}",
    "{id: A5, from: A4, run: 20 m, surface: road, devices: [{device: one, stations: [20]}, {device: two}], "
    "crossing: {sleeve: 100 mm, length: 9 m, depth: 900 mm, owner: Highways}}",
    "{id: B1, from: controller, run: 25 m, surface: lawn, device: one, stations: [30], duct: 38 mm}",
)
MATERIALS = """\
materials:
  - {title: Gravel, per: box, quantity: 0.05 m3, part: G-1}
  - {title: End cap, per: cable end, quantity: 2, pack: 100}
  - {title: Tag, per: device, quantity: 1}
  - {title: Clamp, per: electrode, quantity: 1}
  - {title: Seal, per: crossing, quantity: 2}
  - {title: Post, per: run, quantity: 3 ft}
  - {title: Reel stand, per: reel, quantity: 1}
  - {title: Cord, per: metre, quantity: 2 m}
  - {title: Barrier set, per: job, quantity: 1}
path:
"""


def record_of(folder: Path, capsys: pytest.CaptureFixture[str], *pairs: tuple[str, str]) -> dict:
    text = job_text(BOXES).replace("path:\n", MATERIALS, 1)
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    main(["check", "--json", str(path)])
    return json.loads(capsys.readouterr().out)


def test_each_material_is_counted_by_what_it_is_for(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """New: 6 boxes with 7 devices, 6 runs, 12 cable ends of which 1 at the controller; 205 m of trench."""
    record = record_of(tmp_path, capsys)
    found = {each["item"]: each for each in record["materials"] if each["kind"] == "other"}
    amounts = {item: (each["quantity"], each["unit"]) for item, each in found.items()}
    reels = sum(each["order"] for each in record["materials"] if each["order_unit"] == "reel")
    assert amounts == {
        "Gravel": (pytest.approx(0.3), "m3"), "End cap": (24, "each"), "Tag": (7, "each"),
        "Clamp": (3, "each"), "Seal": (2, "each"), "Post": (18, "ft"), "Reel stand": (reels, "each"),
        "Cord": (pytest.approx(410), "m"), "Barrier set": (1, "each"),
    }  # fmt: skip
    assert found["Gravel"]["part"] == "G-1"
    assert (found["End cap"]["order"], found["End cap"]["order_unit"]) == (1, "pack")
    assert (found["Tag"]["order"], found["Post"]["order"], found["Barrier set"]["order"]) == (8, 18.9, 1)  # 5 % spare


def test_what_the_job_orders_in_feet_stands_in_metres_beside_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """6 posts of 3 ft: 18 ft, with 5 % spare 18.9 ft."""
    found = {each["item"]: each for each in record_of(tmp_path, capsys)["materials"]}
    post = found["Post"]
    assert (post["si_quantity"], post["si_unit"]) == (pytest.approx(18 * 0.3048), "m")
    assert (post["si_order"], post["si_order_unit"]) == (pytest.approx(18.9 * 0.3048), "m")
    assert "si_quantity" not in found["Cord"], "metres already"
    assert "si_quantity" not in found["End cap"], "pieces"
    job = work(tmp_path / "job.yml")
    table = materials_table(context_of(job))
    keys = [column.key for column in table.columns]
    rows = {plain(row[0].line): dict(zip(keys, row, strict=True)) for row in table.rows}
    assert rows["Post"]["si_quantity"].number == pytest.approx(5.4864)
    assert plain(rows["Post"]["si_order_unit"].line) == "m"
    assert rows["Gravel"]["si_quantity"].number == rows["Gravel"]["quantity"].number


def test_a_sleeve_is_dug_as_deep_as_it_needs_over_its_length(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Beside it 450 + 63 + 75 mm; over 9 m it is 900 + 100 + 75 mm deep; the trench is 150 mm wide."""
    record = record_of(tmp_path, capsys)
    normal, deep, width = 0.45 + 0.063 + 0.075, 0.9 + 0.1 + 0.075, 0.15
    assert record["trench"]["length_m"] == pytest.approx(4 * 40 + 20 + 25)
    assert record["trench"]["dug_m3"] == pytest.approx(width * (normal * (205 - 9) + deep * 9))
    zone = 2 * 0.075 + 0.063
    assert record["trench"]["bedding_m3"] == pytest.approx((width * zone - math.pi / 4 * 0.063**2) * 205)
    sleeve, duct = (next(each for each in record["materials"] if each["kind"] == kind) for kind in ("sleeve", "duct"))
    assert (sleeve["item"], sleeve["quantity"], sleeve["order"]) == ("sleeve 100 mm", 9.0, 10)
    assert (duct["item"], duct["quantity"], duct["order"]) == ("duct 38 mm inside", 25.0, 27)


def test_what_is_bored_is_not_dug(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = record_of(tmp_path, capsys, ("owner: Highways", "method: bored"))
    assert record["trench"]["length_m"] == pytest.approx(205 - 9)
    assert record["trench"]["dug_m3"] == pytest.approx(0.15 * (0.45 + 0.063 + 0.075) * (205 - 9))


def test_a_shallow_sleeve_does_not_make_the_trench_shallower(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = record_of(tmp_path, capsys, ("depth: 900 mm", "depth: 300 mm"))
    assert record["trench"]["dug_m3"] == pytest.approx(0.15 * (0.45 + 0.063 + 0.075) * 205)


@pytest.mark.parametrize(
    ("pair", "code"),
    [
        (("length: 9 m", "length: 21 m"), "sleeve-long"),
        (("sleeve: 100 mm", "sleeve: 9 mm"), "sleeve-narrow"),
        (("duct: 38 mm", "duct: 9 mm"), "sleeve-narrow"),
        (("depth: 900 mm", "depth: 500 mm"), "cover-low"),
    ],
)
def test_a_sleeve_that_cannot_do_is_an_error(
    pair: tuple[str, str], code: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    us = (("code_basis: general", "code_basis: us"), ("volts: 36 V", "volts: 28 V"), ("cover: 450 mm", "cover: 600 mm"))
    assert not [each for each in record_of(tmp_path, capsys, *us)["findings"] if each["level"] == "error"]
    errors = {each["code"] for each in record_of(tmp_path, capsys, *us, pair)["findings"] if each["level"] == "error"}
    assert errors == {code}


@pytest.mark.parametrize(
    ("text", "number", "unit", "si"),
    [
        ("2", 2, "each", 2),
        ("0.5", 0.5, "each", 0.5),
        ("1.5 ft3", 1.5, "ft3", 1.5 * 0.3048**3),
        ("3 ft (0.9 m)", 3, "ft", 0.9144),
    ],
)
def test_an_amount_keeps_its_unit(text: str, number: float, unit: str, si: float) -> None:
    amount = parse_amount(text)
    assert (amount.number, amount.unit, amount.si) == (pytest.approx(number), unit, pytest.approx(si))


@pytest.mark.parametrize("text", ["0", "-2", "2 kg", "some", "0 m", "1,5"])
def test_what_is_no_amount_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_amount(text)


def notes_of(path: Path) -> str:
    return " ".join(plain(note) for note in materials_table(context_of(work(path))).notes)


def test_what_the_method_takes_and_no_line_is_for_is_listed_with_its_count(tmp_path: Path) -> None:
    """6 new boxes, 6 new runs with two ends each; electrodes at the controller, A5 and B1: 3, each of one rod or more.

    The one run under a road has its sleeve, so no sleeve is missing.
    """
    path = tmp_path / "job.yml"
    path.write_text(job_text(BOXES), encoding="utf-8")
    told = notes_of(path)
    assert "Not stated by the job, so not ordered here: 6 valve boxes; gravel under 6 boxes; end caps for 12" in told
    assert "sleeves for the runs" not in told
    assert "the earth leads of 3 electrodes." in told
    path.write_text(job_text(BOXES).replace("path:\n", MATERIALS, 1), encoding="utf-8")
    told = notes_of(path)
    assert "so not ordered here: 6 valve boxes; the earth leads of 3 electrodes." in told
    crossed = BOXES[3].replace("lawn", "drive").replace(", duct: 38 mm", "")
    path.write_text(job_text([*BOXES[:3], crossed]), encoding="utf-8")
    assert "sleeves for the runs that cross and name none (B1)" in notes_of(path)


def test_the_order_says_whose_answer_comes_before_it() -> None:
    """The demonstration asks whether its supply is of a class that lets this cable be used, and nobody has answered."""
    worked = work(DEMO)
    asked = next(each for each in worked.findings if each.code == "power-class").asks
    told = f"Ask before you order: {asked[:1].upper()}{asked[1:]} must answer before cable and connectors are ordered."
    assert told in notes_of(DEMO)
    others = tuple(each for each in worked.findings if each.code != "power-class")
    settled = context_of(replace(worked, findings=others))
    assert "Ask before you order" not in " ".join(plain(note) for note in materials_table(settled).notes)
