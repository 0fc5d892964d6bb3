"""How much farther each branch end could reach: the spare length with the same device added there.

How many stations may run at once before a device falls out of range or the supply is asked for too much.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.circuit.power_loads import NoSolution, most_supply_amps, worst_volts
from slackloop.compute.circuit.volts import Feeder, Floats, Loads, with_one_more

NEAR_ENOUGH_M = 0.01
SETTLED_VOLTS = 1e-4
"""A run is longer or shorter by far more than this can tell; near collapse it keeps the search short."""
FARTHEST_M = 100_000.0


@dataclass(frozen=True)
class NewDevice:
    """The device to be added: amperes with all outputs off and for each output, its outputs, what it needs in volts."""

    standby_a: float
    per_output_a: float
    outputs: int
    least_volts: float
    constant_power: bool


def spare_length_m(
    feeder: Feeder,
    loads: Loads,
    least_volts: Floats,
    limit_a: float,
    at_once: int,
    end: int,
    ohms_per_m: float,
    slack_m: float,
    device: NewDevice,
    most_m: float = FARTHEST_M,
) -> float | None:
    """Metres of run from branch end ``end`` to a new box with ``device``, so that all devices stay in range.

    Every box, old and new, must keep its least volts for any ``at_once`` outputs, and the supply its limit
    ``limit_a`` in amperes. None where the device cannot be added even at the end itself. The volts at the old boxes
    depend on the new device and not on the new length (constant currents), and fall as it grows, so halving finds
    the answer to within a centimetre, rounded down. ``ohms_per_m`` is the loop resistance of the new run,
    ``slack_m`` the slack of its two tails, which counts as wire; the answer is along the trench, without it, and at
    most ``most_m``, where a maker's limit stops it.
    """

    def holds(length_m: float) -> bool:
        longer = with_one_more(feeder, end, (length_m + slack_m) * ohms_per_m)
        try:
            volts = worst_volts(longer, more, at_once, needs, SETTLED_VOLTS)
        except NoSolution:
            return False
        return bool((volts >= needs).all()) and most_supply_amps(longer, more, at_once, volts) <= limit_a

    more = replace(
        loads,
        standby=np.append(loads.standby, device.standby_a),
        per_output=np.append(loads.per_output, device.per_output_a),
        outputs=np.append(loads.outputs, device.outputs),
        constant_power=np.append(loads.constant_power, device.constant_power),
    )
    needs = np.append(least_volts, device.least_volts)
    if most_m < 0.0 or not holds(0.0):
        return None
    low, high = 0.0, 64.0
    while high < min(most_m, FARTHEST_M) and holds(high):
        low, high = high, 2 * high
    if low < most_m <= high and holds(most_m):
        return most_m
    while high - low > NEAR_ENOUGH_M:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return min(low, most_m)


def most_at_once(feeder: Feeder, loads: Loads, least_volts: Floats, limit_amps: float, always_on: int = 0) -> int:
    """The most outputs that may run together, any outputs, 0 when not even one may.

    ``always_on`` outputs run in every case: ``loads`` holds them as drawn with all outputs off, and they are counted.
    Where they alone are too many the answer is 0.

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
