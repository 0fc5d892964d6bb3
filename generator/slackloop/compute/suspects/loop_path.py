"""The path as the loop meter sees it, and what one fault in it does to each reading.

Loop resistances in ohm, at one temperature; the meter is at the controller, the pair is shorted at the place that is
read and no device is on it. Both cores of a run are taken as alike.

Cores that touch in a run: the place and the ohms of the short that fit a set of readings best, run by run.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackloop.compute.circuit.loop import LoopNetwork, loop_network

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_OHMS = 1e-9
"""A run of less counts as that much, so that what flows in it can be worked out."""


@dataclass(frozen=True)
class LoopPath:
    """Runs and places of one path in one state of its rings.

    ``one`` and ``two`` of shape ``(k,)`` are the places that each run joins, by index, -1 the controller; ``ohms`` of
    shape ``(k,)`` the loop resistance of each. ``shared`` of shape ``(n + 1, n + 1)`` is what two places share seen
    from the controller, whose own row and column of zeros come last, where an index of -1 finds them.
    """

    one: Ints
    two: Ints
    ohms: Floats
    shared: Floats

    @cached_property
    def readings(self) -> Floats:
        """The reading at each place without a fault, ohm; ``(n,)``."""
        return np.asarray(np.diag(self.shared)[:-1])

    @cached_property
    def drops(self) -> Floats:
        """What each place shares with one end of a run less what it shares with the other, ohm; ``(k, n)``."""
        return np.asarray((self.shared[self.one] - self.shared[self.two])[:, :-1])

    @cached_property
    def across(self) -> Floats:
        """Resistance between the ends of each run with all the rest in place, ohm; ``(k,)``. On a tree its own."""
        z = self.shared
        return np.asarray(z[self.one, self.one] + z[self.two, self.two] - 2.0 * z[self.one, self.two])

    @cached_property
    def shares(self) -> Floats:
        """By how much each reading rises with each ohm more in a run, ``(k, n)``: 1 or 0 on a tree.

        The square of the part of the meter's current that the run carries (Cohn's theorem on the sensitivity of a
        resistive network).
        """
        return np.asarray((self.drops / self.ohms[:, None]) ** 2)

    def with_series(self, runs: Ints, more_ohms: Floats, *, one_core: bool) -> Floats:
        """What every reading rises by when a run has more ohms, ``(m, n)``; both of shape ``(m,)``, runs by index.

        A change of rank one of the nodal matrix (Sherman and Morrison), exact for any size; a run never falls under
        nothing, so more than -1 times its own ohms is asked. On a tree it is the ohms themselves beyond the run. On a
        closed ring a fault in ``one_core`` (a splice) differs from one in both (a longer run): then only that core's
        current finds another way.
        """
        part = 2.0 if one_core else 1.0
        own = self.ohms[runs]
        below = own * own + part * more_ohms * (own - self.across[runs])
        return np.asarray((more_ohms / below)[:, None] * self.drops[runs] ** 2)

    def with_short(self, runs: Ints, at: Floats, short_ohms: Floats) -> Floats:
        """What every reading rises by (it falls) when the cores touch in a run, ``(m, n)``.

        ``runs`` are indices, ``at`` the part of the run's cable from its start, 0 to 1, and ``short_ohms`` the
        resistance of the short; all of shape ``(m,)``. The short's own place is added to the network by superposition,
        then joined to the place that is read over its ohms (Sherman and Morrison). Exact.
        """
        z, (one, two, own) = self.shared, (each[runs] for each in (self.one, self.two, self.ohms))
        t = at[:, None]
        to_place = ((1.0 - t) * z[one] + t * z[two])[:, :-1]
        itself = (1.0 - at) ** 2 * z[one, one] + at**2 * z[two, two] + 2.0 * at * (1.0 - at) * z[one, two]
        itself = itself + at * (1.0 - at) * own
        between = self.readings - to_place
        below = short_ohms[:, None] + itself[:, None] + self.readings - 2.0 * to_place
        return np.asarray(-(between**2) / np.maximum(below, LEAST_OHMS))


def loop_path(
    parent: Sequence[int], run_ohms: Sequence[float], closures: Sequence[tuple[int, int, float]] = ()
) -> LoopPath:
    """The path from the run that feeds each place, ohm, and closing runs (place, place, ohm); -1 is the controller.

    Parents come before children. Memory grows as places squared: 8 MB at 1,000.
    """
    ohms = [max(each, LEAST_OHMS) for each in run_ohms]
    links = [(one, two, max(each, LEAST_OHMS)) for one, two, each in closures]
    return LoopPath(
        one=np.array([*parent, *(one for one, _, _ in links)], dtype=np.int64),
        two=np.array([*range(len(parent)), *(two for _, two, _ in links)], dtype=np.int64),
        ohms=np.array([*ohms, *(each for _, _, each in links)]),
        shared=_shared(loop_network(parent, ohms, links)),
    )


def _shared(loops: LoopNetwork) -> Floats:
    """What every two places share, the controller last; ``LoopNetwork.shared`` for all of them at once."""
    count = len(loops.parent)
    shared = np.zeros((count + 1, count + 1))
    for place, above in enumerate(loops.parent):
        shared[place, :place] = shared[:place, place] = shared[above, :place]
        shared[place, place] = loops.tree_ohms[place]
    for column, ohms in loops.corrections:
        padded = np.array([*column, 0.0])
        shared -= np.outer(padded, padded) / ohms
    return shared


LEAST_SHORT_OHMS, MOST_SHORT_OHMS = 0.01, 1000.0
"""A short of less reads like none at all; one of more hardly shows in a loop of some ohms."""
FIRST_PLACES = (0.0, 0.25, 0.5, 0.75, 1.0)
FIRST_OHMS = tuple(float(each) for each in np.geomspace(0.02, 500.0, 8))
LOWER = 3
"""How many of the first places lie in the first half of a run: on a closed ring a reading may fit in both halves."""
STEPS = 14
MOST_REFINED = 60
"""Runs that are refined, on a path of more."""
NUDGE, SETTLED, MOST_DAMPED = 1e-5, 1e-6, 1.0

Fall = Callable[[Ints, Floats, Floats], Floats]
"""What the readings change by, ``(m, n)``, from runs by index, places in them and ohms of the short."""


@dataclass(frozen=True)
class FittedShorts:
    """By run, ``(k,)``: log of the evidence, ohms of the short, the misfit that is left, and where it is, 0 to 1."""

    evidence: Floats
    ohms: Floats
    misfit: Floats
    at: Floats


def fitted_shorts(
    fall: Fall, runs: int, left: Floats, variance: Floats, whiten: Floats, target: Floats
) -> FittedShorts:
    """The best short in each run by damped least squares (Levenberg and Marquardt) from the best of a few places.

    ``fall`` gives the change of the readings; ``left`` is what a fault has to explain and ``variance`` how far each
    reading may be off by itself, ``target`` the same whitened by ``whiten``. Of many runs those are refined that begin
    best. A short may be anywhere in a run alike, its ohms anything from ``LEAST_SHORT_OHMS`` to ``MOST_SHORT_OHMS``,
    each tenfold as likely as the next. The evidence is Laplace's, its place cut at the ends of the run.
    """
    every = np.arange(runs)
    halves = [_started(fall, every, left, variance, places) for places in (FIRST_PLACES[:LOWER], FIRST_PLACES[LOWER:])]
    kept = np.sort(np.argsort(np.minimum(halves[0][2], halves[1][2]), kind="stable")[:MOST_REFINED])

    def whitened(some: Ints, at: Floats, short_ohms: Floats) -> Floats:
        return fall(some, at, short_ohms) @ whiten.T

    fits = [_refined(whitened, kept, target, at[kept], logs[kept]) for at, logs, _ in halves]
    better = fits[1][2] < fits[0][2]
    at, logs = (np.where(better, fits[1][n], fits[0][n]) for n in (0, 1))
    evidence, misfit = _evidence(whitened, kept, target, at, logs)
    found = [np.full(runs, empty) for empty in (-math.inf, 0.0, math.inf, math.nan)]
    for into, part in zip(found, (evidence, np.exp(logs), misfit, at), strict=True):
        into[kept] = part
    return FittedShorts(*found)


def _evidence(fall: Fall, runs: Ints, target: Floats, at: Floats, logs: Floats) -> tuple[Floats, Floats]:
    """Log of the evidence of a short in each run about its best fit, and the misfit that is left."""
    from scipy.special import log_ndtr

    here, slopes = _slopes(fall, runs, at, logs)
    left = target - here
    misfit = (left**2).sum(axis=1)
    width = math.log(MOST_SHORT_OHMS / LEAST_SHORT_OHMS)
    bend = np.einsum("man,mbn->mab", slopes, slopes) + np.diag([12.0, 12.0 / width**2])
    pull = np.einsum("man,mn->ma", slopes, left)
    onward = np.linalg.solve(bend, pull[:, :, None])[:, :, 0]
    spread = np.sqrt(np.linalg.inv(bend)[:, 0, 0])
    free = at + onward[:, 0]
    inside = _log_between(log_ndtr, -free / spread, (1.0 - free) / spread)
    gain = (pull * onward).sum(axis=1)
    volume = np.log(2.0 * math.pi / width) - 0.5 * np.log(np.linalg.det(bend))
    evidence = -(misfit - gain) / 2.0 + np.minimum(volume, 0.0) + inside
    nothing = (slopes**2).sum(axis=(1, 2)) < 1e-9
    return np.where(nothing, -np.inf, np.minimum(evidence, -misfit / 2.0)), misfit


def _started(
    fall: Fall, every: Ints, left: Floats, variance: Floats, places: tuple[float, ...]
) -> tuple[Floats, Floats, Floats]:
    """The best of some places and ohms for each run, each reading taken by itself: where, log of the ohms, misfit."""
    tried = [(place, ohms) for place in places for ohms in FIRST_OHMS]
    misfits = np.array(
        [
            (left - fall(every, np.full(len(every), place), np.full(len(every), ohms))) ** 2 @ (1.0 / variance)
            for place, ohms in tried
        ]
    )
    best = misfits.argmin(axis=0)
    chosen = np.array(tried)[best]
    return chosen[:, 0], np.log(chosen[:, 1]), misfits.min(axis=0)


def _refined(fall: Fall, every: Ints, target: Floats, at: Floats, logs: Floats) -> tuple[Floats, Floats, Floats]:
    """Place, log of the ohms and misfit after some damped steps."""
    damp = np.full(len(every), 1e-3)
    low, high = math.log(LEAST_SHORT_OHMS), math.log(MOST_SHORT_OHMS)
    misfit = ((target - fall(every, at, np.exp(logs))) ** 2).sum(axis=1)
    for _ in range(STEPS):
        here, slopes = _slopes(fall, every, at, logs)
        bend = np.einsum("man,mbn->mab", slopes, slopes)
        own = np.einsum("maa->ma", bend) + 1e-9
        bend = bend + np.einsum("ma,ab->mab", own * damp[:, None], np.eye(2)) + np.eye(2) * 1e-12
        step = np.linalg.solve(bend, np.einsum("man,mn->ma", slopes, target - here)[:, :, None])[:, :, 0]
        next_at = np.clip(at + step[:, 0], 0.0, 1.0)
        next_logs = np.clip(logs + np.clip(step[:, 1], -2.0, 2.0), low, high)
        tried = ((target - fall(every, next_at, np.exp(next_logs))) ** 2).sum(axis=1)
        good = tried < misfit
        at, logs = np.where(good, next_at, at), np.where(good, next_logs, logs)
        settled = bool(np.all(~good | (misfit - tried < SETTLED)))
        misfit = np.where(good, tried, misfit)
        if settled and damp.max() > MOST_DAMPED:
            break
        damp = np.where(good, damp / 5.0, damp * 5.0)
    return at, logs, misfit


def _slopes(fall: Fall, every: Ints, at: Floats, logs: Floats) -> tuple[Floats, Floats]:
    """The change of the readings, and its slopes over place and log of the ohms, ``(m, 2, n)``."""
    here = fall(every, at, np.exp(logs))
    toward = np.where(at > 0.5, -NUDGE, NUDGE)
    along = (fall(every, at + toward, np.exp(logs)) - here) / toward[:, None]
    over = (fall(every, at, np.exp(logs + NUDGE)) - here) / NUDGE
    return here, np.stack([along, over], axis=1)


def _log_between(log_ndtr: Callable[[Floats], Floats], low: Floats, high: Floats) -> Floats:
    """Log of the chance of a normal value between two bounds, both taken to the side where it is small."""
    swap = low > 0.0
    first, second = np.where(swap, -high, low), np.where(swap, -low, high)
    upper, lower = log_ndtr(second), log_ndtr(first)
    return np.asarray(upper + np.log1p(-np.exp(np.minimum(lower - upper, -1e-15))))
