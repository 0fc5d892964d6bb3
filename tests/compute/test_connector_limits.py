"""A connector takes what its pack says and not half a per cent more: each limit is met and passed by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.compute.cable.splices import Wire, misfits
from slackloop.document.worked import work
from slackloop.site.models import Connector


@pytest.fixture(scope="module")
def sealed(tmp_path_factory: pytest.TempPathFactory) -> Connector:
    """A connector for 18 to 10 AWG, 0.8231 to 5.261 mm² by ASTM B258, and 1.6 to 14 mm² together."""
    return connector_of(tmp_path_factory.mktemp("connector"), "1.6 mm2")


def connector_of(folder: Path, least: str) -> Connector:
    """That of the sample job, with another least copper."""
    path = folder / "job.yml"
    text = job_text(chain(2))
    assert "area: 1.6 mm2" in text
    path.write_text(text.replace("area: 1.6 mm2", f"area: {least}"), encoding="utf-8")
    return work(path).job.connectors["sealed"]


@pytest.mark.parametrize(
    ("areas", "reason"),
    [
        ((0.8232, 0.8232), ""),
        ((0.8190, 5.0), "outside its 18 AWG to 10 AWG"),
        ((5.260, 5.260), ""),
        ((5.288, 1.0), "outside its 18 AWG to 10 AWG"),
        ((0.825, 0.775), "outside"),
        ((5.2, 5.2, 3.6), ""),
        ((5.2, 5.2, 3.67), "of copper together"),
        ((1.0, 5.2, 5.2, 2.6), ""),
    ],
)
def test_a_limit_is_met_and_not_passed(sealed: Connector, areas: tuple[float, ...], reason: str) -> None:
    wires = [Wire(f"wire {n}", area, "by hand") for n, area in enumerate(areas)]
    found = misfits(wires, sealed)
    assert [reason in each for each in found] == [True] * bool(reason)


@pytest.mark.parametrize(("least", "refused"), [("1.64 mm2", False), ("1.66 mm2", True)])
def test_too_little_copper_is_refused(tmp_path: Path, least: str, refused: bool) -> None:
    """Two of 18 AWG are 1.646 mm²."""
    wires = [Wire("18 AWG", 0.8231, "by hand")] * 2
    found = misfits(wires, connector_of(tmp_path, least))
    assert ["copper together" in each for each in found] == [True] * refused
