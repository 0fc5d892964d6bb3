"""What to measure next: the reading that two suspects foretell most differently, beside the meter's error."""

from __future__ import annotations

import math
from collections.abc import Iterator
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
