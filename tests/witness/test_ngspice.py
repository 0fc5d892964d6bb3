"""Volts on trees and rings of 10 to 2,000 boxes, against an operating point of ngspice."""

import random
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from shared import short_pairs
from slackloop.compute.circuit.volts import Feeder, Link, standby_drop
from witness.spice import NEEDS_NGSPICE, operating_point

MICROVOLT = 1e-6


def random_feeder(count: int, rings: int, seed: int) -> tuple[Feeder, np.ndarray]:
    rng = random.Random(seed)
    parent = tuple(i - 1 if i == 0 or rng.random() < 0.9 else rng.randint(-1, i - 1) for i in range(count))
    links = tuple(Link(rng.randint(count // 2, count - 1), rng.randint(-1, count // 2 - 1), 2.0) for _ in range(rings))
    run_ohms = np.array([rng.uniform(0.1, 1.5) for _ in range(count)])
    amps = np.array([rng.uniform(0, 20.0 / count**2) for _ in range(count)])
    return Feeder(parent, run_ohms, 36.0, 0.2, links), amps


COUNTS, RINGS = (10, 100, 500, 2000), (0, 1, 3)
KEPT = (*product(COUNTS[:-1], RINGS), (2000, 0))
"""Rings in a path of 2,000 boxes take the witness longest: `make proofs` has them."""


@NEEDS_NGSPICE
@pytest.mark.parametrize(("count", "rings"), short_pairs(product(COUNTS, RINGS), *KEPT))
def test_volts_agree_with_ngspice(count: int, rings: int, tmp_path: Path) -> None:
    feeder, amps = random_feeder(count, rings, seed=count + rings)
    witness = operating_point(feeder, amps, tmp_path)
    found = feeder.supply_volts - standby_drop(feeder, amps)
    assert found == pytest.approx(witness, abs=MICROVOLT)
    assert np.ptp(found) > 0.01, "the path should lose something worth comparing"
