"""The worst case over every choice of running outputs, against trying all choices on small random paths.

Shared resistances for the trial come from numpy's dense inverse of the nodal matrix, not from our own code.
"""

import itertools
import random
from dataclasses import dataclass

import numpy as np
import pytest

from slackloop.compute.circuit.power_loads import NoSolution, most_at_once, tightened_volts, worst_volts
from slackloop.compute.circuit.volts import Feeder, Link, Loads

MICROVOLT = 1e-6


@dataclass
class Path:
    """One random path with its dense matrix of shared resistances."""

    feeder: Feeder
    loads: Loads
    at_once: int
    shared: np.ndarray


def random_path(seed: int, *, ring: bool, power: bool, ohms: tuple[float, float] = (0.1, 60.0)) -> Path:
    """Two to seven boxes; draws differ, so that the best choice is not only the farthest boxes."""
    rng = random.Random(seed)
    count = rng.randint(2, 7)
    parent = tuple(rng.randint(-1, i - 1) if rng.random() < 0.4 else i - 1 for i in range(count))
    run_ohms = np.array([rng.uniform(*ohms) for _ in range(count)])
    source_ohms = rng.choice([0.0, 0.4])
    links = (Link(count - 1, rng.randint(-1, count - 2), 20.0),) if ring else ()
    feeder = Feeder(parent, run_ohms, 36.0, source_ohms, links)
    loads = Loads(
        standby=np.array([rng.choice([0.0, 0.0005, 0.001]) for _ in range(count)]),
        per_output=np.array([rng.choice([0.02, 0.03, 0.05]) for _ in range(count)]),
        outputs=np.array([rng.randint(0, 2) for _ in range(count)], dtype=np.int64),
        constant_power=np.array([power and rng.random() < 0.7 for _ in range(count)]),
    )
    siemens = np.zeros((count, count))
    ends = [(i, parent[i], run_ohms[i]) for i in range(count)] + [(link.one, link.other, link.ohms) for link in links]
    for one, other, ohm in ends:
        for here, there in ((one, other), (other, one)):
            if here >= 0:
                siemens[here, here] += 1 / ohm
                if there >= 0:
                    siemens[here, there] -= 1 / ohm
    return Path(feeder, loads, rng.randint(1, 4), np.linalg.inv(siemens) + source_ohms)


def try_all_choices(path: Path, at_once: int) -> np.ndarray | None:
    """Lowest volts at each box over all choices, each solved by repeated substitution; None where one collapses."""
    loads, count = path.loads, len(path.loads.standby)
    single = [i for i in range(count) for _ in range(loads.outputs[i])]
    lowest = np.full(count, np.inf)
    for choice in itertools.combinations(range(len(single)), min(at_once, len(single))):
        running = np.bincount([single[each] for each in choice], minlength=count)
        asked = loads.standby + running * loads.per_output
        volts = np.full(count, 36.0)
        for _ in range(100_000):
            amps = np.where(loads.constant_power, asked * 36.0 / volts, asked)
            lower = 36.0 - path.shared @ amps
            if lower.min() <= 0:
                return None
            settled = np.abs(volts - lower).max() < 1e-13
            volts = lower
            if settled:
                break
        lowest = np.minimum(lowest, volts)
    return lowest


@pytest.mark.parametrize("ring", [False, True], ids=["tree", "ring"])
def test_constant_currents_are_exact(ring: bool) -> None:
    for seed in range(150):
        path = random_path(seed, ring=ring, power=False)
        wanted = try_all_choices(path, path.at_once)
        if wanted is None:
            continue
        found = worst_volts(path.feeder, path.loads, path.at_once)
        assert found == pytest.approx(wanted, abs=MICROVOLT), f"seed {seed}"


@pytest.mark.parametrize("ring", [False, True], ids=["tree", "ring"])
def test_constant_power_is_never_optimistic_and_close(ring: bool) -> None:
    solved = 0
    for seed in range(150):
        path = random_path(seed, ring=ring, power=True)
        wanted = try_all_choices(path, path.at_once)
        if wanted is None:
            with pytest.raises(NoSolution):
                tightened_volts(path.feeder, path.loads, path.at_once)
            continue
        found = tightened_volts(path.feeder, path.loads, path.at_once)
        assert (found <= wanted + 1e-9).all(), f"seed {seed}: optimistic"
        assert (found >= wanted * (1 - 0.005)).all(), f"seed {seed}: more than 0.5 % below"
        solved += 1
    assert solved > 75


def test_most_stations_at_once_is_the_last_that_holds() -> None:
    for seed in range(60):
        path = random_path(seed, ring=seed % 2 == 1, power=False)
        least = np.where(path.loads.outputs > 0, 30.0, 0.0)
        limit_a = 0.16
        found = most_at_once(path.feeder, path.loads, least, limit_a)
        good = []
        for at_once in range(path.loads.total_outputs + 1):
            volts = try_all_choices(path, at_once)
            draws = sorted(np.repeat(path.loads.per_output, path.loads.outputs), reverse=True)
            amps = path.loads.standby.sum() + sum(draws[:at_once])
            good.append(volts is not None and bool((volts >= least).all()) and amps <= limit_a)
        wanted = max((at_once for at_once, holds in enumerate(good) if holds), default=0)
        assert found == wanted, f"seed {seed}"
