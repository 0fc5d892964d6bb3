"""Which run leaks to earth, from insulation readings of sections joined and parted.

Sections that are joined leak side by side, so their conductances add (any text on circuit theory); the copper between
them counts for nothing beside megohms. A reading is of all the runs that are joined to the tester's core at the time.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from slackloop.compute.suspects.loop_path import Floats

LEAST_SIEMENS, MOST_SIEMENS = 1e-10, 1.0
"""Between these (10 gigohm and 1 ohm) a leak may have any size, each tenfold as likely as the next."""


@dataclass(frozen=True)
class InsulationReading:
    """What was read between a core and earth, ohm, with which runs joined, by index."""

    joined: frozenset[int]
    ohms: float


@dataclass(frozen=True)
class LeakSuspect:
    """A run by index, its odds out of 1, and the ohms of its leak as fitted."""

    run: int
    odds: float
    ohms: float


@dataclass(frozen=True)
class LeakDiagnosis:
    """All suspects, likeliest first; the odds that the whole path leaks alike; what each run leaks by itself.

    ``siemens`` of shape ``(k,)`` is the best fit with no run below nothing and no fault taken for granted: runs that
    were never parted from each other share theirs in one of many ways.
    """

    suspects: tuple[LeakSuspect, ...]
    nothing: float
    siemens: Floats


def leak_diagnosis(
    readings: Sequence[InsulationReading], lengths_m: Sequence[float], fraction: float
) -> LeakDiagnosis:
    """The run that leaks, if one does; ``lengths_m`` are circuit lengths by run.

    A sound cable leaks by its length (``circuit.insulation``); one leak is added to one run, both fitted by least
    squares with neither below nothing (Lawson and Hanson), each reading weighed by the tester's error. ``fraction`` is
    the greatest error as a part of a reading, taken as even. Holds for one leak, all readings in one state of the
    ground: wet readings are not mixed with dry ones.
    """
    from scipy.optimize import nnls

    joined = np.array([[run in each.joined for run in range(len(lengths_m))] for each in readings], dtype=np.float64)
    siemens = np.array([1.0 / each.ohms for each in readings])
    weight = math.sqrt(3.0) / (fraction * siemens)
    length = joined @ np.array(lengths_m, dtype=np.float64)
    target = siemens * weight
    _, nothing_misfit = nnls((length * weight)[:, None], target)
    logs, sizes = [], []
    for run in range(len(lengths_m)):
        columns = np.stack([length, joined[:, run]], axis=1) * weight[:, None]
        scale = np.maximum(np.abs(columns).max(axis=0), 1e-300)
        fitted, misfit = nnls(columns / scale, target)
        size = float(fitted[1] / scale[1])
        sizes.append(size)
        if size <= LEAST_SIEMENS:
            logs.append(-math.inf)
            continue
        spread = 1.0 / math.sqrt(float((columns[:, 1] ** 2).sum()))
        volume = math.sqrt(2.0 * math.pi) * spread / (size * math.log(MOST_SIEMENS / LEAST_SIEMENS))
        logs.append(-misfit * misfit / 2.0 + math.log(min(volume, 1.0)) - math.log(len(lengths_m)))
    nothing = -float(nothing_misfit) ** 2 / 2.0
    most = max(nothing, *logs)
    weights = [math.exp(each - most) for each in logs]
    total = math.exp(nothing - most) + sum(weights)
    found = [
        LeakSuspect(run, each / total, 1.0 / size if size > 0.0 else math.inf)
        for run, (each, size) in enumerate(zip(weights, sizes, strict=True))
    ]
    every, _ = nnls(joined * weight[:, None], target)
    return LeakDiagnosis(
        tuple(sorted(found, key=lambda each: -each.odds)), math.exp(nothing - most) / total, np.asarray(every)
    )


def next_section(suspects: Iterable[LeakSuspect], sections: Sequence[frozenset[int]]) -> int | None:
    """Which of some sections to part and read next, by index: the one that halves the odds best.

    None where no section parts the suspects. Each reading then takes as much away from the doubt as one reading can.
    """
    odds = {each.run: each.odds for each in suspects}
    whole = sum(odds.values())
    halves = [min(part := sum(odds[run] for run in each if run in odds), whole - part) for each in sections]
    best = max(range(len(sections)), key=lambda n: halves[n], default=None)
    return best if best is not None and halves[best] > 0.0 else None
