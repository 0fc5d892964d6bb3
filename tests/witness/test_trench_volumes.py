"""Volumes of a trench against its cross-section, cut into strips and integrated by scipy."""

from __future__ import annotations

from pathlib import Path

import pytest
from scipy.integrate import quad

from samples import chain, job_text
from slackloop.document.worked import work

WIDTH, PIPE, BEDDING = 0.150, 0.063, 0.075
"""As the sample job states them, in metres."""


def pipe_width(height: float) -> float:
    """How wide the pipe is at a height over the bottom of the trench; it lies on its bedding."""
    from_centre = height - BEDDING - PIPE / 2
    return 2 * max((PIPE / 2) ** 2 - from_centre**2, 0.0) ** 0.5


def test_a_run_of_trench_is_its_cross_section_times_its_length(tmp_path: Path) -> None:
    text = job_text(chain(2))
    assert "width: 150 mm" in text
    assert "shared_with_pipe: 63 mm" in text
    (tmp_path / "job.yml").write_text(text, encoding="utf-8")
    given = work(tmp_path / "job.yml")
    assert given.job.trench.bedding.si == BEDDING
    soil = given.tables.soils.rows[given.job.conditions.soil]
    for run in given.analysis.trench.runs:
        cover = next(each.cover_m for each in given.analysis.network.all_runs if each.id == run.run_id)
        depth = cover + PIPE + BEDDING
        zone = BEDDING + PIPE + BEDDING
        edges = (BEDDING, BEDDING + PIPE)
        around, _ = quad(lambda height: WIDTH - pipe_width(height), 0, zone, points=edges, limit=200)
        over, _ = quad(lambda _: WIDTH, zone, depth)
        assert run.depth_m == pytest.approx(depth, rel=1e-12)
        assert run.bedding_m3 == pytest.approx(around * run.length_m, rel=1e-6)
        assert run.backfill_m3 == pytest.approx(over * run.length_m, rel=1e-9)
        assert run.dug_m3 == pytest.approx((WIDTH * zone + over) * run.length_m, rel=1e-9)
        kept = min(run.backfill_m3 / soil.bank_to_compacted, run.dug_m3)
        assert run.surplus_m3 == pytest.approx((run.dug_m3 - kept) * soil.bank_to_loose, rel=1e-9)
