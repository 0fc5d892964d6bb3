"""The order by phase: all phases add up to the whole, each has what it needs, and what is left over goes on."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from samples import job_text
from slackloop.document.context import Context
from slackloop.document.inline import plain
from slackloop.document.tables.order_tables import materials_table
from slackloop.document.tables.registry import table_of
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of

BOXES = (
    "{ids: A1..A4, from: controller, run: 300 m, surface: lawn, device: two, stations: from 1, phase: North}",
    "{ids: B1..B3, from: A4, run: 90 m, surface: lawn, device: one, stations: from 20, phase: South}",
    "{id: B4, from: B3, run: 20 m, surface: road, device: one, stations: [30], phase: South, duct: 50 mm, "
    "crossing: {sleeve: 100 mm, length: 9 m, depth: 900 mm}}",
    "{ids: C1..C2, from: B4, run: 40 m, surface: lawn, device: one, stations: from 40, phase: North}",
)
MATERIALS = """\
materials:
  - {title: Gravel, per: box, quantity: 0.05 m3}
  - {title: End cap, per: cable end, quantity: 2, pack: 100}
  - {title: Post, per: run, quantity: 3 ft}
  - {title: Seal, per: crossing, quantity: 2}
  - {title: Cord, per: metre, quantity: 2 m}
  - {title: Reel stand, per: reel, quantity: 1}
  - {title: Barrier set, per: job, quantity: 1}
path:
"""


@pytest.fixture(scope="module")
def context(tmp_path_factory: pytest.TempPathFactory) -> Context:
    path = tmp_path_factory.mktemp("phases") / "job.yml"
    path.write_text(job_text(BOXES).replace("path:\n", MATERIALS, 1), encoding="utf-8")
    return context_of(work(path))


def test_what_is_needed_is_shared_out_whole(context: Context) -> None:
    for line in context.analysis.materials:
        assert math.fsum(quantity for _, quantity in line.needs) == pytest.approx(line.quantity), line.item


def test_the_phases_add_up_to_the_order(context: Context) -> None:
    found = context.analysis.phased_orders
    assert {each.phase for each in found} == {"North", "South"}
    for line in context.analysis.materials:
        mine = [each for each in found if each.line is line]
        assert math.fsum(each.quantity for each in mine) == pytest.approx(line.quantity), line.item
        assert math.fsum(each.order for each in mine) == pytest.approx(line.order), line.item
        assert all(each.order >= 0 for each in mine)


def test_a_box_after_a_later_phase_waits_for_it(context: Context) -> None:
    """C1 and C2 are named North and are fed by South: their devices come with South, as on the day sheets."""
    devices = {each.phase: each.quantity for each in context.analysis.phased_orders if each.line.item == "one"}
    assert devices == {"South": 4 + 2}
    tape = {e.phase: e.quantity for e in context.analysis.phased_orders if e.line.kind == "tape"}
    assert tape == {"North": pytest.approx(1200), "South": pytest.approx(3 * 90 + 20 + 2 * 40)}


def test_what_a_pack_has_left_goes_on_into_the_next_phase(context: Context) -> None:
    """20 cable ends of two caps, all from the one pack of 100 that the first phase orders."""
    caps = [(e.phase, e.quantity, e.order) for e in context.analysis.phased_orders if e.line.item == "End cap"]
    assert caps == [("North", 16, 1), ("South", 24, 0)]


def test_a_reel_is_there_for_the_first_phase_that_pulls_from_it(context: Context) -> None:
    (plan,) = context.analysis.reels
    first = {f"A{n}" for n in range(1, 5)}
    north = sum(any(piece.run_id in first for piece in reel.pieces) for reel in plan.reels)
    reels = {each.phase: each.order for each in context.analysis.phased_orders if each.line.kind == "cable"}
    assert reels.get("North", 0) == north
    assert sum(reels.values()) == plan.reel_count


def test_the_page_lists_each_phase(context: Context) -> None:
    table = table_of(context, "order-phases")
    assert table is not None
    assert [part.title for part in table.parts] == ["Phase North", "Phase South"]
    assert "from what is left over" in {plain(row[4].line) for row in table.parts[1].rows}


def test_a_job_without_phases_has_no_such_list(tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_text(job_text([each.replace(", phase: North", "").replace(", phase: South", "") for each in BOXES]))
    assert work(path).analysis.phased_orders == ()


def test_the_order_names_the_receiving_test_of_each_reel(context: Context) -> None:
    """The check of a reel stands with its limit where cable is ordered."""
    (plan,) = context.analysis.reels
    told = [plain(note) for note in materials_table(context).notes]
    (found,) = [note for note in told if "C-LAY-REEL" in note]
    assert f"{plan.reel_count} reels" in found
    assert "10 MΩ" in found


def test_cable_without_a_length_of_reel_is_ordered_by_the_metre(tmp_path: Path) -> None:
    """Whole metres with waste for all that is needed up to a phase, less those of the phases before."""
    path = tmp_path / "job.yml"
    path.write_text(job_text(BOXES).replace("    reel: 750 m\n", "", 1), encoding="utf-8")
    analysis = context_of(work(path)).analysis
    (line,) = [each for each in analysis.materials if each.kind == "cable"]
    assert line.order_unit == "m"
    north, south = [each for each in analysis.phased_orders if each.line is line]
    assert north.order == math.ceil(north.quantity * 1.05)
    assert south.order == math.ceil((north.quantity + south.quantity) * 1.05) - north.order
    assert north.order + south.order == line.order == math.ceil(line.quantity * 1.05)
