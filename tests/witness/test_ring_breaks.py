"""Rings with one run broken, against the volts of the same network built anew without that run (numpy's inverse of the
nodal matrix and a sorted sum), and the limit on how many are tried."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest

from samples import job_text, random_boxes
from shared import short_pairs
from slackloop.compute.alternatives import NewDevice, spare_length_m
from slackloop.compute.circuit import volts
from slackloop.compute.circuit.rings import break_table, ring_runs, runs_tried
from slackloop.compute.circuit.volts import Feeder, Link, Loads, shared_rows, with_one_more
from slackloop.document.worked import work


def ringed(count: int, links: int, seed: int, source_ohms: float = 0.2) -> tuple[Feeder, Loads]:
    rng = random.Random(seed)
    parent = tuple(i - 1 if i == 0 or rng.random() < 0.8 else rng.randint(-1, i - 1) for i in range(count))
    closed = tuple(Link(rng.randint(count // 2, count - 1), rng.randint(-1, count // 2 - 1), 0.7) for _ in range(links))
    ohms = np.array([rng.uniform(0.1, 1.5) for _ in range(count)])
    outputs = np.array([rng.choice([0, 1, 2]) for _ in range(count)], dtype=np.int64)
    draws = np.array([rng.choice([0.030, 0.046]) for _ in range(count)])
    loads = Loads(np.full(count, 0.0006), draws, outputs, np.zeros(count, dtype=bool))
    return Feeder(parent, ohms, 36.0, source_ohms, closed), loads


def volts_without(feeder: Feeder, loads: Loads, at_once: int, run: int) -> np.ndarray:
    """Worst volts with one run left out of the nodal matrix."""
    count = len(feeder.parent)
    ends = [(i, above, ohms) for i, (above, ohms) in enumerate(zip(feeder.parent, feeder.run_ohms, strict=True))]
    ends += [(link.one, link.other, link.ohms) for link in feeder.links]
    nodal = np.zeros((count, count))
    for number, (one, other, ohms) in enumerate(ends):
        if number == run:
            continue
        for here, there in ((one, other), (other, one)):
            if here >= 0:
                nodal[here, here] += 1 / ohms
                if there >= 0:
                    nodal[here, there] -= 1 / ohms
    shared = np.linalg.inv(nodal) + feeder.source_ohms
    owner = np.repeat(np.arange(count), loads.outputs)
    taken = np.sort(shared[:, owner] * loads.per_output[owner], axis=1)[:, ::-1][:, :at_once].sum(axis=1)
    return np.asarray(feeder.supply_volts - shared @ loads.standby - taken)


@pytest.mark.parametrize("links", [1, 2, 5])
@pytest.mark.parametrize("seed", range(4))
def test_each_break_agrees_with_the_network_built_anew(links: int, seed: int) -> None:
    feeder, loads = ringed(30, links, seed)
    least = np.where(loads.outputs > 0, 33.0, 0.0)
    runs = ring_runs(feeder.parent, feeder.links)
    found = {each.run: each for each in break_table(feeder, loads, 6, least, runs)}
    assert sorted(found) == list(runs)
    for run, each in found.items():
        volts = volts_without(feeder, loads, 6, run)
        assert each.lowest_volts == pytest.approx(volts.min(), abs=1e-9)
        assert each.short_boxes == tuple(np.flatnonzero((least > 0) & (volts < least)))


@pytest.mark.parametrize("end", [0, 11, 29])
def test_one_more_box_on_a_ring_shares_what_its_end_shares(end: int) -> None:
    """Against the nodal matrix of the longer path, inverted."""
    feeder, _ = ringed(30, 3, 2)
    longer = with_one_more(feeder, end, 0.83)
    nodal = np.zeros((31, 31))
    for run in range(31 + len(feeder.links)):
        one, other, ohms = _ends(longer, run)
        for here, there in ((one, other), (other, one)):
            if here >= 0:
                nodal[here, here] += 1 / ohms
                if there >= 0:
                    nodal[here, there] -= 1 / ohms
    rows = np.concatenate([block for _, block in longer.shared_rows()])
    assert rows == pytest.approx(np.linalg.inv(nodal) + feeder.source_ohms, rel=1e-10)


def test_spare_length_solves_a_ring_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Trying another length changes one row: the network is not solved anew for each of them."""
    feeder, loads = ringed(40, 2, 4)
    solved: list[int] = []
    monkeypatch.setattr(volts, "shared_rows", lambda *wires: solved.append(1) or shared_rows(*wires))
    device = NewDevice(0.0006, 0.03, 2, 20.0, False)
    spare = spare_length_m(feeder, loads, np.zeros(40), 100.0, 6, 39, 0.02, 3.0, device)
    assert spare is not None
    assert spare > 0
    assert len(solved) == 1


