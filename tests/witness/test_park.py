"""A municipal park as a contractor wrote it: counted and solved here from its text alone.

``witness.written_out`` writes its chains out, ``witness.nodal`` solves the nodal equations, ``compute.tally`` walks
from electrode to electrode, and everything that is ordered is counted below. None of them knows anything of ours.
"""

from __future__ import annotations

import json
import math
import re
from typing import Any

import pytest

from book_samples import rows_of, standing
from compute.tally import SOIL, Tally
from slackloop.cli import main
from slackloop.document.inline import plain
from witness.nodal import JOBS, loop_readings, metres, soil, worst_volts
from witness.written_out import written_out

PARK = JOBS / "park.yml"
MICROVOLT = 1e-6
SPARE = WASTE = 0.05


def park() -> dict[str, Any]:
    """The job with its chains written out, and without the word for what is not sure."""
    return written_out(re.sub(r"\bassumed ", "", PARK.read_text(encoding="utf-8")))


@pytest.fixture(scope="module")
def record() -> dict[str, Any]:
    from contextlib import redirect_stdout
    from io import StringIO

    out = StringIO()
    with redirect_stdout(out):
        assert main(["check", "--json", str(PARK)]) == 0
    found: dict[str, Any] = json.loads(out.getvalue())
    return found


def test_every_box_has_the_volts_of_the_nodal_solution(record: dict[str, Any]) -> None:
    job = park()
    worst, rest = worst_volts(job), worst_volts(job, at_once=0)
    assert len(record["boxes"]) == len(job["path"]["boxes"]) == 52
    for box, found in record["boxes"].items():
        assert found["worst_volts"] == pytest.approx(worst[box], abs=MICROVOLT), box
        assert found["standby_volts"] == pytest.approx(rest[box], abs=MICROVOLT), box


def test_every_loop_reads_as_the_nodal_solution_shorted_there(record: dict[str, Any]) -> None:
    job = park()
    coldest, hottest = soil(job)
    for name, celsius in (("20c", 20.0), ("cold", coldest), ("hot", hottest)):
        readings = loop_readings(job, celsius)
        for box, found in record["boxes"].items():
            assert found[f"loop_ohms_{name}"] == pytest.approx(readings[box], abs=1e-8), (box, name)


def counted() -> dict[str, tuple[float, float | None]]:
    """What the park takes: quantity by item, and the order where it follows from a spare and a pack alone."""
    job = park()
    boxes = job["path"]["boxes"]
    new = [box for box in boxes if not box.get("existing")]
    slack = metres(job["rules"]["slack"]["length"])
    tails = {box["id"]: 1 for box in boxes}
    for box in boxes:
        if box["from"] != "controller":
            tails[box["from"]] += 1
    fed_by_new = {box["from"] for box in new}
    runs_m = sum(metres(box["run"]) for box in new)
    slack_m = sum(slack * (1 if box["from"] == "controller" else 2) for box in new)
    devices: dict[str, int] = {}
    splices = stations = long_leads = 0
    lead_m = 0.0
    for box in boxes:
        fitted = box.get("devices") or ([box] if "device" in box else [])
        if (not box.get("existing") or box["id"] in fed_by_new) and tails[box["id"]] + len(fitted) >= 2:
            splices += 2
        for device in fitted if not box.get("existing") else ():
            devices[device["device"]] = devices.get(device["device"], 0) + 1
            for station in device.get("stations", ()):
                lead = metres((station.get("lead") if isinstance(station, dict) else None) or box["lead"])
                stations += 1
                long_leads += lead > 1.5
                lead_m += lead if lead > 1.5 else 0.0
    crossing_m = sum(metres(box["crossing"]["length"]) for box in new if "crossing" in box)
    ends = 2 * len(new)
    connectors = splices + 2 * stations + 2 * long_leads
    return {
        "main": (runs_m + slack_m, None), "lead": (lead_m, None),
        "sealed": (connectors, math.ceil(math.ceil(connectors * (1 + SPARE)) / 25)),
        **{name: (number, number) for name, number in devices.items()},
        "valve": (stations, stations), "warning tape": (runs_m, math.ceil(runs_m * (1 + WASTE))),
        "sleeve 2 in": (crossing_m, math.ceil(crossing_m * (1 + WASTE))),
        "device label": (2 * sum(devices.values()), None), "cable label": (ends, None),
        "Gravel under the box": (1.5 * len(new), math.ceil(1.5 * len(new) * (1 + SPARE) * 10) / 10),
        "Cable end cap": (ends, math.ceil(math.ceil(ends * (1 + SPARE)) / 50)),
    }  # fmt: skip


