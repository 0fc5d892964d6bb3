"""The core of ``check`` grows evenly and is quicker than one ngspice operating point of the same network."""

import shutil

import pytest

from benchmarks.check_core import ngspice_seconds, our_seconds

MOST_GROWTH = 2.2


def test_time_grows_no_faster_than_the_path() -> None:
    """Doubled boxes cost at most 2.2 times as much; the best of three tries counts, as the machine has other work."""
    growth = min(our_seconds(20_000) / our_seconds(10_000) for _ in range(3))
    assert growth <= MOST_GROWTH


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice (Debian package) is not installed")
def test_ten_thousand_boxes_are_quicker_than_one_operating_point() -> None:
    assert any(our_seconds(10_000) < ngspice_seconds(10_000) for _ in range(3))
