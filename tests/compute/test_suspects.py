"""Suspects worked out by hand: three runs of 1 ohm in a row, a meter of 1 % and 0.05 ohm."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from samples import chain, job_text
from slackloop.compute.circuit.loop import LoopLimit, LoopRule
from slackloop.compute.suspects.job_suspects import (
    BoxReading,
    JobSuspects,
    LoopReader,
    fall_seen,
    leak_seen,
    rise_seen,
    seen_at,
    short_seen,
)
from slackloop.compute.suspects.loop_faults import Diagnosis, Doubt, ReadSet, covariance, diagnose
from slackloop.compute.suspects.loop_path import LoopPath, loop_path
from slackloop.compute.suspects.next_reading import (
    OPEN,
    InsulationReading,
    LeakSuspect,
    foretold,
    kinds_apart,
    leak_diagnosis,
    next_reading,
    next_section,
)
from slackloop.document.worked import Worked, work
from slackloop.site.effective_values import MeterError

METER = MeterError(0.01, 0.05)
THREE = loop_path([-1, 0, 1], [1.0, 1.0, 1.0])
DOUBT = Doubt(0.0058, 0.029, np.zeros(3, dtype=np.int64), np.array([0.0]), 0.0)


def said(path: LoopPath, ohms: list[float], doubt: Doubt = DOUBT, branches: tuple[int, ...] = ()) -> Diagnosis:
    return diagnose([ReadSet(path, np.arange(len(ohms)), np.array(ohms))], doubt, branches)


def test_half_an_ohm_from_the_second_box_on_is_the_second_run() -> None:
    """1, 2.5, 3.5 ohm where 1, 2, 3 are expected: only the second run adds the same to the last two and none before."""
    found = said(THREE, [1.0, 2.5, 3.5])
    first = found.suspects[0]
    assert (first.run, first.splice_at) == (1, -1)
    assert first.odds > 0.99
    assert {each.kind for each in first.explanations} == {"splice", "length"}
    assert all(each.ohms == pytest.approx(0.5, abs=0.02) for each in first.explanations)
    assert found.nothing < 1e-6
    assert found.explained


def test_readings_in_order_point_at_nothing() -> None:
    found = said(THREE, [1.01, 1.98, 3.02])
    assert found.nothing > 0.8
    assert sum(each.odds for each in found.suspects) + found.nothing == pytest.approx(1.0)


def test_a_meter_that_reads_all_too_high_alike_is_not_a_fault() -> None:
    """1 % more of everything is the meter's gain; taken as chance it would be 0.03 ohm at the end."""
    assert said(THREE, [1.01, 2.02, 3.03]).nothing > 0.8


def test_the_same_reading_from_a_place_on_is_a_short_there() -> None:
    """Bare metal half-way along the second run: 1, 1.5, 1.5 ohm."""
    first = said(THREE, [1.0, 1.5, 1.5]).suspects[0]
    assert first.run == 1
    (short,) = [each for each in first.explanations if each.kind == "short"]
    assert short.at == pytest.approx(0.5, abs=0.06)
    assert short.ohms < 0.1


def test_two_faults_are_said_to_be_no_single_one() -> None:
    assert not said(THREE, [2.0, 3.0, 7.0]).explained


def test_a_branch_box_is_suspected_where_all_that_goes_on_is_off() -> None:
    """Two runs go on from the first place; both read 0.6 more and the place itself does not."""
    fork = loop_path([-1, 0, 0], [1.0, 1.0, 1.0])
    found = said(fork, [1.0, 2.6, 2.6], branches=(0,))
    assert (found.suspects[0].run, found.suspects[0].splice_at) == (0, 0)
    one = said(fork, [1.0, 2.6, 2.0], branches=(0,))
    assert (one.suspects[0].run, one.suspects[0].splice_at) == (1, -1)


def test_errors_in_common_are_not_counted_as_chance() -> None:
    """Of 1 and 2 ohm at 1 %: 0.01 and 0.02 together, and 0.05 each by itself."""
    path = loop_path([-1, 0], [1.0, 1.0])
    doubt = Doubt(0.01, 0.05, np.zeros(2, dtype=np.int64), np.array([0.0]), 0.0)
    found = covariance([ReadSet(path, np.arange(2), np.array([1.0, 2.0]))], np.array([1.0, 2.0]), doubt)
    np.testing.assert_allclose(found, [[0.0025 + 0.0001, 0.0002], [0.0002, 0.0025 + 0.0004]])