def test_everything_that_is_ordered_is_counted_again(record: dict[str, Any]) -> None:
    found = {each["item"]: each for each in record["materials"]}
    for item, (quantity, order) in counted().items():
        assert found[item]["quantity"] == pytest.approx(quantity), item
        if order is not None:
            assert found[item]["order"] == pytest.approx(order), item
    others = set(found) - set(counted())
    assert others == {"earth rod 1.8 m × 15 mm", "bedding sand"}
    for cable in ("main", "lead"):
        reel = metres(park()["cables"][cable]["reel"])
        assert found[cable]["order"] * reel >= found[cable]["quantity"] * (1 + WASTE) - reel * 1e-9


def test_the_trench_is_dug_as_deep_as_each_run_asks_for(record: dict[str, Any]) -> None:
    job = park()
    pipe, bedding, width = (metres(job["trench"][key]) for key in ("shared_with_pipe", "bedding", "width"))
    loose, compacted = SOIL["common earth"]
    length = dug = surplus = 0.0
    for box in job["path"]["boxes"]:
        if box.get("existing"):
            continue
        run, cover = metres(box["run"]), metres(box.get("cover", job["rules"]["cover"]))
        assert "crossing" not in box or metres(box["crossing"]["sleeve"]) < pipe, "else it would be deeper there"
        length += run
        here = width * (cover + pipe + bedding) * run
        space = here - width * (2 * bedding + pipe) * run
        dug += here
        surplus += (here - min(space / compacted, here)) * loose
    zone = (width * (2 * bedding + pipe) - math.pi * pipe * pipe / 4) * length
    assert record["trench"] == pytest.approx(
        {"length_m": length, "dug_m3": dug, "loose_m3": dug * loose, "bedding_m3": zone, "surplus_m3": surplus}
    )
    (sand,) = (each for each in record["materials"] if each["item"] == "bedding sand")
    assert sand["quantity"] == pytest.approx(zone)


def test_the_park_makes_a_handbook_with_a_page_for_each_box_and_a_choice_of_cable() -> None:
    book = standing(PARK)
    boxes = [page for page in book.pages if page.id.startswith("boxes/") and page.id != "boxes/all"]
    assert len(boxes) >= 52
    rows = rows_of(book.tables["cable-choice"])
    assert [row[0] for row in rows] == ["this job", "one cable throughout", "a cable for each run"]
    assert "Proved" in plain(book.tables["cable-choice"].notes[0])


def test_electrodes_are_where_a_walk_asks_for_one_and_their_parts_are_counted(
    record: dict[str, Any], tmp_path: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    """Earth wire and clamps are materials of the job's own, for each new electrode."""
    job = park()
    tally = Tally(job)
    tally.runs = [
        {"from": box["from"], "to": box["id"], "m": metres(box["run"]), "closes": False, "cable": "main"}
        for box in job["path"]["boxes"]
    ]
    placed = tally.electrodes()
    assert record["electrodes"]["count"] == len(placed)
    assert {box for box, found in record["boxes"].items() if found["electrode"]} == placed - {"controller"}
    (rod,) = (each for each in record["materials"] if each["item"].startswith("earth rod"))
    new = len(placed - {"M1"})
    assert rod["quantity"] == new * record["electrodes"]["rods_for_target"]
    more = (
        "  - {title: Earth wire, per: electrode, quantity: 3 m}\n"
        "  - {title: Earth clamp, per: electrode, quantity: 2, pack: 10}\n"
    )
    text = PARK.read_text(encoding="utf-8").replace("materials:\n", f"materials:\n{more}", 1)
    (tmp_path / "park.yml").write_text(text, encoding="utf-8")
    main(["check", "--json", str(tmp_path / "park.yml")])
    found = {each["item"]: each for each in json.loads(capsys.readouterr().out)["materials"]}
    assert found["Earth wire"]["quantity"] == pytest.approx(3.0 * new)
    assert found["Earth clamp"]["quantity"] == 2 * new
    assert found["Earth clamp"]["order"] == math.ceil(math.ceil(2 * new * (1 + SPARE)) / 10)
