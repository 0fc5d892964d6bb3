"""How many stations may run at once before a device falls out of range or the supply is asked for too much."""

from __future__ import annotations

import numpy as np

from slackloop.compute.circuit.power_loads import NoSolution, most_supply_amps, worst_volts
from slackloop.compute.circuit.volts import Feeder, Floats, Loads


def most_at_once(feeder: Feeder, loads: Loads, least_volts: Floats, limit_amps: float, always_on: int = 0) -> int:
    """The most outputs that may run together, any outputs, 0 when not even one may.

    ``always_on`` outputs run in every case: ``loads`` holds them as drawn at rest, and they are counted. Where they
    alone are too many the answer is 0.

    ``least_volts`` of shape ``(n,)`` is what each box's device needs, 0 where there is none. More outputs never
    raise any volts, so the answer is found by doubling until it is passed, then by halving: no case far beyond the
    answer is worked out.
    """
    low, high = 0, loads.total_outputs
    smallest = float(np.min(loads.per_output[loads.outputs > 0], initial=np.inf))
    if np.isfinite(smallest) and smallest > 0:
        high = min(high, max(0, int((limit_amps - float(loads.standby.sum())) / smallest) + 1))
    passed = False
    while low < high:
        middle = (low + high + 1) // 2 if passed else min(max(2 * low, 1), high)
        if holds(feeder, loads, middle, least_volts, limit_amps):
            low = middle
        else:
            high, passed = middle - 1, True
    if low == 0 and always_on and not holds(feeder, loads, 0, least_volts, limit_amps):
        return 0
    return low + always_on


def holds(feeder: Feeder, loads: Loads, at_once: int, least_volts: Floats, limit_amps: float) -> bool:
    """Whether every device stays in range and the supply within its limit for any ``at_once`` outputs."""
    try:
        volts = worst_volts(feeder, loads, at_once, least_volts)
    except NoSolution:
        return False
    if (volts < least_volts).any():
        return False
    return most_supply_amps(feeder, loads, at_once, volts) <= limit_amps
