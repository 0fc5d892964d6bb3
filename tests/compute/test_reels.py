"""Reel plans: nothing lost, no reel over-full, and near the fewest reels there can be."""

from __future__ import annotations

import itertools
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.compute.reels import fewest_reels, pack

LENGTHS = st.lists(st.floats(min_value=0.5, max_value=100.0), min_size=1, max_size=40)


@settings(max_examples=60, deadline=None)
@given(LENGTHS)
def test_every_length_lies_on_one_reel_and_no_reel_is_over_full(lengths: list[float]) -> None:
    reels = pack(lengths, 100.0)
    assert sorted(i for reel in reels for i in reel) == list(range(len(lengths)))
    assert all(sum(lengths[i] for i in reel) <= 100.0 + 1e-6 for reel in reels)
    assert fewest_reels(lengths, 100.0) <= len(reels)


def least_by_trying(lengths: list[float], reel: float) -> int:
    """Fewest reels by trying every way of sharing out a few lengths."""
    for count in range(1, len(lengths) + 1):
        for ways in itertools.product(range(count), repeat=len(lengths)):
            loads = [0.0] * count
            for length, where in zip(lengths, ways, strict=True):
                loads[where] += length
            if max(loads) <= reel + 1e-9:
                return count
    return len(lengths)


@pytest.mark.parametrize("start", range(8))
def test_against_every_way_of_sharing_out(start: int) -> None:
    rng = random.Random(start)
    lengths = [rng.uniform(10, 70) for _ in range(6)]
    least = least_by_trying(lengths, 100.0)
    assert fewest_reels(lengths, 100.0) <= least <= len(pack(lengths, 100.0)) <= least + 1


def test_bound_counts_lengths_that_cannot_share() -> None:
    """Six lengths just over half a reel need six reels, though their sum would fit four."""
    assert fewest_reels([51.0] * 6, 100.0) == 6
    assert len(pack([51.0] * 6, 100.0)) == 6


def test_many_lengths_are_packed_near_the_bound() -> None:
    rng = random.Random(7)
    lengths = [rng.uniform(20, 60) for _ in range(3000)]
    assert len(pack(lengths, 750.0)) <= fewest_reels(lengths, 750.0) + 1
