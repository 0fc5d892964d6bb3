"""The work of the core of ``check`` grows with the boxes and no faster; how long it takes is the benchmarks' matter."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from benchmarks.check_core import AT_ONCE, big_path
from samples import chain, job_text
from slackloop.compute.circuit.volts import constant_current_volts, standby_drop
from slackloop.compute.ground.cover import cover_findings, run_covers
from slackloop.reference.tables import ReferenceTables
from slackloop.site.network import build_network
from slackloop.site.reader import read_job
from work_count import growth


def core_of(count: int) -> Callable[[], object]:
    feeder, loads = big_path(count)
    return lambda: (standby_drop(feeder, loads.standby), constant_current_volts(feeder, loads, AT_ONCE))


def test_volts_of_four_times_the_boxes_are_four_times_the_work() -> None:
    assert growth(core_of, 500, times=4) < 4.5


def test_cover_of_four_times_the_boxes_is_about_four_times_the_work(
    tmp_path: Path, tables: ReferenceTables
) -> None:
    """Each run has a cover of its own; a search through all boxes for each run would be sixteen times the work."""

    def cover_of(count: int) -> Callable[[], object]:
        path = tmp_path / f"{count}.yml"
        boxes = [box.replace("surface: lawn", "surface: lawn, cover: 500 mm") for box in chain(count)]
        path.write_text(job_text(boxes, volts="56 V"), encoding="utf-8")
        job = read_job(path).job
        assert job is not None
        network, basis = build_network(job), tables.code_bases[job.job.code_basis]
        covers = run_covers(job, network, basis)
        return lambda: cover_findings(job, network, covers, basis)

    assert growth(cover_of, 100, times=4) < 5
