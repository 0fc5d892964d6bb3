"""The quantities of the job format on whole jobs, against an independent tally of the same files."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from compute.tally import JOBS, read
from slackloop.compute.computed_job import ComputedJob

NAMES = sorted(path.stem for path in JOBS.glob("*.yml"))
AnalysisOf = Callable[[str], ComputedJob]


def test_every_job_is_tallied() -> None:
    assert NAMES == ["garden", "links", "mixed", "ring"]


@pytest.mark.parametrize("name", NAMES)
def test_cable_is_runs_plus_slack(name: str, analysis_of: AnalysisOf) -> None:
    cable = {line.item: line.quantity for line in analysis_of(name).materials if line.kind == "cable"}
    assert cable == pytest.approx(read(name).cable_m())


@pytest.mark.parametrize("name", NAMES)
def test_reels_hold_the_cable_with_waste(name: str, analysis_of: AnalysisOf) -> None:
    tally = read(name)
    waste = 1 + float(tally.job["rules"]["waste"].split()[0]) / 100
    for line in (line for line in analysis_of(name).materials if line.kind == "cable"):
        if line.order_unit == "m":
            assert line.order == math.ceil(line.quantity * waste - 1e-9)
            continue
        reel_text = tally.job["cables"][line.item]["reel"]
        reel = float(reel_text.split()[0]) * (0.3048 if reel_text.endswith("ft") else 1.0)
        least = math.ceil(line.quantity * waste / reel)
        assert least <= line.order <= least + 1


@pytest.mark.parametrize("name", NAMES)
def test_connectors_by_splice(name: str, analysis_of: AnalysisOf) -> None:
    tally = read(name)
    spare = 1 + float(tally.job["rules"]["spare"].split()[0]) / 100
    lines = [line for line in analysis_of(name).materials if line.kind == "connector"]
    assert {line.item: line.quantity for line in lines} == tally.connectors()
    for line in lines:
        pack = tally.job["connectors"][line.item]["pack"]
        assert line.order == math.ceil(math.ceil(round(line.quantity * spare, 9)) / pack)


@pytest.mark.parametrize("name", NAMES)
def test_trench_volumes(name: str, analysis_of: AnalysisOf) -> None:
    trench = analysis_of(name).trench
    got = {"length": trench.length_m, "dug": trench.dug_m3, "loose": trench.loose_m3, "bedding": trench.bedding_m3,
           "surplus": trench.surplus_m3}  # fmt: skip
    assert got == pytest.approx(read(name).trench())


@pytest.mark.parametrize("name", NAMES)
def test_electrodes_stand_where_the_rules_say(name: str, analysis_of: AnalysisOf) -> None:
    places = [place.where for place in analysis_of(name).electrodes.places]
    assert set(places) == read(name).electrodes()
    assert len(places) == len(set(places))


@pytest.mark.parametrize("name", NAMES)
def test_tails_and_slack(name: str, analysis_of: AnalysisOf) -> None:
    tally, analysis = read(name), analysis_of(name)
    for box_id, slack in zip(analysis.network.boxes, analysis.slack, strict=True):
        tails = len(tally.tails()[box_id])
        assert slack.tails == tails
        assert slack.per_tail_m == pytest.approx(tally.tail_m(box_id))
        assert slack.total_m == pytest.approx(tally.tail_m(box_id) * tails)


@pytest.mark.parametrize("name", NAMES)
def test_materials_trace_to_boxes(name: str, analysis_of: AnalysisOf) -> None:
    tally, analysis = read(name), analysis_of(name)
    for line in analysis.materials:
        assert set(line.boxes) <= {box["id"] for box in tally.boxes()}
        assert line.boxes or line.kind == "rod"
        assert line.basis
    for device in {box["device"] for box in tally.boxes() if "device" in box}:
        line = next(line for line in analysis.materials if line.item == device)
        assert set(line.boxes) == {box["id"] for box in tally.boxes() if box.get("device") == device}
        assert line.quantity == line.order == len(line.boxes)
