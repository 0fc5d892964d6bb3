"""The smallest fault that puts a loop reading outside its limits, at each box: what the checks can see, and what not.

A reading is outside for certain when it is so whatever the meter's error within its bounds, the cable being as is
expected of it. Faults that are smaller may show, or may pass.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.circuit.loop import LoopReading, LoopReadings, cable_loop_ohms, meter_error
from slackloop.compute.circuit.loop_limits import LoopLimit, MeterError
from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Job
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


def job_seen(
    job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths, loops: LoopReadings
) -> tuple[Seen, ...]:
    """What shows at each box of a job, in path order, rings open: of the run that feeds it, slack included."""
    meter = meter_error(job)
    per_m = {name: cable_loop_ohms(cable, tables).expected for name, cable in job.cables.items()}
    return tuple(
        seen_at(box, reading, lengths[run.id].circuit_m, per_m[run.cable], meter)
        for box, reading, run in zip(network.boxes, loops.opened, network.runs, strict=True)
    )


def seen_at(box: str, reading: LoopReading, run_m: float, ohms_per_m: float, meter: MeterError) -> Seen:
    """What shows at one box, the run that feeds it being ``run_m`` of ``ohms_per_m`` loop ohms at 20 °C."""
    every = []
    for limit in reading.limits:
        per_m = ohms_per_m * limit.expected_ohms / reading.ohms_20c
        rise, fall = rise_seen(limit, meter), fall_seen(limit, meter)
        shorter_m = fall / per_m if fall <= run_m * per_m else math.inf
        every.append((rise, rise / per_m, shorter_m, short_seen(fall, run_m * per_m / 2.0)))
    splice, longer, shorter, short = zip(*every, strict=True)
    return Seen(box, max(splice), max(longer), max(shorter), min(short))


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


def leak_seen(least_ohms: float, tester_fraction: float) -> float:
    """The most ohms of a leak that read below ``least_ohms`` even where the tester reads high by all that it may.

    10 megohm and 5 %: 9.52 megohm. Every run by itself, whatever its length.
    """
    return least_ohms / (1.0 + tester_fraction)
