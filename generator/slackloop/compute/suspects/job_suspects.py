"""The suspects of one job by the ids of its boxes and runs, from the loop readings that its records hold."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.circuit.conductor import at_temperature
from slackloop.compute.circuit.loop import LoopOhms, box_index, cable_loop_ohms, meter_error
from slackloop.compute.circuit.loop_limits import MeterError
from slackloop.compute.suspects.loop_faults import Diagnosis, Doubt, ReadSet, Suspect, diagnose
from slackloop.compute.suspects.loop_path import LoopPath, loop_path
from slackloop.reference.tables import ReferenceTables
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
            ohms=max(meter.ohms, 1e-4) / EVEN,
            cable=np.array([names.index(run.cable) for run in self.runs], dtype=np.int64),
            cable_spread=np.array(spread),
            run=known["run-spread"].value,
        )


def _middle(cable: LoopOhms) -> float:
    """Half way between the least and the largest ohms a metre that a good cable may have."""
    return (cable.least + cable.largest) / 2.0