def test_a_run_of_almost_no_ohms_is_broken_as_well() -> None:
    feeder, loads = ringed(20, 2, 1)
    run = ring_runs(feeder.parent, feeder.links)[0]
    feeder.run_ohms[run] = 1e-8
    (found,) = break_table(feeder, loads, 4, np.zeros(20), (run,))
    assert found.lowest_volts == pytest.approx(volts_without(feeder, loads, 4, run).min(), abs=1e-6)


def test_all_runs_of_an_ordinary_ring_are_tried() -> None:
    for count, links in ((320, 1), (320, 6), (700, 1)):
        feeder, loads = ringed(count, links, 3)
        assert runs_tried(feeder, loads, 12) == ring_runs(feeder.parent, feeder.links)


def test_of_too_many_runs_those_that_carry_most_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    feeder, loads = ringed(60, 3, 5)
    monkeypatch.setattr("slackloop.compute.circuit.rings.MOST_WORK", 60 * (50 + 120) * 8)
    runs = ring_runs(feeder.parent, feeder.links)
    tried = runs_tried(feeder, loads, 4)
    assert 5 <= len(tried) < len(runs)
    amps = np.linalg.solve(*_whole(feeder, loads))
    carried = {run: abs(_across(feeder, amps, run)) for run in runs}
    assert min(carried[run] for run in tried) >= max(carried[run] for run in runs if run not in tried) - 1e-12


def _whole(feeder: Feeder, loads: Loads) -> tuple[np.ndarray, np.ndarray]:
    count = len(feeder.parent)
    nodal = np.zeros((count, count))
    for run in range(count + len(feeder.links)):
        one, other, ohms = _ends(feeder, run)
        for here, there in ((one, other), (other, one)):
            if here >= 0:
                nodal[here, here] += 1 / ohms
                if there >= 0:
                    nodal[here, there] -= 1 / ohms
    return nodal, loads.standby + loads.per_output * loads.outputs


def _ends(feeder: Feeder, run: int) -> tuple[int, int, float]:
    if run < len(feeder.parent):
        return run, feeder.parent[run], float(feeder.run_ohms[run])
    link = feeder.links[run - len(feeder.parent)]
    return link.one, link.other, link.ohms


def _across(feeder: Feeder, lost: np.ndarray, run: int) -> float:
    one, other, ohms = _ends(feeder, run)
    return float((lost[one] if one >= 0 else 0.0) - (lost[other] if other >= 0 else 0.0)) / ohms


@pytest.mark.parametrize(("runs", "boxes"), short_pairs([(150, 1000), (300, 2000)], (150, 1000)))
def test_hundreds_of_closures_are_answered_and_told(runs: int, boxes: int, tmp_path: Path) -> None:
    rng = random.Random(2)
    closures = [
        f"{{from: B{one}, to: B{other}, run: 40 m, surface: lawn}}"
        for one, other in (
            (rng.randint(1, boxes // 2), rng.randint(boxes // 2 + 1, boxes)) for _ in range(runs)
        )
    ]
    job = tmp_path / "job.yml"
    job.write_text(job_text(random_boxes(boxes, 1), closures, ring="true"), encoding="utf-8")
    found = [each for each in work(job).findings if each.code == "ring-breaks-untried"]
    assert len(found) == 1
    assert "too many to break each in turn" in found[0].message
