"""A sample of the fault study in the suite: the same cases each time, and the same share that must come out right."""

from __future__ import annotations

import random

import pytest

from study import faults
from study.faults import KINDS, THRESHOLD, Outcome, case, networks, study, table

SAMPLE = 120


@pytest.fixture(scope="module")
def outcomes() -> list[Outcome]:
    return list(study(SAMPLE))


def test_the_true_place_is_first_often_enough(outcomes: list[Outcome]) -> None:
    assert sum(each.rank == 1 for each in outcomes) >= THRESHOLD * SAMPLE, "\n".join(table(outcomes))
    assert sum(each.rank <= 2 for each in outcomes) >= 0.98 * SAMPLE, "\n".join(table(outcomes))


def test_every_network_and_kind_has_its_cases(outcomes: list[Outcome]) -> None:
    names = {each.network for each in outcomes}
    assert len(names) == 4
    assert any("demonstration" in name for name in names)
    assert any("ring" in name for name in names)
    assert {each.kind for each in outcomes} == set(KINDS)
    assert len(table(outcomes)) == 1 + len({(each.network, each.kind) for each in outcomes}) + 1


def test_odds_are_kept(outcomes: list[Outcome]) -> None:
    """Where the first suspect is all but certain it is right; over all, as often as its odds say."""
    sure = [each.right for each in outcomes if each.odds > 0.99]
    assert len(sure) > SAMPLE / 2
    assert sum(sure) >= 0.99 * len(sure)
    said = sum(each.odds for each in outcomes) / SAMPLE
    assert abs(said - sum(each.right for each in outcomes) / SAMPLE) < 0.04


def test_the_same_seed_gives_the_same_cases() -> None:
    assert list(study(4)) == list(study(4))
    assert list(study(4)) != list(study(4, seed=1))


def test_each_fault_puts_a_reading_outside_its_limits() -> None:
    rng = random.Random(3)
    for on in networks():
        for kind in ("splice", "short", "length"):
            fault = faults.drawn(on, rng, kind)
            read = faults.readings(faults.opened(on.runs, on.closing), on.places, fault)
            assert ((read < on.limits[0]) | (read > on.limits[1])).any()


def test_the_study_would_see_a_blind_diagnosis(monkeypatch: pytest.MonkeyPatch) -> None:
    """Readings that say nothing of the fault leave the true place somewhere in the list, mostly not first."""
    healthy = faults.readings

    def blind(runs: list, places: list, fault: object) -> object:
        return healthy(runs, places, None)

    rng, on = random.Random(4), networks()[0]
    drawn = [faults.drawn(on, rng, "splice") for _ in range(12)]
    monkeypatch.setattr(faults, "readings", blind)
    monkeypatch.setattr(faults, "drawn", lambda *_: drawn.pop())
    found = [case(on, rng, "splice") for _ in range(12)]
    assert sum(each.rank == 1 for each in found) < 6


def test_lengths_that_are_a_little_off_do_not_hide_the_fault() -> None:
    found = list(study(40, lengths=True))
    assert sum(each.rank == 1 for each in found) >= 0.9 * len(found)
