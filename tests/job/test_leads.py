"""What the job format says of leads: 1 m when left out, and a cable of its own only where longer than 1.5 m."""

from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.document.worked import work


def connectors_and_lead(folder: Path, lead: str) -> tuple[int, float]:
    """Connectors before spares of one end box with two stations, and the metres of its lead."""
    (box,) = chain(1)
    path = folder / "job.yml"
    path.write_text(job_text([box.replace("}", f"{lead}}}")]), encoding="utf-8")
    worked = work(path)
    (line,) = [each for each in worked.analysis.materials if each.kind == "connector"]
    return int(line.quantity), worked.analysis.solenoids[0].lead_m


@pytest.mark.parametrize(
    ("lead", "connectors", "metres"),
    [("", 6, 1.0), (", lead: 1.5 m", 6, 1.5), (", lead: 1.51 m", 10, 1.51)],
    ids=["left out", "1.5 m", "1.51 m"],
)
def test_two_more_splices_a_station_beyond_one_and_a_half_metres(
    lead: str, connectors: int, metres: float, tmp_path: Path
) -> None:
    """Two path splices, two a station at the device, and two more a station at the solenoid of a longer lead."""
    found, lead_m = connectors_and_lead(tmp_path, lead)
    assert found == connectors
    assert lead_m == pytest.approx(metres)
