"""Odds of a leak against its evidence summed over every size that it may have (scipy.integrate), each tenfold alike."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import simpson
from scipy.stats import uniform

from slackloop.compute.suspects import next_reading
from slackloop.compute.suspects.next_reading import InsulationReading, LeakDiagnosis, leak_diagnosis

Floats = np.ndarray


def leaking(fraction: float, scatter: float) -> tuple[LeakDiagnosis, list[float]]:
    """Two runs of 100 m of 1 gigohm, the second with a leak of 1 gigohm besides, each read alone forty times.

    Readings are off by ``scatter`` of their siemens, up and down in turn. Gives the logs of how likely the best fit and
    nothing wrong are, the first summed over every size of the leak.
    """
    siemens = np.array([1e-9] * 40 + [2e-9] * 40) * (1.0 + scatter * np.array([1.0, -1.0] * 40))
    runs = [frozenset({0})] * 40 + [frozenset({1})] * 40
    read = [InsulationReading(run, 1.0 / each) for run, each in zip(runs, siemens.tolist(), strict=True)]
    found = leak_diagnosis(read, [100.0, 100.0], fraction)
    spread = fraction * siemens * uniform(-1.0, 2.0).std()

    def log_likely(sound: float, leak: Floats) -> Floats:
        told = sound + leak[..., None] * np.array([0.0] * 40 + [1.0] * 40)
        return -0.5 * (((siemens - told) / spread) ** 2).sum(axis=-1)

    first, second = (np.average(each, weights=1.0 / off**2) for each, off in
                     zip(np.split(siemens, 2), np.split(spread, 2), strict=True))  # fmt: skip
    sizes = float(second - first) * np.linspace(0.3, 1.7, 801)
    decades = math.log(next_reading.MOST_SIEMENS / next_reading.LEAST_SIEMENS)
    leak = math.log(float(simpson(np.exp(log_likely(first, sizes)) / (sizes * decades), x=sizes)))
    alike = float(log_likely(float(np.average(siemens, weights=1.0 / spread**2)), np.array(0.0)))
    return found, [leak, alike]


def test_a_leak_beside_a_path_that_leaks_alike() -> None:
    found, (leak, alike) = leaking(0.2, 0.15)
    first = found.suspects[0]
    assert first.run == 1
    assert math.log(first.odds / found.nothing) == pytest.approx(leak - alike - math.log(2.0), abs=2e-3)


def test_ohms_of_a_leak() -> None:
    """1 gigohm and 1 gigohm of leak besides."""
    found, _ = leaking(0.05, 0.0)
    assert found.suspects[0].ohms == pytest.approx(1e9, rel=1e-6)


def test_a_tester_that_says_nothing_makes_no_leak_likelier() -> None:
    """A tester that is off by a hundred times what it reads: nothing wrong is as likely as a leak in either run."""
    found, _ = leaking(100.0, 0.0)
    assert found.nothing / found.suspects[0].odds == pytest.approx(2.0, rel=2e-3)
