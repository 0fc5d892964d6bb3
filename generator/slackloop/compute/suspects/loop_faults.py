"""Which single fault explains a set of loop readings best: each run and each kind fitted by least squares, with odds.

Every reading is explained by the path without a fault, one fault of unknown size, and what is never known exactly: the
meter's gain, the copper of each cable, the length of each run as laid, and the error of each reading by itself. The
odds are those of Bayes: how likely the readings are under each explanation, its size allowed to be anything (Laplace's
approximation), each place as likely as every other before anything is read. Holds for one fault at a time, there at
every reading, all readings by one meter. A leak from one core to earth changes no loop reading: see ``leaks``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from slackloop.compute.suspects.loop_path import Floats, Ints, LoopPath, fitted_shorts

Kind = Literal["splice", "length", "short"]
"""More ohms in one core where a run is spliced on; a run longer or shorter than drawn; cores that touch in a run."""

LEAST_SPLICE_OHMS, MOST_SPLICE_OHMS = 0.05, 1e4
"""Between these a bad splice may have any ohms, each tenfold as likely as the next; less than the first is none."""
LEAST_PART = 0.02
"""The shortest that a run may be, as a part of its length as drawn."""
SERIES: tuple[Literal["splice", "length"], ...] = ("splice", "length")
MOST_FITTED = 60
"""Runs that are fitted with all that readings have in common, on a path of more."""
STEPS, SETTLED = 8, 1e-9
TOLD_SHARE = 0.05
"""A kind of fault is told beside the likeliest one of its place from this share of the place's odds on."""
POOR_FIT = 4.0
"""Standard deviations of the misfit above which no single fault explains the readings."""


@dataclass(frozen=True)
class Doubt:
    """What is never known exactly, as standard deviations.

    ``gain`` is a part of every reading alike (the meter, the soil temperature as read); ``ohms`` the error of each
    reading by itself; ``cable_spread`` a part of the ohms of each cable (``cable`` gives each run's, ``(k,)``);
    ``run`` a part of each run's ohms by itself.
    """

    gain: float
    ohms: float
    cable: Ints
    cable_spread: Floats
    run: float


@dataclass(frozen=True)
class ReadSet:
    """Readings in one state of the rings: places read, by index in ``path``, and the ohms read, ``(n,)`` each."""

    path: LoopPath
    places: Ints
    ohms: Floats


@dataclass(frozen=True)
class Explanation:
    """A kind of fault with its size as fitted: ohms more in the run (less where it is shorter), or of the short.

    ``at`` is where a short is, as a part of the run's cable from its start; ``share`` of its place's odds.
    """

    kind: Kind
    ohms: float
    share: float
    at: float = math.nan


@dataclass(frozen=True)
class Suspect:
    """A place that may have the fault: a run by index, or where ``splice_at`` is not -1 the splices of that place.

    Those are suspected as a whole where several runs go on: the core that comes in may be gripped badly.
    ``odds`` are out of 1; ``explanations`` are the kinds that the readings alone cannot tell apart, likeliest first.
    """

    run: int
    splice_at: int
    odds: float
    explanations: tuple[Explanation, ...]


@dataclass(frozen=True)
class Diagnosis:
    """All suspects, likeliest first; the odds that nothing is wrong; whether any single fault fits the readings."""

    suspects: tuple[Suspect, ...]
    nothing: float
    explained: bool


@dataclass(frozen=True)
class _Fitted:
    """One kind at ``m`` places: log of the evidence, size, misfit and where, ``(m,)`` each."""

    kind: Kind
    evidence: Floats
    ohms: Floats
    misfit: Floats
    at: Floats


def diagnose(sets: Sequence[ReadSet], doubt: Doubt, branch_places: Sequence[int] = ()) -> Diagnosis:
    """Every suspect with its odds, from readings with rings open, closed or both.

    The paths of all ``sets`` have the same runs in the same order. ``branch_places`` are the places that several runs
    go on from; run ``i`` feeds place ``i``. Nothing wrong is as likely beforehand as any fault at all. Of
    more than ``MOST_FITTED`` runs only those are fitted that explain most. Time grows as the cube of the readings: some
    hundredths of a second for 40, a few seconds for 1,000.
    """
    expected = np.concatenate([each.path.readings[each.places] for each in sets])
    read = np.concatenate([each.ohms for each in sets])
    together, left, runs = covariance(sets, read, doubt), read - expected, len(sets[0].path.ohms)
    whiten, variance = np.linalg.inv(np.linalg.cholesky(together)), np.asarray(np.diag(together))
    target, likely = whiten @ left, _likely(sets, left, variance)
    fits = [_spread_out(_series(sets, whiten, target, kind, likely), likely, runs) for kind in SERIES]
    fits.append(_shorts(sets, whiten, target, left, variance))
    at_branch = _series(sets, whiten, target, "splice", np.array(branch_places, dtype=np.int64), at_branch=True)
    logs = np.concatenate([*(each.evidence for each in fits), at_branch.evidence])
    logs = logs - math.log(max(int(np.isfinite(logs).sum()), 1))
    nothing = -float(target @ target) / 2.0
    most = max(nothing, float(logs.max()))
    weights = np.exp(logs - most)
    total = float(weights.sum()) + math.exp(nothing - most)
    by_run, by_branch = weights[: 3 * runs].reshape(3, runs) / total, weights[3 * runs :] / total
    found = [_suspect(run, -1, fits, by_run[:, run], run) for run in range(runs)]
    found += [_suspect(place, place, [at_branch], by_branch[n : n + 1], n) for n, place in enumerate(branch_places)]
    misfit = min(float(target @ target), *(float(each.misfit.min(initial=math.inf)) for each in (*fits, at_branch)))
    enough = len(read) + POOR_FIT * math.sqrt(2.0 * len(read))
    return Diagnosis(
        tuple(sorted(found, key=lambda each: -each.odds)), math.exp(nothing - most) / total, misfit <= enough
    )


