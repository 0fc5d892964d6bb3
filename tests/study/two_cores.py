"""A path with one fault as two cores of resistors: an independent witness of what the meter reads.

Every core of every run is a resistor of its own between nodes of its own, a bad splice one more in one core, a short a
resistor between the cores at its place. Each reading is a nodal solution of all of it with the pair shorted at the
place that is read (numpy.linalg, nodal analysis). Nothing of the program's own way of working is used.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

CONTROLLER = "controller"
CLIP_OHMS = 1e-7
"""The short that the crew makes at the place that is read."""


@dataclass(frozen=True)
class Run:
    """One run: the places that it joins and the ohms of one core."""

    id: str
    one: str
    two: str
    core_ohms: float


@dataclass(frozen=True)
class Fault:
    """What is wrong. ``place`` is a run, or for ``branch-splice`` a box; ``ohms`` more in one core, or of the short.

    ``at`` is where in its run a short is, and ``times`` what a wrong length is of the right one.
    """

    kind: str
    place: str
    ohms: float = 0.0
    at: float = 0.0
    times: float = 1.0
    core: str = "a"


def edges(runs: list[Run], fault: Fault | None) -> list[tuple[str, str, float]]:
    """Resistors of both cores; ``B3<`` is where the incoming cable ends in B3, ``B3`` where the outgoing ones begin."""
    found: list[tuple[str, str, float]] = []
    for run in runs:
        for core in "ab":
            start, end, ohms = f"{core} {run.one}", f"{core} {run.two}", run.core_ohms
            if fault and fault.kind == "branch-splice" and fault.place == run.one and fault.core == core:
                start = f"{core} beyond {run.one}"
            if fault and fault.kind == "splice" and fault.place == run.id and fault.core == core:
                found.append((start, f"{core} start of {run.id}", fault.ohms))
                start = f"{core} start of {run.id}"
            if fault and fault.kind == "length" and fault.place == run.id:
                ohms *= fault.times
            if fault and fault.kind == "short" and fault.place == run.id:
                middle = f"{core} short"
                found += [(start, middle, ohms * fault.at), (middle, end, ohms * (1 - fault.at))]
            else:
                found.append((start, end, ohms))
    if fault and fault.kind == "short":
        found.append(("a short", "b short", fault.ohms))
    if fault and fault.kind == "branch-splice":
        found.append((f"{fault.core} {fault.place}", f"{fault.core} beyond {fault.place}", fault.ohms))
    return found


def readings(runs: list[Run], places: list[str], fault: Fault | None) -> np.ndarray:
    """What a perfect meter at the controller reads with the pair shorted at each place, ohm."""
    return solved(edges(runs, fault), places)


def solved(resistors: list[tuple[str, str, float]], places: list[str]) -> np.ndarray:
    """The same from the resistors; core b at the controller is the reference."""
    names = dict.fromkeys(end for one, two, _ in resistors for end in (one, two))
    names.pop(f"b {CONTROLLER}", None)
    index = {name: n for n, name in enumerate(names)}
    matrix = np.zeros((len(index), len(index)))

    def join(on: np.ndarray, one: str, two: str, ohms: float) -> None:
        siemens = 1.0 / max(ohms, CLIP_OHMS)
        for here, other in ((one, two), (two, one)):
            if here in index:
                on[index[here], index[here]] += siemens
                if other in index:
                    on[index[here], index[other]] -= siemens

    for each in resistors:
        join(matrix, *each)
    every = np.repeat(matrix[None], len(places), axis=0)
    for number, place in enumerate(places):
        join(every[number], f"a {place}", f"b {place}", CLIP_OHMS)
    ampere = np.zeros((len(index), 1))
    ampere[index[f"a {CONTROLLER}"]] = 1.0
    return np.linalg.solve(every, np.repeat(ampere[None], len(places), axis=0))[:, index[f"a {CONTROLLER}"], 0]


def opened(runs: list[Run], closing: set[str]) -> list[Run]:
    """The runs with each closing run loose at its far end."""
    return [replace(run, two=f"loose end of {run.id}") if run.id in closing else run for run in runs]


def to_earth(runs: list[Run], start: str, insulation_ohms: dict[str, float], leak: tuple[str, float, float]) -> float:
    """What a tester between core a at ``start`` and earth reads of these runs, joined, ohm; earth is the reference.

    Each run leaks by itself at its middle; ``leak`` is the run of one more leak, where in it, and its ohms.
    """
    resistors: list[tuple[str, str, float]] = []
    for run in runs:
        places = [(0.5, insulation_ohms[run.id])] + ([leak[1:]] if leak[0] == run.id else [])
        before, so_far = run.one, 0.0
        for number, (at, ohms) in enumerate(sorted(places)):
            here = f"{run.id} leak {number}"
            resistors += [(before, here, run.core_ohms * max(at - so_far, 1e-6)), (here, "earth", ohms)]
            before, so_far = here, at
        resistors.append((before, run.two, run.core_ohms * (1.0 - so_far)))
    names = [each for each in dict.fromkeys(end for one, two, _ in resistors for end in (one, two)) if each != "earth"]
    index = {name: n for n, name in enumerate(names)}
    matrix = np.zeros((len(names), len(names)))
    for one, two, ohms in resistors:
        for here, other in ((one, two), (two, one)):
            if here in index:
                matrix[index[here], index[here]] += 1.0 / ohms
                if other in index:
                    matrix[index[here], index[other]] -= 1.0 / ohms
    ampere = np.zeros(len(names))
    ampere[index[start]] = 1.0
    return float(np.linalg.solve(matrix, ampere)[index[start]])
