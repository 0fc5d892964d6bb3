"""What one fault does to each reading, against a network of two cores of resistors solved by numpy."""

from __future__ import annotations

import numpy as np
import pytest

from slackloop.compute.suspects.loop_path import LoopPath, loop_path
from slackloop.compute.suspects.next_reading import InsulationReading, leak_diagnosis
from study.two_cores import Fault, Run, opened, readings, to_earth

TREE = [
    Run("B1", "controller", "B1", 0.4), Run("B2", "B1", "B2", 0.3), Run("B3", "B2", "B3", 0.5),
    Run("B4", "B1", "B4", 0.2), Run("B5", "B4", "B5", 0.6), Run("A1", "controller", "A1", 0.7),
]  # fmt: skip
RING = [*TREE, Run("B3-B5", "B3", "B5", 0.45)]
PARENT = [-1, 0, 1, 0, 3, -1]
PLACES = [run.two for run in TREE]


def path_of(runs: list[Run]) -> LoopPath:
    closures = [(2, 4, 2 * runs[6].core_ohms)] if len(runs) > 6 else []
    return loop_path(PARENT, [2 * run.core_ohms for run in runs[:6]], closures)


@pytest.mark.parametrize("runs", [TREE, RING], ids=["tree", "ring closed"])
def test_readings_without_a_fault(runs: list[Run]) -> None:
    np.testing.assert_allclose(path_of(runs).readings, readings(runs, PLACES, None), atol=1e-6)


@pytest.mark.parametrize("runs", [TREE, RING], ids=["tree", "ring closed"])
@pytest.mark.parametrize("ohms", [0.05, 0.8, 40.0])
@pytest.mark.parametrize("core", ["a", "b"])
def test_a_bad_splice_in_one_core(runs: list[Run], ohms: float, core: str) -> None:
    path = path_of(runs)
    rises = path.with_series(np.arange(len(runs)), np.full(len(runs), ohms), one_core=True)
    for number, run in enumerate(runs):
        read = readings(runs, PLACES, Fault("splice", run.id, ohms=ohms, core=core))
        np.testing.assert_allclose(path.readings + rises[number], read, atol=2e-6, err_msg=run.id)


@pytest.mark.parametrize("runs", [TREE, RING], ids=["tree", "ring closed"])
@pytest.mark.parametrize("times", [0.4, 1.3, 5.0])
def test_a_wrong_length(runs: list[Run], times: float) -> None:
    path = path_of(runs)
    rises = path.with_series(np.arange(len(runs)), path.ohms * (times - 1), one_core=False)
    for number, run in enumerate(runs):
        read = readings(runs, PLACES, Fault("length", run.id, times=times))
        np.testing.assert_allclose(path.readings + rises[number], read, atol=2e-6, err_msg=run.id)


@pytest.mark.parametrize("runs", [TREE, RING], ids=["tree", "ring closed"])
@pytest.mark.parametrize(("at", "ohms"), [(0.3, 0.01), (0.5, 1.5), (0.9, 60.0)])
def test_a_short_in_a_run(runs: list[Run], at: float, ohms: float) -> None:
    path, count = path_of(runs), len(runs)
    falls = path.with_short(np.arange(count), np.full(count, at), np.full(count, ohms))
    for number, run in enumerate(runs):
        read = readings(runs, PLACES, Fault("short", run.id, ohms=ohms, at=at))
        np.testing.assert_allclose(path.readings + falls[number], read, atol=2e-6, err_msg=run.id)
        assert (falls[number] < 1e-12).all()


def test_a_closing_run_is_a_branch_while_its_ring_is_open() -> None:
    loose = opened(RING, {"B3-B5"})
    path = loop_path([*PARENT, 2], [2 * run.core_ohms for run in RING])
    read = readings(loose, [*PLACES, "loose end of B3-B5"], Fault("splice", "B3-B5", ohms=0.7))
    rises = path.with_series(np.arange(7), np.full(7, 0.7), one_core=True)
    np.testing.assert_allclose(path.readings + rises[6], read, atol=2e-6)
    assert rises[6].tolist() == pytest.approx([0, 0, 0, 0, 0, 0, 0.7])


def test_a_splice_at_a_branch_box_is_seen_by_all_that_goes_on_and_not_at_the_box() -> None:
    read = readings(TREE, PLACES, Fault("branch-splice", "B1", ohms=2.0))
    more = read - readings(TREE, PLACES, None)
    assert more.tolist() == pytest.approx([0, 2, 2, 2, 2, 0], abs=1e-6)


def test_a_leak_is_found_by_readings_of_a_network_with_its_copper() -> None:
    """200 megohm of leak in B4, parted before each run in turn; the copper between counts for nothing."""
    sound = {run.id: 5e9 for run in TREE}
    beyond = {"B1": TREE[:5], "B2": TREE[1:3], "B3": TREE[2:3], "B4": TREE[3:5], "B5": TREE[4:5], "A1": TREE[5:]}
    index = {run.id: n for n, run in enumerate(TREE)}
    read = [
        InsulationReading(
            frozenset(index[each.id] for each in beyond[run.id]),
            to_earth(beyond[run.id], run.one, sound, ("B4", 0.7, 200e6)),
        )
        for run in TREE
    ]
    alone = read[index["A1"]].ohms
    assert alone == pytest.approx(5e9, rel=1e-4)
    found = leak_diagnosis(read, [50.0] * 6, 0.05)
    assert found.suspects[0].run == index["B4"]
    assert found.suspects[0].odds > 0.99
    assert found.suspects[0].ohms == pytest.approx(200e6, rel=0.01)
    assert 1 / found.siemens[index["B4"]] == pytest.approx(1 / (1 / 200e6 + 1 / 5e9), rel=0.02)