def covariance(sets: Sequence[ReadSet], read: Floats, doubt: Doubt) -> Floats:
    """How the readings may be off together, ohm², ``(n, n)``: what they have in common is not counted as chance."""
    shares = np.concatenate([(each.path.shares * each.path.ohms[:, None])[:, each.places] for each in sets], axis=1)
    found = np.diag(np.full(len(read), doubt.ohms**2)) + np.outer(read, read) * doubt.gain**2
    found += (shares.T @ shares) * doubt.run**2
    for cable, spread in enumerate(doubt.cable_spread.tolist()):
        of_cable = shares[doubt.cable == cable].sum(axis=0)
        found += np.outer(of_cable, of_cable) * spread**2
    return np.asarray(found)


def _likely(sets: Sequence[ReadSet], left: Floats, variance: Floats) -> Ints:
    """The runs that may be likeliest, by index: those whose ohms explain most, each reading taken by itself."""
    shares = np.concatenate([each.path.shares[:, each.places] for each in sets], axis=1)
    explained = (shares @ (left / variance)) ** 2 / np.maximum(shares**2 @ (1.0 / variance), 1e-300)
    return np.sort(np.argsort(-explained, kind="stable")[:MOST_FITTED])


def _series(
    sets: Sequence[ReadSet], whiten: Floats, target: Floats, kind: Literal["splice", "length"], chosen: Ints,
    *, at_branch: bool = False,
) -> _Fitted:  # fmt: skip
    """More ohms at some runs, or ``at_branch`` in the splices that all runs beyond these places start from."""
    own = sets[0].path.ohms[chosen]
    least = np.zeros(len(chosen)) if kind == "splice" else -(1.0 - LEAST_PART) * own

    def rise(more: Floats) -> Floats:
        parts = []
        for each in sets:
            part = each.path.with_series(chosen, more, one_core=kind == "splice")
            if at_branch:
                part[np.arange(len(chosen)), chosen] = 0.0  # the box itself is read before its splices
            parts.append(part[:, each.places])
        return np.concatenate(parts, axis=1) @ whiten.T

    ohms, slope = np.zeros(len(chosen)), np.zeros((len(chosen), len(target)))
    for _ in range(STEPS):
        here, step = rise(ohms), np.maximum(np.abs(ohms), own) * 1e-5
        slope = (rise(ohms + step) - here) / step[:, None]
        square = np.maximum((slope**2).sum(axis=1), 1e-300)
        better = np.clip(ohms + (slope * (target - here)).sum(axis=1) / square, least, MOST_SPLICE_OHMS)
        settled = bool(np.all(np.abs(better - ohms) <= SETTLED * own))
        ohms = better
        if settled:
            break
    misfit = ((target - rise(ohms)) ** 2).sum(axis=1)
    square = (slope**2).sum(axis=1)
    spread = 1.0 / np.sqrt(np.maximum(square, 1e-12))
    if kind == "splice":
        decades = math.log(MOST_SPLICE_OHMS / LEAST_SPLICE_OHMS)
        prior = 1.0 / (np.maximum(ohms, LEAST_SPLICE_OHMS) * decades)
        possible = ohms > 0.0
    else:
        prior = own / (2.0 * (own + np.abs(ohms)) ** 2)
        possible = np.ones(len(chosen), dtype=np.bool_)
    volume = np.minimum(math.sqrt(2.0 * math.pi) * spread * prior, 1.0)
    evidence = np.where(possible & (square > 1e-9), -misfit / 2.0 + np.log(volume), -np.inf)
    return _Fitted(kind, evidence, ohms, misfit, np.full(len(chosen), math.nan))


def _shorts(sets: Sequence[ReadSet], whiten: Floats, target: Floats, left: Floats, variance: Floats) -> _Fitted:
    """Cores that touch somewhere in each run, over some ohms."""

    def fall(runs: Ints, at: Floats, short_ohms: Floats) -> Floats:
        parts = [each.path.with_short(runs, at, short_ohms)[:, each.places] for each in sets]
        return np.concatenate(parts, axis=1)

    found = fitted_shorts(fall, len(sets[0].path.ohms), left, variance, whiten, target)
    return _Fitted("short", found.evidence, found.ohms, found.misfit, found.at)


def _spread_out(fitted: _Fitted, chosen: Ints, runs: int) -> _Fitted:
    """The same for every run, those that were not fitted being out of the question."""
    whole = [np.full(runs, empty) for empty in (-math.inf, 0.0, math.inf, math.nan)]
    for into, part in zip(whole, (fitted.evidence, fitted.ohms, fitted.misfit, fitted.at), strict=True):
        into[chosen] = part
    return _Fitted(fitted.kind, *whole)


def _suspect(run: int, splice_at: int, fits: Sequence[_Fitted], odds: Floats, row: int) -> Suspect:
    """A place with the kinds of fault that it may have."""
    whole = float(odds.sum())
    told = [
        Explanation(fit.kind, float(fit.ohms[row]), float(part) / whole, float(fit.at[row]))
        for fit, part in zip(fits, odds, strict=True)
        if whole > 0.0 and part >= TOLD_SHARE * whole
    ]
    return Suspect(run, splice_at, whole, tuple(sorted(told, key=lambda each: -each.share)))
