"""Odds of suspects against the evidence of each explanation summed over every size that it may have (scipy.integrate).

The path is runs in a row, so that what a fault does to a reading is series and parallel resistance by hand. What is
likely before anything is read: a splice and a short any ohms between two bounds, each tenfold alike; a short anywhere
in its run alike; a wrong length longer or shorter alike, and the change as a part of both lengths together
anything alike; nothing wrong as likely as all faults together, each explanation that can be as likely as the next.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import simpson
from scipy.stats import chi2, norm, uniform

from samples import chain, job_text
from slackloop.compute.circuit.loop import cable_loop_ohms
from slackloop.compute.suspects import job_suspects, loop_faults, loop_path
from slackloop.compute.suspects.loop_faults import Diagnosis, Doubt, ReadSet, diagnose
from slackloop.document.worked import Worked, work
from slackloop.site.effective_values import MeterError, meter_error
from study.two_cores import Fault, Run, readings

Floats = np.ndarray
FINE = 401
"""How many sizes are summed over, as many to each side of the likeliest."""


class Row:
    """Runs in a row, read at some places with errors of which some are in common."""

    def __init__(self, ohms: list[float], places: list[int], doubt: Doubt) -> None:
        self.ohms, self.places, self.doubt = np.array(ohms), np.array(places), doubt
        self.sound = np.cumsum(self.ohms)[self.places]

    def short(self, run: int, at: Floats, ohms: Floats) -> Floats:
        """Readings with the cores of a run touching: the way to the short, and it beside the way on to the place."""
        before = self.ohms[:run].sum() + at * self.ohms[run]
        beyond = np.maximum(self.sound - before[..., None], 0.0)
        beside = ohms[..., None] * beyond / (ohms[..., None] + beyond)
        return np.asarray(np.where(self.places >= run, before[..., None] + beside, self.sound))

    def more(self, run: int, ohms: Floats) -> Floats:
        """Readings with more ohms in a run."""
        return np.asarray(self.sound + ohms[..., None] * (self.places >= run))

    def log_likely(self, read: Floats, told: Floats) -> Floats:
        """Log of how likely the readings are where they should be ``told``, but for a constant."""
        shared = np.minimum.outer(self.places, self.places)
        doubt, ohms = self.doubt, np.cumsum(self.ohms)
        off = np.diag(np.full(len(read), doubt.ohms**2)) + np.outer(read, read) * doubt.gain**2
        off += np.cumsum(self.ohms**2)[shared] * doubt.run**2
        off += np.outer(ohms[self.places], ohms[self.places]) * doubt.cable_spread[0] ** 2
        left = read - told
        return -0.5 * np.einsum("...a,ab,...b->...", left, np.linalg.inv(off), left)

    def said(self, read: Floats) -> Diagnosis:
        parents = list(range(-1, len(self.ohms) - 1))
        return diagnose([ReadSet(loop_path.loop_path(parents, self.ohms.tolist()), self.places, read)], self.doubt)


def summed(log_likely: Callable[[Floats], Floats], middle: float, width: float) -> float:
    """Log of a likelihood summed about its middle."""
    sizes = np.linspace(middle - width, middle + width, FINE)
    logs = log_likely(sizes)
    return float(logs.max() + math.log(simpson(np.exp(logs - logs.max()), x=sizes)))


def decades(least: float, most: float) -> float:
    return math.log(most) - math.log(least)


def log_odds(found: Diagnosis, run: int, kind: str) -> float:
    (suspect,) = [each for each in found.suspects if each.run == run]
    (told,) = [each for each in suspect.explanations if each.kind == kind]
    return math.log(suspect.odds * told.share)


def doubt_of(runs: int, ohms: float) -> Doubt:
    return Doubt(0.0004, ohms, np.zeros(runs, dtype=np.int64), np.array([0.0003]), 0.0005)


FOUR = Row([1.0, 1.5, 0.8, 1.2], [0, 0, 1, 1, 2, 2, 3, 3], doubt_of(4, 0.002))
SCATTER = 0.006 * np.array([1.0, -1.0] * 4)
"""Both readings of a place off by three times what is expected: a misfit that every explanation has."""


def length_change(row: Row, read: Floats, run: int, ohms: float, width: float) -> float:
    """Log of the evidence of a wrong length: x of the change over both lengths, x = c ÷ (own + c), is even."""
    own = row.ohms[run]

    def logs(changes: Floats) -> Floats:
        part = np.abs(changes) / (own + np.abs(changes))
        slope = (1.0 - part) ** 2 / own  # of the part over the change
        return row.log_likely(read, row.more(run, changes)) + np.log(0.5 * slope)

    return summed(logs, ohms, width)


def test_a_splice_beside_a_wrong_length() -> None:
    read = FOUR.sound + 0.3 * (FOUR.places >= 2) + SCATTER
    found = FOUR.said(read)
    width = decades(loop_faults.LEAST_SPLICE_OHMS, loop_faults.MOST_SPLICE_OHMS)
    splice = summed(lambda more: FOUR.log_likely(read, FOUR.more(2, more)) - np.log(more * width), 0.3, 0.05)
    length = length_change(FOUR, read, 2, 0.3, 0.05)
    assert log_odds(found, 2, "splice") - log_odds(found, 2, "length") == pytest.approx(splice - length, abs=5e-4)


def test_a_wrong_length_beside_nothing_wrong() -> None:
    """Readings are too low, so that no splice can be: four lengths and four shorts can."""
    read = FOUR.sound - 0.05 * (FOUR.places >= 2) + SCATTER
    found = FOUR.said(read)
    length = length_change(FOUR, read, 2, -0.05, 0.03)
    nothing = float(FOUR.log_likely(read, FOUR.sound))
    count = math.exp(length - nothing - log_odds(found, 2, "length") + math.log(found.nothing))
    assert count == pytest.approx(8.0, rel=2e-3)


SIX = Row([5.0] * 6, [0, 1, 2, 2, 3, 3, 4, 4, 5, 5], doubt_of(6, 0.06))


def test_a_short_beside_nothing_wrong() -> None:
    """The ohms of a short do not change readings evenly, so that the program's sum is near and not exact."""
    read = SIX.short(2, np.array(0.4), np.array(200.0)) + 0.12 * np.array([0, 0, *[1.0, -1.0] * 4])
    found = SIX.said(read)
    places, sizes = np.linspace(0.0, 1.0, FINE), np.linspace(math.log(130.0), math.log(300.0), FINE)
    short = summed_short(lambda at: SIX.log_likely(read, SIX.short(2, np.full(FINE, at), np.exp(sizes))), places, sizes)
    nothing = float(SIX.log_likely(read, SIX.sound))
    count = math.exp(short - nothing - log_odds(found, 2, "short") + math.log(found.nothing))
    assert count == pytest.approx(12.0, rel=0.2), "six lengths and six shorts can be"


