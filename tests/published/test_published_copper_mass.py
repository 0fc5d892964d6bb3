"""Mass of copper conductors, NBS Circular 31: pounds for each 1000 ft (from memory, to be checked)."""

from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.compute.alternatives import outlook
from slackloop.document.worked import work

POUND_KG = 0.45359237
KILOFOOT_M = 304.8


@pytest.mark.parametrize(
    ("size", "pounds", "within"),
    [("16 AWG", 7.818, 0.0005), ("14 AWG", 12.43, 0.005), ("12 AWG", 19.77, 0.005), ("10 AWG", 31.43, 0.005)],
)
def test_nbs_circular_31_pounds(size: str, pounds: float, within: float, tmp_path: Path) -> None:
    """Three boxes 50 m apart with 1.5 m of slack on each of five cable ends: 157.5 m of pair, 315 m of conductor."""
    path = tmp_path / "job.yml"
    path.write_text(job_text(chain(3)), encoding="utf-8")
    worked = work(path)
    sizes = outlook(worked.job, worked.analysis.network, worked.tables, worked.analysis.lengths).sizes
    (row,) = [each for each in sizes if each.label == size]
    assert row.copper_kg / POUND_KG / (315.0 / KILOFOOT_M) == pytest.approx(pounds, abs=within)
