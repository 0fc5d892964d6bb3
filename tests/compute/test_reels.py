"""Reel plans: nothing lost, no reel over-full, one piece to a run, near the fewest reels there can be."""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.compute.cable import packing as packing_module
from slackloop.compute.cable import pattern_solver, reels
from slackloop.compute.cable.packing import (
    MARTELLO_TOTH,
    MATERIAL,
    SOLVED,
    in_pulling_order,
    lower_bound,
    open_at_once,
    packing,
)
from slackloop.compute.cable.reels import Piece, pack
from slackloop.compute.computed_job import ComputedJob
from work_count import growth

HARD = tuple(map(random.Random(72).randint, [30] * 30, [290] * 30))
"""Thirty lengths that fill ten reels of 500 to the last part, which the simple plans miss."""
LENGTHS = st.lists(st.floats(min_value=0.5, max_value=100.0), min_size=1, max_size=24)
JOBS = sorted(path.stem for path in (Path(__file__).parent / "jobs").glob("*.yml"))


def least_by_trying(lengths: list[int], reel: int) -> int:
    """Fewest reels by trying every way of sharing out a few lengths, the first always on the first reel."""
    for count in range(1, len(lengths) + 1):
        for ways in itertools.product(range(count), repeat=len(lengths) - 1):
            loads = [0] * count
            for length, where in zip(lengths, (0, *ways), strict=True):
                loads[where] += length
            if max(loads) <= reel:
                return count
    return len(lengths)


def brute_open(reels: tuple[tuple[int, ...], ...], pieces: int) -> int:
    """Reels that are begun and not finished, counted at each piece in turn."""
    return max(sum(min(reel) <= i <= max(reel) for reel in reels) for i in range(pieces))


@settings(max_examples=60, deadline=None)
@given(LENGTHS)
def test_every_length_lies_on_one_reel_and_no_reel_is_over_full(lengths: list[float]) -> None:
    found = pack(lengths, 100.0)
    assert sorted(i for reel in found.reels for i in reel) == list(range(len(lengths)))
    assert all(sum(lengths[i] for i in reel) <= 100.0 + 1e-6 for reel in found.reels)
    assert found.bound.reels <= len(found.reels) <= found.bound.reels + 1
    assert found.open_at_once == brute_open(found.reels, len(lengths))
    assert found.reels == in_pulling_order(found.reels)


@pytest.mark.parametrize("start", range(30))
def test_bound_and_plan_against_every_way_of_sharing_out(start: int) -> None:
    rng = random.Random(start)
    low, high = rng.choice([(10, 70), (25, 40), (34, 60), (5, 99)])
    lengths = [rng.randint(low, high) for _ in range(7)]
    least = least_by_trying(lengths, 100)
    assert lower_bound(lengths, 100).reels <= least
    assert len(packing(tuple(lengths), 100).reels) == least


def test_bounds_worked_by_hand() -> None:
    """Six lengths just over half a reel need six reels, though their sum would fit four; nine of 35 need five."""
    assert lower_bound([51] * 6, 100).reels == 6
    assert lower_bound([35] * 9, 100).reels == 5
    assert lower_bound([20] * 10, 100) == packing_module.Bound(2, MATERIAL)
    assert lower_bound([50] * 2, 100).reels == 1, "two halves share a reel"
    # Two over half a reel share none; three halves take one and a half more: 2 + 1.5, so 4.
    assert lower_bound([51, 51, 50, 50, 50], 100) == packing_module.Bound(4, MARTELLO_TOTH)


def test_the_bound_of_patterns_is_that_of_a_hundred_and_one_pairs() -> None:
    """Of 201 lengths two go on a reel, so no plan has fewer than 100.5 reels."""
    alone = [[n] for n in range(201)]
    assert pattern_solver.solve([34] * 201, 100, alone, 100).bound == 101
    assert len(packing((51,) * 6, 100).reels) == 6


def test_solver_finds_what_the_simple_plans_miss() -> None:
    """Six reels that are full to the last unit, cut at places that mislead the rules of thumb."""
    rng = random.Random(4)
    found = 0
    for _ in range(40):
        lengths = []
        for _ in range(6):
            first, second = rng.randint(26, 49), rng.randint(26, 49)
            lengths += [first, second, 100 - first - second] if first + second < 98 else [first, 100 - first]
        rng.shuffle(lengths)
        plan = packing(tuple(lengths), 100)
        assert len(plan.reels) <= 7
        found += plan.way == SOLVED and len(plan.reels) == 6
    assert found


