"""The work of the core of ``check`` grows with the boxes and no faster; how long it takes is the benchmarks' matter."""

from __future__ import annotations

from collections.abc import Callable

from benchmarks.check_core import AT_ONCE, big_path
from slackloop.compute.volts import constant_current_volts, standby_drop
from work_count import growth


def core_of(count: int) -> Callable[[], object]:
    feeder, loads = big_path(count)
    return lambda: (standby_drop(feeder, loads.standby), constant_current_volts(feeder, loads, AT_ONCE))


def test_volts_of_four_times_the_boxes_are_four_times_the_work() -> None:
    assert growth(core_of, 500, times=4) < 4.5
