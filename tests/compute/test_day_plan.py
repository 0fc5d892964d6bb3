"""The programme: each run and box once, never before what feeds it, no day over the job's own rates, ends capped."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from samples import job_text, random_boxes
from slackloop.compute.computed_job import ComputedJob
from slackloop.document.worked import work

PROGRAMME = "programme: {start: 2026-03-06, boxes_a_day: 3, trench_a_day: 100 m, days: [mon, tue, wed, fri]}\njob:\n"


def analysis_of(text: str, folder: Path, programme: str = PROGRAMME) -> ComputedJob:
    path = folder / "job.yml"
    path.write_text(text.replace("job:\n", programme, 1), encoding="utf-8")
    return work(path).analysis


def test_a_chain_by_hand(tmp_path: Path) -> None:
    """Runs of 40 m at 100 m and 3 boxes a day: two and a half runs a day; Friday, then Monday to Wednesday, Friday."""
    text = job_text(["{ids: B1..B7, from: controller, run: 40 m, surface: lawn, device: one, stations: from 1}"])
    days = analysis_of(text, tmp_path).days
    assert [str(each.day) for each in days] == ["2026-03-06", "2026-03-09", "2026-03-10"]
    assert [each.boxes for each in days] == [("B1", "B2"), ("B3", "B4", "B5"), ("B6", "B7")]
    assert [[(run.run_id, run.from_m, run.to_m) for run in each.runs] for each in days] == [
        [("B1", 0, 40), ("B2", 0, 40), ("B3", 0, 20)],
        [("B3", 20, 40), ("B4", 0, 40), ("B5", 0, 40)],
        [("B6", 0, 40), ("B7", 0, 40)],
    ]
    assert [each.capped for each in days] == [("B3",), (), ()]


@pytest.mark.parametrize("seed", range(4))
def test_every_run_and_box_is_done_once_and_no_day_is_over_its_rates(seed: int, tmp_path: Path) -> None:
    analysis = analysis_of(job_text(random_boxes(40, seed=seed)), tmp_path)
    network, done = analysis.network, set[str]()
    dug = dict.fromkeys(network.boxes, 0.0)
    for number, plan in enumerate(analysis.days, 1):
        assert plan.number == number
        assert len(plan.boxes) <= 3
        assert sum(run.to_m - run.from_m for run in plan.runs) <= 100 + 1e-6
        open_ends = set()
        for run in plan.runs:
            assert run.from_m == pytest.approx(dug[run.run_id])
            dug[run.run_id] = run.to_m
            open_ends.add(run.run_id)
        for box in plan.boxes:
            start = network.runs[network.index[box]].from_id
            assert start == "controller" or start in done, "cable is laid on from a box that is there"
            assert box not in done
            done.add(box)
        assert set(plan.capped) == {end for end in open_ends if end not in done}, "no open end stays uncapped"
        assert plan.day.weekday() in (0, 1, 2, 4)
    assert done == set(network.boxes)
    assert [dug[run.id] for run in network.runs] == pytest.approx([run.length_m for run in network.runs])


def test_phases_follow_in_the_order_in_which_they_are_named(tmp_path: Path) -> None:
    text = job_text([
        "{id: B1, from: controller, run: 10 m, surface: lawn, phase: West}",
        "{ids: C1..C2, from: B1, run: 10 m, surface: lawn, phase: East}",
        "{ids: B2..B3, from: B1, run: 10 m, surface: lawn, phase: West}",
        "{id: E1, from: controller, run: 10 m, surface: lawn, existing: true}",
    ])  # fmt: skip
    days = analysis_of(text, tmp_path).days
    assert [each.boxes for each in days] == [("B1", "B2", "B3"), ("C1", "C2")]
    assert [each.phases for each in days] == [("West", "East"), ("East",)]  # its trench is begun


def test_without_a_programme_there_are_no_days(tmp_path: Path) -> None:
    assert analysis_of(job_text(random_boxes(4, seed=1)), tmp_path, "job:\n").days == ()


@pytest.mark.parametrize(("day", "warned"), [("2026-03-09", True), ("2026-03-10", False)])
def test_a_search_that_ends_before_the_digging_is_a_warning(day: str, warned: bool, tmp_path: Path) -> None:
    text = job_text(["{ids: B1..B7, from: controller, run: 40 m, surface: lawn, device: one, stations: from 1}"])
    text = text.replace("date: 2026-04-14", "date: 2026-03-01")
    analysis = analysis_of(text, tmp_path, f"locates: {{valid_to: {day}}}\n{PROGRAMME}")
    assert analysis.days[-1].day == datetime.date(2026, 3, 10)
    assert bool([each for each in analysis.findings if each.code == "locate-short"]) == warned