def test_a_solver_that_finds_nothing_leaves_the_simple_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = random.Random(11)
    lengths = tuple(rng.randint(5, 99) for _ in range(40))
    monkeypatch.setattr(pattern_solver, "DIVES", 0)
    packing.cache_clear()
    plan = packing(lengths, 150)
    packing.cache_clear()
    assert plan.way != SOLVED
    assert len(plan.reels) <= plan.bound.reels + 1
    assert all(sum(lengths[i] for i in reel) <= 150 for reel in plan.reels)


def test_no_step_of_the_solver_is_stopped_by_the_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy machine gives the plan of an idle one: nothing that scipy is asked for has a time limit."""
    import scipy.optimize

    asked: list[tuple[str, object]] = []
    for name in ("linprog", "milp"):
        real = getattr(scipy.optimize, name)

        def kept(*words: object, name: str = name, real: Callable[..., object] = real, **more: object) -> object:
            asked.append((name, more.get("options")))
            return real(*words, **more)

        monkeypatch.setattr(scipy.optimize, name, kept)
    packing.cache_clear()
    plan = packing(HARD, 500)
    packing.cache_clear()
    assert plan.way == SOLVED
    assert {name for name, _ in asked} == {"linprog"}
    assert all(options is None for _, options in asked)


def test_every_length_of_a_solved_plan_is_on_one_reel() -> None:
    plan = packing(HARD, 500)
    assert sorted(i for reel in plan.reels for i in reel) == list(range(len(HARD)))
    assert all(sum(HARD[i] for i in reel) <= 500 for reel in plan.reels)


def test_pieces_longer_than_a_reel_cost_no_more_work_each() -> None:
    def plan_of(count: int) -> Callable[[], object]:
        pieces = tuple(Piece(f"run B{i}", "main", 20.0 + i % 90, (f"B{i}",), f"B{i}") for i in range(count))
        return lambda: reels._plan("main", 100.0, pieces, 0.05)

    assert growth(plan_of, 700, times=4) < 5


def test_same_lengths_give_the_same_plan() -> None:
    rng = random.Random(52)
    lengths = tuple(rng.randint(5, 99) for _ in range(50))
    first = packing(lengths, 130)
    packing.cache_clear()
    assert packing(lengths, 130) == first


@pytest.mark.parametrize("start", range(12))
def test_random_jobs_are_within_one_reel_of_the_bound(start: int) -> None:
    rng = random.Random(start)
    lengths = [rng.uniform(8, 95) for _ in range(rng.choice([12, 40, 90, 140]))]
    plan = pack(lengths, rng.choice([150.0, 250.0, 500.0, 762.0]))
    assert len(plan.reels) <= plan.bound.reels + 1


def test_many_lengths_are_packed_near_the_bound() -> None:
    rng = random.Random(7)
    lengths = [rng.uniform(20, 60) for _ in range(3000)]
    plan = pack(lengths, 750.0)
    assert len(plan.reels) <= plan.bound.reels + 1


def test_plan_that_needs_one_reel_open_holds_one_open() -> None:
    """Lengths that fill each reel in turn: nobody needs a second reel beside the first."""
    assert packing((50, 50, 50, 50), 100).open_at_once == 1
    assert open_at_once(((0, 2), (1, 3))) == 2


@pytest.mark.parametrize("name", JOBS)
def test_whole_jobs(name: str, analysis_of: Callable[[str], ComputedJob]) -> None:
    analysis = analysis_of(name)
    runs = {run.id for run in analysis.network.all_runs}
    planned: list[str] = []
    for plan in analysis.reels:
        assert not plan.too_long
        planned += [piece.run_id for piece in plan.pieces if piece.run_id]
        if plan.reel_m is None:
            continue
        assert plan.fewest_reels <= len(plan.reels) <= plan.fewest_reels + 1
        assert plan.open_at_once <= 2
        assert set(plan.reel_numbers()) == {piece.run_id for piece in plan.pieces if piece.run_id}
        for reel in plan.reels:
            assert reel.used_m + reel.left_m == pytest.approx(plan.reel_m)
            order = [plan.pieces.index(piece) for piece in reel.pieces]
            assert order == sorted(order)
    assert sorted(planned) == sorted(runs)
