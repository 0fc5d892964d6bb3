"""Where checks are due: crossings by the surface of the run, ends also where a ring is left open."""

from __future__ import annotations

from pathlib import Path

from samples import chain, job_text
from slackloop.document.worked import Worked, work
from slackloop.sections.inspection_points import CROSSED, is_due_at
from slackloop.sections.section import Where
from slackloop.site.models import SURFACES


def due(job: Worked, where: Where) -> list[str]:
    """The boxes at which a check that is done ``where`` is due."""
    network = job.analysis.network
    boxes = {box.id: box for box in job.job.path.boxes}
    return [id for index, id in enumerate(network.boxes) if is_due_at(where, boxes[id], index, network, ())]


def worked(folder: Path, text: str) -> Worked:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return work(path)


def test_a_crossing_is_checked_at_each_run_under_a_hard_surface(tmp_path: Path) -> None:
    assert set(SURFACES) - CROSSED == {"lawn", "planting", "gravel"}
    runs = [*chain(1), *(f"{{id: X{n}, from: B1, run: 20 m, surface: {name}}}" for n, name in enumerate(SURFACES))]
    job = worked(tmp_path, job_text(runs))
    assert due(job, "each-crossing") == [f"X{n}" for n, name in enumerate(SURFACES) if name in CROSSED]


def test_a_ring_is_read_where_it_is_left_open(tmp_path: Path) -> None:
    closing = ["{from: B4, to: B1, run: 30 m}"]
    assert due(worked(tmp_path, job_text(chain(4), ring="true", closures=closing)), "end-box") == ["B4"]
    assert due(worked(tmp_path, job_text(chain(4))), "end-box") == ["B4"]


def test_what_needs_a_cut_is_not_asked_for_where_the_sleeve_is_there_already(tmp_path: Path) -> None:
    """B2 crosses in an old sleeve of 6 m and is dug for the rest; B3 lies in one from end to end; B4 is bored so."""
    sleeve = "surface: drive, crossing: {{sleeve: 50 mm, length: {0}, depth: 600 mm, method: {1}}}, device: two"
    boxes = chain(5)
    for place, (long, method) in enumerate((("6 m", "existing"), ("50 m", "existing"), ("50 m", "bored")), 1):
        boxes[place] = boxes[place].replace("surface: lawn, device: two", sleeve.format(long, method))
    job = worked(tmp_path, job_text(boxes))
    assert due(job, "each-crossing") == ["B2", "B3", "B4"]
    assert due(job, "each-cut-crossing") == ["B4"]
    assert due(job, "each-dug-run") == ["B1", "B2", "B5"]
    assert due(job, "each-run") == ["B1", "B2", "B3", "B4", "B5"]
    assert [each.dug_m for each in job.analysis.trench.runs] == [50.0, 44.0, 0.0, 0.0, 50.0]
    (ordered,) = [each for each in job.analysis.materials if each.kind == "sleeve"]
    assert ordered.boxes == ("B4",)
