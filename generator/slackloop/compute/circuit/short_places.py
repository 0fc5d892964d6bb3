"""From a loop reading back to every place on the path where a short would give it, each with a band of distance.

A place is in the band when the reading there, for some conductor resistance between nominal and the largest and some
soil temperature, equals what was read within the meter's error. Since a reading rises with every resistance on the
path (Rayleigh's monotonicity law), the least and the greatest reading at a place settle that.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from slackloop.compute.cable.circuit_length import CircuitLength, CircuitLengths, circuit_lengths
from slackloop.compute.circuit.conductor import at_temperature
from slackloop.compute.circuit.loop import LoopNetwork, box_index, cable_loop_ohms, job_network
from slackloop.reference.tables import ReferenceTables
from slackloop.site.effective_values import MeterError, meter_error
from slackloop.site.models import Job
from slackloop.site.network import Network, Run

Span = tuple[float, float]
"""A stretch of a run's cable, from 0 at its start to 1 at its end."""
STRAIGHT = 1e-12
"""Below this part of a run's resistance the bend of its curve is rounding alone."""


@dataclass(frozen=True)
class ShortPlace:
    """A stretch of one run where a short would give a reading; metres along the trench from ``from_id``."""

    run_id: str
    from_id: str
    to_id: str
    nearest_m: float
    likely_m: float
    farthest_m: float


@dataclass(frozen=True)
class Curve:
    """The reading along a run's cable, ohm: a + b·t + c·t², t from 0 to 1. On a ring it is arched, else straight."""

    a: float
    b: float
    c: float

    def ohms(self, t: float) -> float:
        """The reading at ``t``."""
        return self.a + self.b * t + self.c * t * t

    def at_least(self, ohms: float) -> Span | None:
        """Where the reading is ``ohms`` or more; an arched curve makes that one stretch."""
        if self.c == 0.0:
            if self.b == 0.0:
                return (0.0, 1.0) if self.a >= ohms else None
            t = (ohms - self.a) / self.b
            return _within((t, 1.0) if self.b > 0 else (0.0, t))
        square = self.b * self.b - 4.0 * self.c * (self.a - ohms)
        if square < 0.0:
            return None
        roots = sorted((-self.b + sign * math.sqrt(square)) / (2.0 * self.c) for sign in (1.0, -1.0))
        return _within((roots[0], roots[1]))

    def peak(self) -> float | None:
        """Where an arched curve is highest inside the run."""
        turn = -self.b / (2.0 * self.c) if self.c < 0.0 else -1.0
        return turn if 0.0 < turn < 1.0 else None

    def nearest(self, span: Span, ohms: float) -> float:
        """Where in a stretch on which the curve only rises or falls it comes nearest to ``ohms``."""
        low, high = span
        rising = self.ohms(high) >= self.ohms(low)
        for _ in range(64):
            middle = (low + high) / 2.0
            if (self.ohms(middle) < ohms) == rising:
                low = middle
            else:
                high = middle
        return (low + high) / 2.0


