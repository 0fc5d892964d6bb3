"""Each line of the materials says where its figure comes from, and names nothing that is not in it."""

from samples import DEMO
from slackloop.handbook.worked import work


def test_cables_and_connectors_name_only_what_they_hold() -> None:
    basis = {line.item: line.basis for line in work(DEMO).analysis.materials}
    assert basis["path-14"].startswith("runs, with 1.5 m (5 ft) of slack per tail; 5 % waste")
    assert basis["lead-16"].startswith("leads longer than 1.5 m (5 ft); 5 % waste")
    assert "solenoid" not in basis["sealed-large"]
    assert "path" not in basis["sealed-small"]
