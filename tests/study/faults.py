"""Faults by the thousand, each put into a network of resistors, read by a meter that is off, and looked for again.

Run it with ``make faults``; ``--cases 200`` is a short one. The suite runs a sample (``test_fault_study.py``).

A case: one fault of a kind in a run, or in the splices of a branch box, chosen evenly, its size chosen evenly by
tenfolds; drawn again until at least one reading without meter error is outside its limits. ``two_cores`` works every
reading out. The meter is off by one part of all its readings, even within its percentage, and by some ohms at each,
even within its ohms. A leak to earth is looked for by the insulation readings of the path parted before each run.
Cable and lengths are as the job says; with ``--lengths`` each run is off by up to 1.5 % besides.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

from samples import DEMO, REPOSITORY, chain, job_text, random_boxes
from slackloop.compute.suspects.job_suspects import BoxReading, LoopReader
from slackloop.compute.suspects.next_reading import InsulationReading, leak_diagnosis
from slackloop.document.worked import Worked, work
from study.two_cores import Fault, Run, opened, readings, to_earth

SEED, CASES, THRESHOLD = 20260302, 1000, 0.95
SOIL_C = 12.0
COPPER_ALPHA = 0.00393
KINDS = ("splice", "short", "length", "branch-splice", "leak")
SIZES = {"splice": (0.05, 200.0), "branch-splice": (0.05, 200.0), "short": (0.01, 10.0), "leak": (1e3, 1e7)}
"""Ohms that a fault is drawn from, evenly by tenfolds."""
LENGTHS = (0.3, 3.0)
"""What a wrong length may be of the right one."""
LENGTH_ERROR = 0.015
TESTER = 0.05
"""An insulation tester may be off by so much of a reading: half of it alike at all readings, half at each."""
SOUND_OHM_M = 200e9
"""Insulation of a sound cable, ohm times metre (200 megohm times kilometre): a poor one that still passes."""


@dataclass(frozen=True)
class Network:
    """A path to put faults into: what the job says, and its limits at the places that are read."""

    name: str
    reader: LoopReader
    runs: list[Run]
    closing: set[str]
    places: list[str]
    limits: np.ndarray
    meter: tuple[float, float]
    lengths: list[float]
    least_insulation_ohms: float


@dataclass(frozen=True)
class Outcome:
    """One case: where the true place came in the list (1 is first), and with what odds the first was named."""

    network: str
    kind: str
    rank: int
    odds: float
    right: bool


def network(name: str, path: Path) -> Network:
    """A job as a network at the soil temperature of the study; 8.29 milliohm a metre of 14 AWG is worked out anew."""
    worked = work(path)
    analysis, job = worked.analysis, worked.job
    warm = 1.0 + COPPER_ALPHA * (SOIL_C - 20.0)
    per_m = {cable: core_ohms_a_metre(worked, cable) * warm for cable in job.cables}
    every = analysis.network.all_runs
    runs = [Run(r.id, r.from_id, r.to_id, analysis.lengths[r.id].circuit_m * per_m[r.cable]) for r in every]
    closing = {run.id for run in analysis.network.closures}
    places = [f"loose end of {r.id}" if r.id in closing else r.id for r in every]
    healthy = readings(opened(runs, closing), places, None)
    meter = job.rules.tests.meter
    fraction = meter.percent.si if meter and meter.percent else 0.01
    ohms = meter.ohms.si if meter and meter.ohms else 0.05
    tolerance = job.rules.tests.loop_tolerance.si
    low, high = healthy * (1 - tolerance), healthy * (1 + tolerance)
    limits = np.stack([low * (1 - fraction) - ohms, high * (1 + fraction) + ohms])
    reader = LoopReader(job, analysis.network, worked.tables, analysis.lengths)
    return Network(name, reader, runs, closing, places, limits, (fraction, ohms),
                   [analysis.lengths[r.id].circuit_m for r in every], job.rules.tests.insulation.least.si)  # fmt: skip


def core_ohms_a_metre(worked: Worked, cable: str) -> float:
    """One solid AWG core at 20 °C from ASTM B258 and IEC 60028; the networks of the study have no other."""
    size = worked.job.cables[cable].conductor
    assert size.system == "AWG"
    diameter_mm = 0.127 * 92 ** ((36 - size.number) / 39)
    return float(1 / (58 * np.pi / 4 * diameter_mm**2))


@cache
def networks() -> tuple[Network, ...]:
    """A chain, a tree of branches, a ring and the demonstration."""
    folder = Path(tempfile.mkdtemp(prefix="faults-"))
    texts = {"chain of 24": job_text(chain(24)), "branches, 30 boxes": job_text(random_boxes(30, seed=11))}
    made = []
    for name, text in texts.items():
        path = folder / f"{name.split(' ')[0]}.yml"
        path.write_text(text, encoding="utf-8")
        made.append(network(name, path))
    ring = REPOSITORY / "tests" / "witness" / "jobs" / "ring.yml"
    return (*made, network("ring of 12", ring), network("demonstration, 40 boxes", DEMO))


def drawn(on: Network, rng: random.Random, kind: str) -> Fault:
    """A fault of a kind, large enough to put a reading outside its limits."""
    while True:
        run = rng.choice(on.runs)
        fault = Fault(kind, run.id, core=rng.choice("ab"))
        if kind == "branch-splice":
            fault = replace(fault, place=rng.choice(branch_boxes(on)))
        if kind == "length":
            least, most = LENGTHS
            fault = replace(fault, times=least * (most / least) ** rng.random())
        else:
            least, most = SIZES[kind]
            fault = replace(fault, ohms=least * (most / least) ** rng.random(), at=rng.random())
        read = readings(opened(on.runs, on.closing), on.places, fault)
        if np.any((read < on.limits[0]) | (read > on.limits[1])):
            return fault


def branch_boxes(on: Network) -> list[str]:
    """Boxes that several runs go on from."""
    starts = [run.one for run in on.runs if run.one != "controller"]
    return sorted({box for box in starts if starts.count(box) > 1})


def case(on: Network, rng: random.Random, kind: str, *, lengths: bool = False) -> Outcome:
    """One fault in the loop put in, read with meter error, and looked for."""
    fault = drawn(on, rng, kind)
    runs = on.runs
    if lengths:
        off = LENGTH_ERROR
        runs = [replace(run, core_ohms=run.core_ohms * (1 + rng.uniform(-off, off))) for run in runs]
    read = readings(opened(runs, on.closing), on.places, fault)
    fraction, ohms = on.meter
    read = read * (1 + rng.uniform(-fraction, fraction)) + np.array([rng.uniform(-ohms, ohms) for _ in read])
    written = [BoxReading(run.id, max(round(float(each), 2), 0.0), SOIL_C)
               for run, each in zip(on.runs, read, strict=True)]  # fmt: skip
    found = on.reader.suspects(written)
    assert found is not None
    named = [(found.name(each), each.splice_at >= 0) for each in found.diagnosis.suspects]
    true = (fault.place, kind == "branch-splice")
    first = found.diagnosis.suspects[0]
    return Outcome(on.name, kind, named.index(true) + 1, first.odds, named[0] == true)


def leak_case(on: Network, rng: random.Random) -> Outcome:
    """A leak from a core to earth in one run, read with the path parted before each run in turn, rings open."""
    runs = opened(on.runs, on.closing)
    sound = {run.id: SOUND_OHM_M / length * rng.uniform(0.5, 2.0) for run, length in zip(runs, on.lengths, strict=True)}
    beyond = {run.id: beyond_run(runs, run) for run in runs}
    while True:
        run, (least, most) = rng.choice(runs), SIZES["leak"]
        leak = run.id, rng.random(), least * (most / least) ** rng.random()
        if to_earth([run], run.one, sound, leak) < on.least_insulation_ohms:
            break
    index = {run.id: n for n, run in enumerate(runs)}
    off = rng.uniform(-TESTER, TESTER) / 2
    read = [
        InsulationReading(
            frozenset(index[each.id] for each in beyond[run.id]),
            to_earth(beyond[run.id], run.one, sound, leak) * (1 + off + rng.uniform(-TESTER, TESTER) / 2),
        )
        for run in runs
    ]
    found = leak_diagnosis(read, on.lengths, TESTER)
    named = [each.run for each in found.suspects]
    first = found.suspects[0]
    return Outcome(on.name, "leak", named.index(index[leak[0]]) + 1, first.odds, runs[first.run].id == leak[0])


def beyond_run(runs: list[Run], first: Run) -> list[Run]:
    """A run and all that hangs on it, rings open."""
    found, ends = [first], {first.two}
    for run in runs[runs.index(first) + 1 :]:
        if run.one in ends:
            found.append(run)
            ends.add(run.two)
    return found


def study(cases: int, seed: int = SEED, *, lengths: bool = False) -> Iterator[Outcome]:
    """So many cases, turn by turn over networks and kinds; a network without branch boxes has none of their faults."""
    rng = random.Random(seed)
    turns = [(on, kind) for on in networks() for kind in KINDS if kind != "branch-splice" or branch_boxes(on)]
    for number in range(cases):
        on, kind = turns[number % len(turns)]
        yield leak_case(on, rng) if kind == "leak" else case(on, rng, kind, lengths=lengths)


def table(outcomes: list[Outcome]) -> list[str]:
    """The study by network and kind: cases, how often the true place came first and among the first two, the worst."""
    lines = [f"{'network':26}{'fault':16}{'cases':>6}{'first':>8}{'first two':>11}{'worst':>7}"]
    for name in dict.fromkeys(each.network for each in outcomes):
        for kind in KINDS:
            lines += _row(name, kind, [each for each in outcomes if (each.network, each.kind) == (name, kind)])
    return [*lines, *_row("all", "", outcomes)]


def _row(name: str, kind: str, some: list[Outcome]) -> list[str]:
    if not some:
        return []
    first, two = (sum(each.rank <= n for each in some) / len(some) for n in (1, 2))
    return [f"{name:26}{kind:16}{len(some):6}{first:8.1%}{two:11.1%}{max(each.rank for each in some):7}"]


def odds_kept(outcomes: list[Outcome]) -> list[str]:
    """How often the first suspect was the true one, by the odds that it was named with."""
    lines = [f"{'odds of the first':20}{'cases':>6}{'right':>8}"]
    bounds: list[tuple[float, float]] = [(0.0, 0.6), (0.6, 0.8), (0.8, 0.95), (0.95, 0.99), (0.99, 1.01)]
    for low, high in bounds:
        some = [each for each in outcomes if low <= each.odds < high]
        if some:
            right = sum(each.right for each in some) / len(some)
            lines.append(f"{f'{low:.0%} to {min(high, 1):.0%}':20}{len(some):6}{right:8.1%}")
    return lines


def main(say: Callable[[str], None] = print) -> int:
    """Print the table; 1 where the true place is first in fewer than 95 %."""
    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reader.add_argument("--cases", type=int, default=CASES)
    reader.add_argument("--seed", type=int, default=SEED)
    reader.add_argument("--lengths", action="store_true", help="each run is off by up to 1.5 %% besides")
    asked = reader.parse_args()
    outcomes = list(study(asked.cases, asked.seed, lengths=asked.lengths))
    say("\n".join([*table(outcomes), "", *odds_kept(outcomes)]))
    return 0 if sum(each.right for each in outcomes) >= THRESHOLD * len(outcomes) else 1


if __name__ == "__main__":
    sys.exit(main())
