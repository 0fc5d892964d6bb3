"""The suspects of one job by the ids of its boxes and runs, from the loop readings that its records hold.

The smallest fault that puts a loop reading outside its limits, at each box: what the checks can see, and what not.

A reading is outside for certain when it is so whatever the meter's error within its bounds, the cable being as is
expected of it. Faults that are smaller may show, or may pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.circuit.conductor import at_temperature
from slackloop.compute.circuit.loop import (
    LoopLimit,
    LoopOhms,
    LoopReading,
    LoopReadings,
    box_index,
    cable_loop_ohms,
)
from slackloop.compute.suspects.loop_faults import Diagnosis, Doubt, ReadSet, Suspect, diagnose
from slackloop.compute.suspects.loop_path import LoopPath, loop_path
from slackloop.reference.tables import ReferenceTables
from slackloop.site.effective_values import MeterError, meter_error
from slackloop.site.models import Job
from slackloop.site.network import Network, Run

EVEN = math.sqrt(3.0)
"""Half the width of an even spread over its standard deviation."""


@dataclass(frozen=True)
class BoxReading:
    """One loop reading as written down: at a box, or at the loose end of a closing run by the run's id.

    ``soil_c`` is the soil temperature in °C, None where nobody wrote it. ``closed`` says that the rings were closed.
    """

    place: str
    ohms: float
    soil_c: float | None = None
    closed: bool = False


@dataclass(frozen=True)
class JobSuspects:
    """A diagnosis, and the paths with rings open and closed that it was made on: ``runs`` name its indices."""

    diagnosis: Diagnosis
    runs: tuple[Run, ...]
    opened: LoopPath
    closed: LoopPath
    meter: MeterError
    read: frozenset[str]

    def name(self, suspect: Suspect) -> str:
        """The id of a suspect's run, or of the box whose splices are suspected."""
        return self.runs[suspect.run].id


class LoopReader:
    """Reads sets of loop readings of one job; made once for any number of sets."""

    def __init__(self, job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths) -> None:
        """``lengths`` are circuit lengths, as drawn or as built."""
        self._job, self._network, self._tables, self._lengths = job, network, tables, lengths
        self._cables = {name: cable_loop_ohms(cable, tables) for name, cable in job.cables.items()}
        self.runs = network.all_runs

    @cached_property
    def ohms(self) -> tuple[float, ...]:
        """Loop resistance of every run at 20 °C, half way between the least and the largest of its cable."""
        return tuple(self._lengths[run.id].circuit_m * _middle(self._cables[run.cable]) for run in self.runs)

    @cached_property
    def opened(self) -> LoopPath:
        """The path with every ring open at the far end of its closing run, which is a place after the boxes."""
        starts = [box_index(self._network, run.from_id) for run in self._network.closures]
        return loop_path((*self._network.parent, *starts), self.ohms)

    @cached_property
    def closed(self) -> LoopPath:
        """The path with every ring closed."""
        network, count = self._network, len(self._network.boxes)
        ends = [(box_index(network, run.from_id), box_index(network, run.to_id)) for run in network.closures]
        links = [(one, two, ohms) for (one, two), ohms in zip(ends, self.ohms[count:], strict=True)]
        return loop_path(network.parent, self.ohms[:count], links)

    @cached_property
    def branch_places(self) -> tuple[int, ...]:
        """Boxes that several runs go on from, closing runs among them, by index."""
        going_on = [place for place in self.opened.one.tolist() if place >= 0]
        return tuple(place for place in range(len(self._network.boxes)) if going_on.count(place) > 1)

    def suspects(self, readings: Iterable[BoxReading]) -> JobSuspects | None:
        """Who is suspected after these readings; nothing where none is a number at a place of this job."""
        places = {run.id: n for n, run in enumerate(self.runs)}
        good = [each for each in readings if each.place in places and math.isfinite(each.ohms) and each.ohms >= 0.0]
        good = [each for each in good if not each.closed or places[each.place] < len(self._network.boxes)]
        if not good:
            return None
        sets = []
        for path, chosen in ((self.opened, [r for r in good if not r.closed]),
                             (self.closed, [r for r in good if r.closed])):  # fmt: skip
            if chosen:
                at = np.array([places[each.place] for each in chosen], dtype=np.int64)
                sets.append(ReadSet(path, at, np.array([self._at_20c(each) for each in chosen])))
        meter = meter_error(self._job)
        diagnosis = diagnose(sets, self._doubt(good, meter), self.branch_places)
        return JobSuspects(
            diagnosis, self.runs, self.opened, self.closed, meter, frozenset(each.place for each in good)
        )

    def _at_20c(self, reading: BoxReading) -> float:
        """What the reading would be in soil of 20 °C; without a temperature the soil is half way."""
        soil = self._job.conditions.soil_temperature
        celsius = (soil.low.si + soil.high.si) / 2.0 if reading.soil_c is None else reading.soil_c
        return reading.ohms / at_temperature(1.0, celsius, self._tables.copper.alpha_per_c)

    def _doubt(self, readings: Sequence[BoxReading], meter: MeterError) -> Doubt:
        """What is never known: meter and soil, copper and lengths."""
        soil, known = self._job.conditions.soil_temperature, self._tables.constants["fault_readings"].rows
        unread = any(each.soil_c is None for each in readings)
        soil_c = max(known["soil-reading"].value, (soil.high.si - soil.low.si) / 2.0 / EVEN if unread else 0.0)
        names = list(self._cables)
        spread = [(each.largest - each.least) / 2.0 / EVEN / _middle(each) for each in self._cables.values()]
        return Doubt(
            gain=math.hypot(meter.fraction / EVEN, self._tables.copper.alpha_per_c * soil_c),
            ohms=max(meter.fixed, 1e-4) / EVEN,
            cable=np.array([names.index(run.cable) for run in self.runs], dtype=np.int64),
            cable_spread=np.array(spread),
            run=known["run-spread"].value,
        )


def _middle(cable: LoopOhms) -> float:
    """Half way between the least and the largest ohms a metre that a good cable may have."""
    return (cable.least + cable.largest) / 2.0


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
    return (limit.high_ohms + meter.fixed) / (1.0 - meter.fraction) - limit.expected_ohms


def fall_seen(limit: LoopLimit, meter: MeterError) -> float:
    """Ohms less than expected that read below the limit even where the meter reads high by all that it may.

    Of 3 ohm, 10 %, 1 % and 0.05 ohm: limit 2.623, so below 2.548 ohm, 0.452 less.
    """
    return limit.expected_ohms - max(limit.low_ohms - meter.fixed, 0.0) / (1.0 + meter.fraction)


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