def summed_short(log_likely: Callable[[float], Floats], places: Floats, logs: Floats) -> float:
    """Log of the evidence of a short, summed over its places and the logarithms of its ohms."""
    inner = np.array([log_likely(each) for each in places])
    top = float(inner.max())
    width = decades(loop_path.LEAST_SHORT_OHMS, loop_path.MOST_SHORT_OHMS)
    return top + math.log(float(simpson(simpson(np.exp(inner - top), x=logs), x=places)) / width)


def even_short(slopes: Floats, at: float) -> tuple[loop_path.FittedShorts, Callable[[float, Floats], Floats]]:
    """The best short where its place and the logarithm of its ohms, 1.2, change four readings by these slopes evenly.

    The second is the log of how likely the readings are with a short at a place, over logarithms of its ohms.
    """

    def told(places: Floats, logs: Floats) -> Floats:
        return np.asarray(places[..., None] * slopes[0] + logs[..., None] * slopes[1])

    target = told(np.array(at), np.array(1.2)) + np.array([2.0, -3.0, 1.0, 2.5])
    found = loop_path.fitted_shorts(
        lambda _, places, ohms: told(places, np.log(ohms)), 1, target, np.ones(4), np.eye(4), target
    )
    return found, lambda place, logs: -0.5 * ((target - told(np.full(len(logs), place), logs)) ** 2).sum(axis=-1)


@pytest.mark.parametrize("at", [0.4, 0.97, 1.02])
def test_a_short_whose_place_and_ohms_change_readings_evenly(at: float) -> None:
    """Then the evidence is a normal spread cut off at the ends of the run, for which the program's sum is exact.

    The likeliest place lies in the run, near its end, or beyond it.
    """
    found, likely = even_short(np.array([[40.0, 10.0, -30.0, 20.0], [-8.0, 16.0, 24.0, 12.0]]), at)
    logs, places = np.linspace(0.7, 1.7, FINE), np.linspace(at - 0.15, min(at + 0.15, 1.0), FINE)
    evidence = summed_short(lambda place: likely(place, logs), places, logs)
    assert found.evidence[0] == pytest.approx(evidence, abs=4e-3)


def test_no_sum_over_shorts_is_above_the_short_that_is_told() -> None:
    """The likeliest place lies far beyond the run: the mean over all shorts is under the best of them."""
    found, likely = even_short(np.array([[8.0, 4.0, -6.0, 4.0], [-6.4, 12.8, 19.2, 9.6]]), 2.8)
    assert found.at[0] == 1.0
    assert found.evidence[0] <= likely(1.0, np.log(found.ohms))[0] + 1e-9


def test_readings_that_hardly_tell_a_short_leave_it_spread_evenly() -> None:
    """Before anything is read its place and the logarithm of its ohms are even; the program takes a normal spread of
    the same variance, cut off at the ends of the run, whose height at the middle is by hand."""
    found, likely = even_short(np.full((2, 4), 1e-4), 0.4)
    width = decades(loop_path.LEAST_SHORT_OHMS, loop_path.MOST_SHORT_OHMS)
    at, logs = uniform(0.0, 1.0).std(), uniform(0.0, width).std()
    inside = norm(found.at[0], at).cdf(1.0) - norm(found.at[0], at).cdf(0.0)
    volume = 1.0 / (norm(0.0, at).pdf(0.0) * norm(0.0, logs).pdf(0.0) * width)
    best = likely(found.at[0], np.log(found.ohms))[0]
    assert found.evidence[0] - best == pytest.approx(math.log(volume * inside), abs=2e-3)


