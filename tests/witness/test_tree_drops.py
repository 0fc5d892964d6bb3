"""The three ways to the worst volts of a tree, against the sorted sum of draw x shared ohms and every choice by brute
force; shared ohms come from ngspice's own method, the inverse of the nodal matrix (numpy)."""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable

import numpy as np
import pytest

from slackloop.compute.circuit.tree_drops import few_draws, many_draws, same_draw
from slackloop.compute.circuit.volts import Feeder, Loads, constant_current_volts, running_drop
from work_count import growth


def shared_by_inverse(feeder: Feeder) -> np.ndarray:
    """Shared ohms from the dense nodal matrix, controller as reference."""
    count = len(feeder.parent)
    nodal = np.zeros((count, count))
    for i, (above, ohms) in enumerate(zip(feeder.parent, feeder.run_ohms, strict=True)):
        nodal[i, i] += 1 / ohms
        if above >= 0:
            nodal[above, above] += 1 / ohms
            nodal[i, above] -= 1 / ohms
            nodal[above, i] -= 1 / ohms
    return np.asarray(np.linalg.inv(nodal) + feeder.source_ohms)


def path(count: int, seed: int, draws: list[float]) -> tuple[Feeder, np.ndarray, np.ndarray]:
    rng = random.Random(seed)
    parent = tuple(i - 1 if i == 0 or rng.random() < 0.7 else rng.randint(-1, i - 1) for i in range(count))
    ohms = np.array([rng.uniform(0.1, 1.5) for _ in range(count)])
    outputs = np.array([rng.choice([0, 1, 2, 6]) for _ in range(count)], dtype=np.int64)
    outputs[0] = 2
    per_output = np.array([rng.choice(draws) for _ in range(count)])
    return Feeder(parent, ohms, 36.0, rng.choice([0.0, 0.4])), per_output, outputs


def sorted_sum(feeder: Feeder, per_output: np.ndarray, outputs: np.ndarray, at_once: int) -> np.ndarray:
    owner = np.repeat(np.arange(len(outputs)), outputs)
    values = shared_by_inverse(feeder)[:, owner] * per_output[owner]
    return np.asarray(np.sort(values, axis=1)[:, ::-1][:, :at_once].sum(axis=1))


@pytest.mark.parametrize("at_once", [1, 2, 7, 40])
@pytest.mark.parametrize("seed", range(6))
def test_three_ways_agree_with_the_sorted_sum(seed: int, at_once: int) -> None:
    feeder, per_output, outputs = path(40, seed, [0.030, 0.032, 0.046, 0.2])
    wires = feeder.parent, feeder.run_ohms, feeder.source_ohms
    by_draw = {float(draw): np.where(per_output == draw, outputs, 0) for draw in np.unique(per_output)}
    wanted = sorted_sum(feeder, per_output, outputs, at_once)
    assert few_draws(*wires, by_draw, at_once) == pytest.approx(wanted, rel=1e-11)
    assert many_draws(*wires, per_output, outputs, at_once) == pytest.approx(wanted, rel=1e-11)
    even = np.full(len(outputs), 0.046)
    assert same_draw(*wires, outputs, 0.046, at_once) == pytest.approx(
        sorted_sum(feeder, even, outputs, at_once), rel=1e-11
    )


@pytest.mark.parametrize("seed", range(8))
def test_they_agree_with_every_choice_by_brute_force(seed: int) -> None:
    feeder, per_output, outputs = path(6, seed, [0.03, 0.05, 0.07])
    shared = shared_by_inverse(feeder)
    single = [i for i, count in enumerate(outputs) for _ in range(count)]
    for at_once in (1, 2, 3):
        worst = np.max(
            [shared[:, list(chosen)] @ per_output[list(chosen)] for chosen in itertools.combinations(single, at_once)],
            axis=0,
        )
        assert running_drop(feeder, per_output, outputs, at_once) == pytest.approx(worst, rel=1e-11)


def test_thousands_of_stations_at_once_take_no_room_of_their_own() -> None:
    """The largest array made for 10,000 boxes and 6,000 at once is no larger than the path."""
    feeder, per_output, outputs = path(10_000, 1, [0.030, 0.032])
    loads = Loads(np.zeros(10_000), per_output, outputs, np.zeros(10_000, dtype=bool))
    import tracemalloc

    tracemalloc.start()
    constant_current_volts(feeder, loads, 6_000)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 50e6


def test_the_work_of_many_draws_grows_with_the_boxes() -> None:
    def drops(count: int) -> Callable[[], object]:
        feeder, _, outputs = path(count, 2, [0.03])
        per_output = np.random.default_rng(3).uniform(0.02, 0.05, count)
        return lambda: running_drop(feeder, per_output, outputs, 20)

    assert growth(drops, 600, times=4) < 4.5  # a shorter path tries every output at every box
