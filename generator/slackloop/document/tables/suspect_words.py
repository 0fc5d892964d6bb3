"""What a set of loop readings says: which run or splice most likely has a fault, and what to measure next."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Any

from slackloop.compute.suspects.job_suspects import BoxReading, JobSuspects, LoopReader
from slackloop.compute.suspects.loop_faults import Explanation, Suspect
from slackloop.compute.suspects.next_reading import NextReading, kinds_apart, next_reading
from slackloop.document.context import Context
from slackloop.records.result import RUN, Result, Results
from slackloop.site.network import CONTROLLER, Run
from slackloop.units.figure import ohms, run_length

MOST_ROWS, ENOUGH = 5, 0.99
"""Suspects are told until their odds come to ``ENOUGH``, never more than ``MOST_ROWS``."""
FITS_BADLY = "fits badly"
NONE_FITS = (
    "No single fault fits these readings well: there are two faults or more, or a reading was written down wrong. "
    "Before you cut, read the loop again at each box that failed."
)
SAFE_FIRST = (
    "Before you read: the path is off and locked off, its cores are off the terminals, and no volts are left on it. "
    "If a device is on the pair, use only the low-range ohmmeter."
)
NO_FAULT = 0.5
"""From these odds on nothing is taken to be wrong."""


class SuspectWords:
    """What one set of readings says, in words."""

    def __init__(self, context: Context, readings: Iterable[BoxReading]) -> None:
        analysis = context.analysis
        reader = LoopReader(context.job, context.network, context.tables, analysis.lengths)
        self.found = reader.suspects(readings)
        self.lengths, self.units = analysis.lengths, context.units

    def told(self) -> tuple[Suspect, ...]:
        """The suspects worth telling; none where nothing is taken to be wrong."""
        if self.found is None or self.found.diagnosis.nothing >= NO_FAULT:
            return ()
        told: list[Suspect] = []
        for each in self.found.diagnosis.suspects[:MOST_ROWS]:
            if each.explanations and (not told or sum(other.odds for other in told) < ENOUGH):
                told.append(each)
        return tuple(told)

    @property
    def fit(self) -> bool:
        """Whether one fault explains the readings; where none does, odds between faults say nothing."""
        return _found(self).diagnosis.explained

    def odds(self, suspect: Suspect) -> str:
        """How likely it is."""
        return odds_text(suspect.odds) if self.fit else FITS_BADLY

    def place(self, suspect: Suspect) -> str:
        """A run by its ends, or the splices of a box."""
        run = _found(self).runs[suspect.run]
        if suspect.splice_at >= 0:
            return f"Splices in {run.to_id}"
        return f"Run from {_start(run)} to {run.to_id}"

    def faults(self, suspect: Suspect) -> str:
        """The kinds of fault that fit, with their sizes."""
        return "; or ".join(self._fault_words(suspect, each) for each in suspect.explanations)

    def apart(self, number: int, suspect: Suspect) -> str:
        """What to measure: for the first suspect against the second, then for the kinds of fault in one place."""
        found, told = _found(self), self.told()
        pieces: list[str] = []
        step = next_reading(found) if number == 0 and len(told) > 1 else None
        if step is not None:
            pieces.append(f"{self._read(step)} {self._means(step, 'the first of these places', 'the second')}")
        kinds = kinds_apart(found, suspect)
        if kinds is not None:
            splice_first = suspect.explanations[0].kind == "splice"
            names = ("a bad splice", "a wrong length") if splice_first else ("a wrong length", "a bad splice")
            pieces.append(f"{self._read(kinds)} {self._means(kinds, *names)}")
        if not pieces and suspect.explanations[0].kind == "short":
            pieces.append("Look in the boxes at both ends, then read this run alone.")
        return " ".join(pieces) or "Look at the splices there, then read the loop again."

    def _fault_words(self, suspect: Suspect, each: Explanation) -> str:
        size, run = _ohms(abs(each.ohms)), _found(self).runs[suspect.run]
        if suspect.splice_at >= 0:
            return f"the core that comes in is gripped badly, {size} too many"
        if each.kind == "splice":
            return f"a bad splice at {_start(run)}, {size} too many"
        length = self.lengths[run.id]
        if each.kind == "short":
            at_m = length.trench_m(each.at * length.circuit_m)
            at = f"about {run_length(at_m, 'nearest', 2).text(self.units)} from {_start(run)}"
            if at_m in (0.0, length.run_m):
                at = f"in the slack at {_start(run) if at_m == 0.0 else run.to_id}"
            return f"cores that touch {at}, over {size}"
        off_m = each.ohms / float(_found(self).opened.ohms[suspect.run]) * length.circuit_m
        off = run_length(abs(off_m), "nearest", 2).text(self.units)
        return f"the run {off} {'longer' if off_m > 0.0 else 'shorter'} than drawn"

    def _read(self, step: NextReading) -> str:
        """How to take a reading."""
        run = next(each for each in _found(self).runs if each.id == step.place)
        name = f"the run from {_start(run)} to {run.to_id}"
        return {
            "from-controller": f"Short the pair at {run.to_id} and read the loop at the controller.",
            "run-shorted": f"Leave {name} in its splices at {_start(run)}, and take the cable that comes in out of "
            f"them. Short the pair at {run.to_id} and read it from there.",
            "run-open": f"Part {name} at both ends, leave its far end open and read core to core.",
            "across-splice": f"In {run.to_id}, read each core from the cable that comes in to the cables that go out.",
            "run-cut-out": f"Cut {name} out of its splices at both ends, short it at its far end and read it.",
        }[step.how]

    def _means(self, step: NextReading, first: str, second: str) -> str:
        """What the reading will be either way."""
        return f"{_reads(step.first_ohms)} means {first}, {_reads(step.second_ohms)} {second}."


def loop_readings(context: Context, results: Results) -> tuple[BoxReading, ...]:
    """The loop readings of a job's records: at each box the last one that can be true; none where all of them pass.

    Readings that pass together say nothing, however they lie within their limits. Where a run passed and differs after
    its fill, the fill did it: no run before it is looked at for that reading.
    """
    good = {(each.due.subject, name) for each in results.results if each.status == "pass" for name in each.due.ids}
    closed = {
        check.id for each in context.sections for check in each.checks if check.measures == "loop_closed_ohms"
    }  # fmt: skip
    soils = {each.due.subject: each.number for each in results.results if each.due.kind == "soil"}
    found: dict[tuple[str, bool], Result] = {}
    for each in results.results:
        if each.due.loop is None or each.record is None or each.status not in ("pass", "fail"):
            continue
        if each.status == "fail" and (each.due.subject, each.due.near) in good:
            continue
        place = each.due.subject, not closed.isdisjoint(each.due.ids)
        last = found.get(place)
        if last is None or last.record is None or last.record.when <= each.record.when:
            found[place] = each
    if all(each.status == "pass" for each in found.values()):
        return ()
    return tuple(
        BoxReading(subject.removeprefix(RUN), each.number, soils.get(subject), closed=is_closed)
        for (subject, is_closed), each in found.items()
        if each.number is not None
    )


def suspect_records(context: Context, readings: Iterable[BoxReading]) -> list[dict[str, Any]]:
    """Suspects in order, with odds, from loop readings, for a program: plain values, sizes in ohms and metres."""
    words = SuspectWords(context, readings)
    return [
        {
            "place": ("box:" if each.splice_at >= 0 else "run:") + _found(words).name(each),
            "odds": round(each.odds, 4),
            "fits": words.fit,
            "faults": [
                {"kind": fault.kind, "ohms": round(fault.ohms, 3)}
                | ({"part_of_run": round(fault.at, 3)} if fault.kind == "short" else {})
                for fault in each.explanations
            ],
            "words": words.faults(each),
            "next": words.apart(number, each),
        }
        for number, each in enumerate(words.told())
    ]


def suspect_lines(context: Context, readings: Iterable[BoxReading]) -> Iterator[str]:
    """The same for a terminal, a line or two for each suspect."""
    words = SuspectWords(context, readings)
    if words.told():
        yield SAFE_FIRST
        if not words.fit:
            yield NONE_FITS
    for number, each in enumerate(words.told()):
        yield f"{words.odds(each)}  {words.place(each)}: {words.faults(each)}"
        yield f"  {words.apart(number, each)}"


def odds_text(odds: float) -> str:
    """Odds out of a hundred; never certain."""
    return "more than 99 %" if odds > 0.99 else "less than 1 %" if odds < 0.01 else f"{odds:.0%}".replace("%", " %")


def _start(run: Run) -> str:
    """Where a run starts, by name."""
    return "the controller" if run.from_id == CONTROLLER else run.from_id


def _found(words: SuspectWords) -> JobSuspects:
    """The diagnosis of readings of which there were some."""
    if words.found is None:
        raise ValueError("no reading was a number at a place of this job")
    return words.found


def _ohms(value: float) -> str:
    return ohms(value, "nearest", 2).alone("metric")


def _reads(value: float) -> str:
    return "open" if math.isinf(value) else ohms(value, "nearest").alone("metric")