def test_the_smallest_fault_by_hand() -> None:
    """3 ohm, 10 %, 1 % and 0.05 ohm: limits 2.623 and 3.383; seen from 3.468 and below 2.548 ohm."""
    limits = LoopRule(3.0, 0.10, METER, 0.00393).at(20.0)
    assert rise_seen(limits, METER) == pytest.approx((3.383 + 0.05) / 0.99 - 3.0)
    assert fall_seen(limits, METER) == pytest.approx(3.0 - (2.623 - 0.05) / 1.01)
    assert fall_seen(LoopLimit(20.0, 0.05, 0.0, 0.2), METER) == pytest.approx(0.05)


def test_a_fault_a_little_larger_is_outside_whatever_the_meter_and_a_little_smaller_may_pass() -> None:
    limits = LoopRule(5.0, 0.10, METER, 0.00393).at(11.0)
    for part, outside in ((1.001, True), (0.999, False)):
        high = limits.expected_ohms + rise_seen(limits, METER) * part
        assert (high * (1 - METER.fraction) - METER.fixed > limits.high_ohms) is outside
        low = limits.expected_ohms - fall_seen(limits, METER) * part
        assert (low * (1 + METER.fraction) + METER.fixed < limits.low_ohms) is outside


def test_the_ohms_that_a_short_may_have() -> None:
    """2 ohm beyond a short of s: 2 − 2s ÷ (2 + s) = 1 where s is 2; a short that takes away more is not to be had."""
    assert short_seen(1.0, 2.0) == pytest.approx(2.0)
    assert short_seen(2.5, 2.0) == 0.0


def test_a_leak_must_be_seen_by_a_tester_that_reads_high() -> None:
    assert leak_seen(10e6, 0.05) == pytest.approx(9.5238e6, rel=1e-4)


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> Worked:
    path = tmp_path_factory.mktemp("suspects") / "job.yml"
    path.write_text(job_text(chain(5)), encoding="utf-8")
    return work(path)


def reader(worked: Worked) -> LoopReader:
    return LoopReader(worked.job, worked.analysis.network, worked.tables, worked.analysis.lengths)


def found_with(worked: Worked, more: float, run: int, places: list[int]) -> JobSuspects:
    """Readings at 20 °C with ``more`` ohm from a run on, at some of the boxes."""
    base = [each.ohms_20c for each in worked.analysis.loops.opened]
    names = worked.analysis.network.boxes
    written = [BoxReading(names[n], base[n] + (more if n >= run else 0.0), 20.0) for n in places]
    found = reader(worked).suspects(written)
    assert found is not None
    return found


def test_a_box_that_was_not_read_is_read_next(worked: Worked) -> None:
    """B2 and B4 were read, so B3 tells whether run B3 or run B4 has 1 ohm more: 1 ohm apart, over 0.08 of error."""
    found = found_with(worked, 1.0, 3, [0, 1, 3, 4])
    assert {found.name(each) for each in found.diagnosis.suspects[:2]} == {"B3", "B4"}
    step = next_reading(found)
    assert step is not None
    assert (step.how, step.place) == ("from-controller", "B3")
    assert abs(step.first_ohms - step.second_ohms) == pytest.approx(1.0, abs=0.05)
    assert step.times_error > 5


def test_where_every_box_was_read_the_suspect_is_read_alone(worked: Worked) -> None:
    found = found_with(worked, 1.0, 3, [0, 1, 2, 3, 4])
    step = next_reading(found)
    assert step is not None
    assert (step.how, step.place) == ("run-shorted", "B4")
    assert step.first_ohms - step.second_ohms == pytest.approx(1.0, abs=0.05)


