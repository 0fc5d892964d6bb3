"""The smallest fault that puts a loop reading outside its limits, at each box: what the checks can see, and what not.

A reading is outside for certain when it is so whatever the meter's error within its bounds and whatever the copper:
only then may nobody miss it. Faults that are smaller may pass.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackloop.compute.circuit.loop import LoopReading
from slackloop.compute.circuit.loop_limits import LoopLimit, MeterError
from slackloop.site.network import Network


@dataclass(frozen=True)
class Seen:
    """The smallest fault just before one box that its reading shows for certain, in the soil that shows it least.

    ``splice_ohms`` more in a core; ``longer_m`` and ``shorter_m`` of the run that feeds the box, infinite where not
    even all of the run; ``short_ohms`` the most that a short in the middle of that run may have and still be seen, 0
    where even bare metal is not.
    """

    box: str
    splice_ohms: float
    longer_m: float
    shorter_m: float
    short_ohms: float


def seen_at_boxes(
    network: Network, readings: tuple[LoopReading, ...], run_ohms: tuple[float, ...], run_m: tuple[float, ...],
    meter: MeterError,
) -> tuple[Seen, ...]:  # fmt: skip
    """For each box in path order, its readings as limits were made, with its run's loop ohms at 20 °C and metres.

    ``run_ohms`` and ``run_m`` are of the run that feeds each box, slack included. On a path with rings these are
    readings with the rings open.
    """
    found = []
    for box, reading, ohms, metres in zip(network.boxes, readings, run_ohms, run_m, strict=True):
        warm = [each.expected_ohms / reading.ohms_20c for each in reading.limits]
        more = max(rise_seen(limit, meter) for limit in reading.limits)
        less = [fall_seen(limit, meter) for limit in reading.limits]
        shorts = [short_seen(fall, ohms * factor / 2.0) for fall, factor in zip(less, warm, strict=True)]
        by_run = [fall / factor / ohms for fall, factor in zip(less, warm, strict=True)]
        longer = max(rise_seen(limit, meter) / factor for limit, factor in zip(reading.limits, warm, strict=True))
        part = max(by_run)
        shorter = part * metres if part <= 1.0 else math.inf
        found.append(Seen(box, more, longer / ohms * metres, shorter, min(shorts)))
    return tuple(found)


def rise_seen(limit: LoopLimit, meter: MeterError) -> float:
    """Ohms more than expected that read above the limit even where the meter reads low by all that it may.

    A true R reads at least R·(1 − p) − d: more than the limit from (limit + d) ÷ (1 − p) on. Of 3 ohm, 10 %, 1 % and
    0.05 ohm: limit 3.383, so from 3.468 ohm, 0.468 more.
    """
    return (limit.high_ohms + meter.ohms) / (1.0 - meter.fraction) - limit.expected_ohms


def fall_seen(limit: LoopLimit, meter: MeterError) -> float:
    """Ohms less than expected that read below the limit even where the meter reads high by all that it may.

    Of 3 ohm, 10 %, 1 % and 0.05 ohm: limit 2.623, so below 2.548 ohm, 0.452 less.
    """
    return limit.expected_ohms - max(limit.low_ohms - meter.ohms, 0.0) / (1.0 + meter.fraction)


def short_seen(fall_ohms: float, beyond_ohms: float) -> float:
    """The most ohms of a short with ``beyond_ohms`` of loop from it to the box read that takes ``fall_ohms`` away.

    The short lies beside what is beyond it: b − b·s ÷ (b + s) = b² ÷ (b + s) = fall. 0 where b is less than the fall.
    """
    if beyond_ohms <= fall_ohms:
        return 0.0
    return beyond_ohms * beyond_ohms / fall_ohms - beyond_ohms
