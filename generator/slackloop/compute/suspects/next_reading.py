"""What to measure next: the reading that two suspects foretell most differently, beside the meter's error.

Which run leaks to earth, from insulation readings of sections joined and parted.

Sections that are joined leak side by side, so their conductances add (any text on circuit theory); the copper between
them counts for nothing beside megohms. A reading is of all the runs that are joined to the tester's core at the time.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from slackloop.compute.suspects.job_suspects import JobSuspects
from slackloop.compute.suspects.loop_faults import Explanation, Suspect
from slackloop.compute.suspects.loop_path import Floats

How = Literal["from-controller", "run-shorted", "run-open", "across-splice", "run-cut-out"]
"""From the controller with the pair shorted at a box; one run parted from all others behind its first splice, with its
far end shorted or open; over the splices of a box, core by core; one run cut out of its splices at both ends."""
CLEAR = 3.0
"""A difference of so many times the meter's error is worth a walk to a box, and spares a cut."""
OPEN = math.inf


@dataclass(frozen=True)
class NextReading:
    """How and where to read, by id of the box or run; what it will be, at 20 °C, if the first suspect has the fault,
    and what if the second; ``OPEN`` is no end of ohms. ``times_error`` is their difference beside the meter's error.
    """

    how: How
    place: str
    first_ohms: float
    second_ohms: float
    times_error: float


def next_reading(found: JobSuspects) -> NextReading | None:
    """What tells the first two suspects apart; None where there is one only.

    A place that was not read yet is read from the controller where that is clear enough, since nothing is cut for it;
    otherwise what comes out most clearly of all.
    """
    if len(found.diagnosis.suspects) < 2:
        return None
    first, second = found.diagnosis.suspects[:2]
    if not first.explanations or not second.explanations:
        return None
    walks = sorted(_from_controller(found, first, second), key=lambda each: -each.times_error)
    if walks and walks[0].times_error >= CLEAR:
        return walks[0]
    return max((*_at_place(found, first, True), *_at_place(found, second, False)), key=lambda each: each.times_error)


def kinds_apart(found: JobSuspects, suspect: Suspect) -> NextReading | None:
    """What tells a bad splice from a wrong length in one run, which no reading from the controller does; or None.

    The run cut out of its splices at both ends reads its own ohms if a splice was bad, and as much more or less as the
    other readings if its length is wrong. ``first_ohms`` is for the likelier kind.
    """
    kinds = {each.kind: each for each in suspect.explanations}
    if suspect.splice_at >= 0 or not {"splice", "length"} <= set(kinds):
        return None
    own = float(found.opened.ohms[suspect.run])
    more = own + kinds["length"].ohms
    splice_first = suspect.explanations[0].kind == "splice"
    pair = (own, more) if splice_first else (more, own)
    return _told(found, "run-cut-out", found.name(suspect), *pair)


def foretold(found: JobSuspects, suspect: Suspect, explanation: Explanation) -> Floats:
    """What every place would read from the controller, rings open, at 20 °C, under an explanation; ``(n,)``."""
    path, run = found.opened, suspect.run
    if explanation.kind == "short":
        fall = path.with_short(np.array([run]), np.array([explanation.at]), np.array([explanation.ohms]))
        return np.asarray(path.readings + fall[0])
    more = np.array([explanation.ohms])
    (rise,) = path.with_series(np.array([run]), more, one_core=explanation.kind == "splice")
    if suspect.splice_at >= 0:
        rise[suspect.splice_at] = 0.0
    return np.asarray(path.readings + rise)


def _from_controller(found: JobSuspects, first: Suspect, second: Suspect) -> Iterator[NextReading]:
    """Readings at the places that nobody has read yet."""
    one, two = (foretold(found, each, each.explanations[0]).tolist() for each in (first, second))
    for run, here, there in zip(found.runs, one, two, strict=True):
        if run.id not in found.read:
            yield _told(found, "from-controller", run.id, here, there)


def _at_place(found: JobSuspects, suspect: Suspect, is_first: bool) -> Iterator[NextReading]:
    """Readings of a suspect alone: what it gives if it has the fault, and if it is sound."""
    own, best = float(found.opened.ohms[suspect.run]), suspect.explanations[0]
    faults: list[tuple[How, float, float]] = []
    if suspect.splice_at >= 0:
        faults.append(("across-splice", best.ohms, 0.0))
    elif best.kind == "short":
        faults.append(("run-open", best.at * own + best.ohms, OPEN))
    else:
        faults.append(("run-shorted", own + best.ohms, own))
    for how, bad, sound in faults:
        pair = (bad, sound) if is_first else (sound, bad)
        yield _told(found, how, found.name(suspect), *pair)


def _told(found: JobSuspects, how: How, place: str, first: float, second: float) -> NextReading:
    """A reading with its difference beside the meter's error there."""
    least = min(first, second)
    return NextReading(how, place, first, second, abs(first - second) / found.meter.of(least))


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

    A sound cable leaks by its length, as its conductance grows with it; one leak is added to one run, both fitted by
    least squares with neither below nothing (Lawson and Hanson), each reading weighed by the tester's error.
    ``fraction`` is the greatest error as a part of a reading, taken as even. Holds for one leak, all readings in one
    state of the ground: wet readings are not mixed with dry ones.
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