def test_readings_that_say_nothing_make_no_length_likelier_than_another() -> None:
    """Runs of a hundredth of an ohm, each place read four times, 0.5 ohm off either way: nothing wrong is as likely as
    all six explanations that can be, three lengths and three shorts."""
    row = Row([0.01] * 3, [0] * 4 + [1] * 4 + [2] * 4, doubt_of(3, 0.1))
    found = row.said(row.sound + 0.5 * np.array([1.0, -1.0] * 6))
    for run in range(3):
        assert found.nothing / math.exp(log_odds(found, run, "length")) == pytest.approx(6.0, rel=1e-4)


def test_misfit_beyond_which_no_single_fault_explains() -> None:
    """A place read three times, e above, e below and right: no fault moves them apart. The misfit, 2e² over the error
    squared, is as chi squared of three readings spreads."""
    row = Row([1.0], [0, 0, 0], Doubt(0.0, 0.1, np.zeros(1, dtype=np.int64), np.array([0.0]), 0.0))
    most = 3.0 + loop_faults.POOR_FIT * chi2(3).std()
    for part, explained in ((0.999, True), (1.001, False)):
        off = 0.1 * math.sqrt(most * part / 2.0)
        assert row.said(np.array([1.0 + off, 1.0 - off, 1.0])).explained is explained


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> Worked:
    path = tmp_path_factory.mktemp("odds") / "job.yml"
    path.write_text(job_text(chain(5)), encoding="utf-8")
    return work(path)


@pytest.mark.parametrize(("soil_c", "taken_c"), [(9.0, 9.0), (None, 14.0)])
def test_what_is_never_known(
    worked: Worked, monkeypatch: pytest.MonkeyPatch, soil_c: float | None, taken_c: float
) -> None:
    """By hand: bounds are taken as an even spread, whose standard deviation scipy gives; soil of 4 to 24 °C that nobody
    read as 14 °C."""
    asked: list[tuple[list[ReadSet], Doubt]] = []

    def noted(sets: list[ReadSet], doubt: Doubt, branches: tuple[int, ...] = ()) -> Diagnosis:
        asked.append((sets, doubt))
        return diagnose(sets, doubt, branches)

    monkeypatch.setattr(job_suspects, "diagnose", noted)
    job, tables = worked.job, worked.tables
    reader = job_suspects.LoopReader(job, worked.analysis.network, tables, worked.analysis.lengths)
    assert reader.suspects([job_suspects.BoxReading("B2", 1.5, soil_c)])
    ((sets, doubt),) = asked
    even, alpha = uniform(-1.0, 2.0).std(), tables.copper.alpha_per_c
    assert sets[0].ohms[0] == pytest.approx(1.5 / (1.0 + alpha * (taken_c - 20.0)))
    soil = tables.constants["fault_readings"].rows["soil-reading"].value if soil_c else 10.0 * even
    meter = meter_error(job)
    assert doubt.gain == pytest.approx(math.hypot(meter.fraction * even, alpha * soil))
    assert doubt.ohms == pytest.approx(meter.fixed * even)
    ((name, cable),) = job.cables.items()
    limits = cable_loop_ohms(cable, tables)
    both = np.array([limits.least, limits.largest])
    assert doubt.cable_spread.tolist() == pytest.approx([np.ptp(both) / 2 * even / both.mean()]), name
    lengths = [worked.analysis.lengths[run.id].circuit_m for run in reader.runs]
    assert list(reader.ohms) == pytest.approx([each * both.mean() for each in lengths])


def test_ohms_of_a_short_in_the_middle_of_a_run(worked: Worked) -> None:
    """A short of as many ohms takes away as much as the meter must see, in a network of two cores of resistors."""
    meter = MeterError(0.01, 0.05)
    reading = worked.analysis.loops.opened[0]
    seen = job_suspects.seen_at("B2", reading, 1000.0, reading.ohms_20c / 1000.0, meter)
    runs = [Run("first", "controller", "B1", 5.0), Run("last", "B1", "B2", reading.ohms_20c / 2.0)]
    falls = []
    for limit in reading.limits:
        warm = [
            dataclasses.replace(run, core_ohms=run.core_ohms * limit.expected_ohms / reading.ohms_20c) for run in runs
        ]
        sound, short = (readings(warm, ["B2"], each)[0] for each in
                        (None, Fault("short", "last", ohms=seen.short_ohms, at=0.5)))  # fmt: skip
        falls.append((sound - short) / job_suspects.fall_seen(limit, meter))
    assert min(falls) == pytest.approx(1.0, rel=1e-5)
