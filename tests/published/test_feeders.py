"""Volts along feeders against printed worked examples; the tolerance is half the last printed digit."""

import numpy as np
import pytest

from slackloop.compute.circuit.volts import Feeder, Link, standby_drop


def chain_drop(loop_ohms: list[float], amps: list[float], supply_volts: float = 0.0) -> np.ndarray:
    """Volts lost at each point of a feeder without branches."""
    feeder = Feeder(tuple(range(-1, len(amps) - 1)), np.array(loop_ohms), supply_volts)
    return standby_drop(feeder, np.array(amps))


@pytest.mark.parametrize(
    ("ohms_a_foot", "feet", "amps", "printed", "within"),
    [
        # FAA AC 43.13-1B, Table 11-7
        (0.00306, 100, 20, 6.12, 0.005),
        (0.00044, 107, 20, 0.942, 0.0005),
        (0.00028, 90, 20, 0.504, 0.0005),
        # FAA AC 43.13-1B, Table 11-8 (its second row is a misprint and is left out)
        (0.00126, 39, 20, 0.98, 0.005),
        (0.00126, 156, 20, 3.93, 0.005),
        (0.00126, 273, 20, 6.88, 0.005),
    ],
)
def test_faa_ac_43_13_1b_wire_drop(ohms_a_foot: float, feet: float, amps: float, printed: float, within: float) -> None:
    assert chain_drop([ohms_a_foot * feet], [amps])[0] == pytest.approx(printed, abs=within)


def test_mehta_example_13_1_four_legs() -> None:
    """Mehta and Mehta, Principles of Power System, Ex. 13.1: 300 V, 0.01 ohm/km for each of two wires."""
    legs_km = [0.5, 0.5, 0.6, 0.4]
    volts = 300.0 - chain_drop([2 * 0.01 * km for km in legs_km], [100, 150, 200, 50])
    assert volts == pytest.approx([295.0, 291.0, 288.0, 287.6], abs=0.05)


def test_mehta_example_13_3_two_loads() -> None:
    """Mehta and Mehta, Ex. 13.3: 600 V, 0.28 ohm/km of loop, legs of 2 and 4 km, 40 and 20 A."""
    volts = 600.0 - chain_drop([0.28 * 2, 0.28 * 4], [40, 20])
    assert volts == pytest.approx([566.4, 544.0], abs=0.05)


def test_mehta_example_13_5_uniform_load() -> None:
    """Mehta and Mehta, Ex. 13.5: 2 A/m over 200 m, 0.3 ohm/km for each wire: 22.5 V at 150 m, 24.0 V at the end.

    The even load is cut into pieces of 0.1 m, each drawn from its middle.
    """
    pieces, metre = 2000, 0.1
    ohms = np.full(pieces, 2 * 0.3e-3 * metre)
    ohms[0] /= 2
    lost = chain_drop(ohms.tolist(), [2 * metre] * pieces)
    assert lost[1500] == pytest.approx(22.5, abs=0.05)
    assert lost[-1] == pytest.approx(24.0, abs=0.05)


def test_mehta_example_13_22_ring() -> None:
    """Mehta and Mehta, Ex. 13.22: ring A-B-C, 0.03 ohm/100 m for each wire, 120 A at B and 80 A at C."""
    ab, bc, ca = (2 * 0.03 * hundreds for hundreds in (1.5, 0.5, 1.0))
    ring = Feeder((-1, 0), np.array([ab, bc]), 240.0, 0.0, (Link(1, -1, ca),))
    volts = 240.0 - standby_drop(ring, np.array([120.0, 80.0]))
    assert volts == pytest.approx([232.2, 233.2], abs=0.05)
    assert (240.0 - volts[0]) / ab == pytest.approx(86.67, abs=0.005)