def test_of_two_runs_there_are_two_suspects_to_tell_apart(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(job_text(chain(2)), encoding="utf-8")
    found = found_with(work(tmp_path / "job.yml"), 1.0, 1, [0, 1])
    assert len(found.diagnosis.suspects) == 2
    step = next_reading(found)
    assert step is not None
    assert (step.how, step.place) == ("run-shorted", "B2")


def test_a_splice_and_a_length_are_told_apart_by_the_run_cut_out(worked: Worked) -> None:
    found = found_with(worked, 1.0, 3, [0, 1, 2, 3, 4])
    step = kinds_apart(found, found.diagnosis.suspects[0])
    assert step is not None
    own = reader(worked).ohms[3]
    assert (step.how, step.place) == ("run-cut-out", "B4")
    assert sorted((step.first_ohms, step.second_ohms)) == pytest.approx([own, own + 1.0], abs=0.05)


def test_a_short_is_read_with_the_far_end_open(worked: Worked) -> None:
    base = [each.ohms_20c for each in worked.analysis.loops.opened]
    names = worked.analysis.network.boxes
    at = base[2] - 0.02
    found = reader(worked).suspects([BoxReading(n, min(b, at), 20.0) for n, b in zip(names, base, strict=True)])
    assert found is not None
    step = next_reading(found)
    assert step is not None
    assert step.how == "run-open"
    assert {math.isinf(step.first_ohms), math.isinf(step.second_ohms)} == {True, False}
    assert OPEN in (step.first_ohms, step.second_ohms)


def test_what_is_foretold_is_what_was_read(worked: Worked) -> None:
    found = found_with(worked, 2.0, 1, [0, 1, 2, 3, 4])
    first = found.diagnosis.suspects[0]
    base = np.array([each.ohms_20c for each in worked.analysis.loops.opened])
    told = foretold(found, first, first.explanations[0])
    assert np.abs(told / 1.01 - base - np.array([0, 2, 2, 2, 2])).max() < 0.15


def test_readings_of_another_job_or_no_number_are_left_out(worked: Worked) -> None:
    written = [BoxReading("Z9", 1.0), BoxReading("B1", math.nan), BoxReading("B1", math.inf)]
    assert reader(worked).suspects(written) is None


def test_soil_that_nobody_read_is_doubted_more(worked: Worked) -> None:
    """The soil of the job lies between 4 and 24 °C: 8 % of copper, so a few parts in a hundred alike say nothing."""
    base = [each.ohms_20c * 1.06 for each in worked.analysis.loops.opened]
    names = worked.analysis.network.boxes
    warm = 1 + 0.00393 * (14 - 20)
    known = reader(worked).suspects([BoxReading(n, b, 20.0) for n, b in zip(names, base, strict=True)])
    unread = reader(worked).suspects([BoxReading(n, b * warm) for n, b in zip(names, base, strict=True)])
    assert known is not None
    assert unread is not None
    assert unread.diagnosis.nothing > known.diagnosis.nothing


def test_a_run_is_seen_from_the_box_that_it_feeds(worked: Worked) -> None:
    """The longer the way, the larger the fault that the tolerance hides."""
    loops, lengths = worked.analysis.loops, worked.analysis.lengths
    per_m = loops.opened[0].ohms_20c / lengths["B1"].circuit_m
    seen = [seen_at(run.id, reading, lengths[run.id].circuit_m, per_m, METER)
            for run, reading in zip(worked.analysis.network.runs, loops.opened, strict=True)]  # fmt: skip
    assert [each.splice_ohms for each in seen] == sorted(each.splice_ohms for each in seen)
    hot = loops.opened[0].limits[-1]
    assert seen[0].splice_ohms == pytest.approx(rise_seen(hot, METER))
    assert seen[0].longer_m > seen[0].shorter_m


def test_a_leak_by_hand() -> None:
    """Joined 5 megohm, the far half alone 1,000, the near half alone 5: the near one leaks."""
    both, near, far = frozenset({0, 1}), frozenset({0}), frozenset({1})
    read = [InsulationReading(both, 5e6), InsulationReading(near, 5.03e6), InsulationReading(far, 1e9)]
    found = leak_diagnosis(read, [100.0, 100.0], 0.05)
    assert found.suspects[0].run == 0
    assert found.suspects[0].odds > 0.99
    assert found.suspects[0].ohms == pytest.approx(5e6, rel=0.03)


def test_a_path_that_leaks_by_its_length_has_no_suspect() -> None:
    read = [InsulationReading(frozenset({0, 1}), 50e6), InsulationReading(frozenset({0}), 101e6)]
    assert leak_diagnosis(read, [100.0, 100.0], 0.05).nothing > 0.8


def test_runs_never_parted_share_the_doubt_and_are_parted_next() -> None:
    found = leak_diagnosis([InsulationReading(frozenset({0, 1, 2, 3}), 1e6)], [50.0] * 4, 0.05)
    assert len({round(each.odds, 6) for each in found.suspects}) == 1
    sections = [frozenset({0, 1, 2, 3}), frozenset({3}), frozenset({2, 3})]
    assert next_section([LeakSuspect(n, 0.25, 1e6) for n in range(4)], sections) == 2
    assert next_section([LeakSuspect(0, 1.0, 1e6)], [frozenset({0})]) is None