class ShortFinder:
    """Finds the places of a short on one job's path; made once for any number of readings."""

    def __init__(
        self, job: Job, network: Network, tables: ReferenceTables, celsius: float | None = None, *, opened: bool = False
    ) -> None:
        """``celsius`` is the soil temperature on the day; left out, the whole range of the job's soil is allowed for,
        and what is likely is for the soil half way. ``opened`` is for rings that are open at the ``to`` end of their
        closing runs.
        """
        soil, alpha = job.conditions.soil_temperature, tables.copper.alpha_per_c
        coldest, hottest = (soil.low.si, soil.high.si) if celsius is None else (celsius, celsius)
        cables = {name: cable_loop_ohms(cable, tables) for name, cable in job.cables.items()}
        self._lengths = circuit_lengths(job, network)

        def curves(part: str, temp_c: float) -> dict[str, Curve]:
            per_m = {name: at_temperature(getattr(each, part), temp_c, alpha) for name, each in cables.items()}
            return _curves(network, self._lengths, per_m, opened)

        self._least, self._greatest = curves("least", coldest), curves("largest", hottest)
        self._expected = curves("expected", (coldest + hottest) / 2.0)
        self._runs, self._meter = network.all_runs, meter_error(job)

    def places(self, loop_ohms: float) -> tuple[ShortPlace, ...]:
        """Every stretch of the path whose short would read ``loop_ohms`` at the controller, runs in path order.

        A short in the slack of a box is at 0 or at the run's length. Resistance in the short itself reads as a place
        farther away.
        """
        return tuple(
            _place(run, self._lengths[run.id], self._expected[run.id], span, loop_ohms)
            for run in self._runs
            for span in _spans(
                self._least[run.id], self._greatest[run.id], self._expected[run.id], loop_ohms, self._meter
            )
        )

    def bands(self) -> dict[str, Span]:
        """The least and the greatest reading that a short somewhere on each run may give, ohm, by run id.

        ``places`` names a run for just the readings in its band: X plus the meter's error at X reaches the least that
        the run reads, and X less that error does not pass the greatest.
        """
        part, ohms = self._meter.fraction, self._meter.fixed
        found: dict[str, Span] = {}
        for run in self._runs:
            least, greatest = self._least[run.id], self._greatest[run.id]
            top = greatest.peak()
            low = min(least.ohms(0.0), least.ohms(1.0))
            high = max(greatest.ohms(t) for t in (0.0, 1.0, *(() if top is None else (top,))))
            found[run.id] = max((low - ohms) / (1.0 + part), 0.0), (high + ohms) / (1.0 - part)
        return found


def _curves(
    network: Network, lengths: CircuitLengths, ohms_per_m: dict[str, float], opened: bool
) -> dict[str, Curve]:
    loops = job_network(network, lengths, ohms_per_m, opened)
    found: dict[str, Curve] = {}
    for run in network.runs:
        ends = box_index(network, run.from_id), box_index(network, run.to_id)
        found[run.id] = _curve(loops, *ends, lengths[run.id].circuit_m * ohms_per_m[run.cable])
    for n, run in enumerate(network.closures):
        end = len(network.boxes) + n if opened else box_index(network, run.to_id)
        ohms = lengths[run.id].circuit_m * ohms_per_m[run.cable]
        found[run.id] = _curve(loops, box_index(network, run.from_id), end, ohms)
    return found


def _curve(loops: LoopNetwork, one: int, two: int, ohms: float) -> Curve:
    """Readings along a run: (1−t)²·Z11 + t²·Z22 + 2t(1−t)·Z12 + t(1−t)·r, by superposition; never hollow."""
    z11, z22, z12 = loops.shared(one, one), loops.shared(two, two), loops.shared(one, two)
    c = z11 + z22 - 2.0 * z12 - ohms
    if abs(c) < STRAIGHT * max(abs(z22), ohms, STRAIGHT):
        return Curve(z11, z22 - z11, 0.0)
    return Curve(z11, -2.0 * z11 + 2.0 * z12 + ohms, c)


def _spans(least: Curve, greatest: Curve, expected: Curve, ohms: float, meter: MeterError) -> Iterator[Span]:
    """The stretches of one run that may read ``ohms``, cut at the top of an arch with a likely place on each side."""
    error = meter.of(ohms)
    inside, above = greatest.at_least(ohms - error), least.at_least(ohms + error)
    if inside is None:
        return
    low, high = inside
    pieces = [inside]
    if above is not None:  # the ends of the run are no crossings
        pieces = [(low, min(high, above[0]))] if above[0] > 0.0 else []
        pieces += [(max(low, above[1]), high)] if above[1] < 1.0 else []
    top = expected.peak()
    for start, stop in pieces:
        if start > stop:
            continue
        if top is not None and start < top < stop and expected.ohms(top) > ohms:
            yield from ((start, top), (top, stop))
        else:
            yield start, stop


def _place(run: Run, length: CircuitLength, expected: Curve, span: Span, ohms: float) -> ShortPlace:
    top = expected.peak()
    likely = top if top is not None and span[0] < top < span[1] else expected.nearest(span, ohms)
    nearest, at, farthest = (length.trench_m(t * length.circuit_m) for t in (span[0], likely, span[1]))
    return ShortPlace(run.id, run.from_id, run.to_id, nearest, at, farthest)


def _within(span: Span) -> Span | None:
    """The part of a stretch that lies on the run; None where there is none."""
    low, high = max(span[0], 0.0), min(span[1], 1.0)
    return (low, high) if low <= high else None
