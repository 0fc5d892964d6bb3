"""The cheapest cable for each run against every way to choose, with the volts of every choice of stations.

The brute force knows nothing of ours but the text of the job: it adds up lengths, takes resistance and copper from the
published formulas, tries every size of every run, and for each tries every set of outputs that may run together.
"""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import slackloop.compute.circuit.size_search as size_search
from samples import chain, job_text, random_boxes
from slackloop.compute.cable_choice import CableChoice, cable_choice
from slackloop.compute.circuit.size_search import SizeProblem, cheapest_sizes
from slackloop.document.worked import Worked, work

SLACK_M = 1.5
DENSITY = 8890.0
"""Of annealed copper, kg/m3, IEC 60028."""


def area_mm2(gauge: int) -> float:
    """ASTM B258."""
    return math.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2


def ohms_a_metre(gauge: int) -> float:
    """Out and back, 2 % over nominal (UL 1581), at 24 degC, the hottest soil of the sample."""
    return 2 / (58 * area_mm2(gauge)) * 1.02 * (1 + 0.00393 * 4)


def cables(gauges: tuple[int, ...], prices: tuple[str, ...] = ()) -> str:
    lines = []
    for i, gauge in enumerate(gauges):
        price = f", price: {prices[i]}" if prices else ""
        lines.append(
            f"  g{gauge}: {{conductor: {gauge} AWG, build: solid, cores: {{a: red, b: black}}, jacket: polyethylene, "
            f"jacket_od: 9 mm, reel: 500 m{price}}}\n"
        )
    return "".join(lines)


def text_with(boxes: list[str], more: str, price: str = "", **changes: str) -> str:
    text = job_text(boxes, **changes).replace("devices:\n", f"{more}devices:\n", 1)
    return text.replace("    reel: 750 m\n", f"    reel: 750 m\n    price: {price}\n", 1) if price else text


def worked(text: str, folder: Path) -> Worked:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return work(path)


def choice_of(text: str, folder: Path) -> CableChoice:
    done = worked(text, folder)
    return cable_choice(done.job, done.analysis.network, done.tables, done.analysis.lengths)


def tree(seed: int, count: int) -> tuple[list[str], list[int], list[float], list[str | None], list[list[int]]]:
    """Boxes as text and as plain lists: parent, run, device, and the children of each."""
    rng = random.Random(seed)
    lines, parents, runs, devices, station = [], [], [], [], 1
    for i in range(count):
        parent = -1 if i == 0 else rng.choice([i - 1, i - 1, rng.randrange(i)])
        device = rng.choice(["one", "two", "two", None]) if i else "one"
        run = rng.randint(60, 260)
        line = f"id: B{i}, from: {'controller' if parent < 0 else f'B{parent}'}, run: {run} m, surface: lawn"
        if device:
            numbers = list(range(station, station + (1 if device == "one" else 2)))
            station += len(numbers)
            line += f", device: {device}, stations: {numbers}"
        lines.append("{" + line + "}")
        parents.append(parent)
        runs.append(float(run))
        devices.append(device)
    return lines, parents, runs, devices, [[j for j in range(count) if parents[j] == i] for i in range(count)]


STANDBY = {"one": 0.5e-3, "two": 0.6e-3, None: 0.0}
RUNNING = {"one": 30e-3, "two": 32e-3}
NEEDS = {"one": 20.0, "two": 22.0}


def lowest_margin(
    parents: list[int], ohms: list[float], devices: list[str | None], volts: float, source: float, at_once: int
) -> float:
    """The least of volts less need over all boxes and all sets of outputs, each solved by itself."""
    outputs = [i for i, device in enumerate(devices) for _ in range({"one": 1, "two": 2, None: 0}[device])]
    worst = math.inf
    for chosen in set(itertools.combinations(outputs, min(at_once, len(outputs)))):
        amps = [STANDBY[device] for device in devices]
        for i in chosen:
            amps[i] += RUNNING[devices[i]]
        beyond = amps[:]
        for i in range(len(parents) - 1, 0, -1):
            beyond[parents[i]] += beyond[i]
        at = []
        for i, parent in enumerate(parents):
            before = volts - source * beyond[0] if parent < 0 else at[parent]
            at.append(before - ohms[i] * beyond[i])
        worst = min([worst, *(v - NEEDS[d] for v, d in zip(at, devices, strict=True) if d)])
    return worst


@pytest.mark.parametrize("seed", range(6))
def test_sizes_that_only_just_hold_are_not_ruled_out(seed: int, tmp_path: Path) -> None:
    """The volts are such that the cheapest mix of sizes has a tenth of a millivolt to spare."""
    gauges, count, at_start = (18, 14), 6, 26.0
    lines, parents, runs, devices, _ = tree(seed, count)
    metres = [run + SLACK_M * (1 if parent < 0 else 2) for run, parent in zip(runs, parents, strict=True)]

    def spare(sizes: tuple[int, ...]) -> float:
        ohms = [m * ohms_a_metre(gauges[size]) for m, size in zip(metres, sizes, strict=True)]
        return lowest_margin(parents, ohms, devices, at_start, 0.5, 3)

    def kg(sizes: tuple[int, ...]) -> float:
        return sum(2 * area_mm2(gauges[size]) * 1e-6 * DENSITY * m for m, size in zip(metres, sizes, strict=True))

    thinner = [each for each in itertools.product((0, 1), repeat=count) if len(set(each)) == 2
               and all(parent < 0 or each[i] <= each[parent] for i, parent in enumerate(parents))]  # fmt: skip
    best = min(thinner, key=kg)
    volts = at_start - spare(best) + 1e-4
    cheapest = min((each for each in (*thinner, (0,) * count) if spare(each) >= spare(best)), key=kg)
    text = text_with(lines, cables(gauges[:1]), volts=f"{volts:.6f} V", source="0.5 ohm", at_once="3")
    found = choice_of(text, tmp_path)
    assert found.sized is not None
    assert found.sized.copper_kg == pytest.approx(kg(cheapest), rel=1e-6)


@pytest.mark.parametrize("seed", range(24))
def test_no_sizes_are_cheaper_than_those_found(seed: int, tmp_path: Path) -> None:
    gauges = (18, 16, 14)
    priced = seed % 3 == 2
    prices = ("0.31 /m", "0.40 /m", "0.66 /m")
    lines, parents, runs, devices, _ = tree(seed, 6)
    source, at_once, volts = (0.5 if seed % 2 else 0.0), 3, 24.5 + seed % 4
    found = choice_of(
        text_with(lines, cables(gauges[:2], prices[:2] if priced else ()), prices[2] if priced else "",
                  volts=f"{volts} V", source=f"{source} ohm", at_once=str(at_once)), tmp_path,
    )  # fmt: skip
    metres = [run + SLACK_M * (1 if parent < 0 else 2) for run, parent in zip(runs, parents, strict=True)]
    rate = [float(each.split()[0]) if priced else 2 * area_mm2(g) * 1e-6 * DENSITY
            for each, g in zip(prices, gauges, strict=True)]  # fmt: skip
    best, best_same = math.inf, math.inf
    for sizes in itertools.product(range(3), repeat=6):
        if any(parent >= 0 and sizes[i] > sizes[parent] for i, parent in enumerate(parents)):
            continue
        cost = sum(m * rate[size] for m, size in zip(metres, sizes, strict=True))
        if cost >= best:
            continue
        ohms = [m * ohms_a_metre(gauges[size]) for m, size in zip(metres, sizes, strict=True)]
        if lowest_margin(parents, ohms, devices, volts, source, at_once) >= 0:
            best = cost
            best_same = min(best_same, cost if len(set(sizes)) == 1 else math.inf)
    for size in range(3):
        ohms = [m * ohms_a_metre(gauges[size]) for m in metres]
        if lowest_margin(parents, ohms, devices, volts, source, at_once) >= 0:
            best_same = min(best_same, sum(metres) * rate[size])
    assert found.by_price == priced
    if not math.isfinite(best):
        assert found.sized is None
        assert found.same is None
        return
    assert found.sized is not None
    assert found.is_proved
    assert found.cost(found.sized) == pytest.approx(best, rel=1e-9)
    assert found.bound == pytest.approx(best, rel=1e-9)
    names = {"g18": 0, "g16": 1, "main": 2}
    ohms = [m * ohms_a_metre(gauges[names[cable]])
            for m, cable in zip(metres, in_file_order(found, tmp_path), strict=True)]  # fmt: skip
    margin = lowest_margin(parents, ohms, devices, volts, source, at_once)
    assert found.sized.margin_volts == pytest.approx(margin, abs=1e-9)
    assert (found.same is None) == (not math.isfinite(best_same))
    if found.same is not None:
        assert found.cost(found.same) == pytest.approx(best_same, rel=1e-9)


def in_file_order(found: CableChoice, folder: Path) -> list[str]:
    """The cable of each box in the order of the file, which is not that of the path."""
    network = work(folder / "job.yml").analysis.network
    assert found.sized is not None
    by_box = dict(zip(network.boxes, found.sized.cables, strict=True))
    return [by_box[f"B{i}"] for i in range(len(by_box))]


def test_the_seeds_have_jobs_of_every_kind(tmp_path: Path) -> None:
    """Else the brute force would prove little: mixed sizes, one size, and no size at all."""
    kinds = set()
    for seed in range(24):
        lines = tree(seed, 6)[0]
        text = text_with(lines, cables((18, 16)), volts=f"{24.5 + seed % 4} V", at_once="3")
        found = choice_of(text, tmp_path)
        kinds.add(len(set(found.sized.cables)) if found.sized else 0)
    assert {1, 2} <= kinds


def test_a_job_written_with_the_sizes_passes_with_the_volts_that_are_told(tmp_path: Path) -> None:
    boxes = random_boxes(60, seed=60)
    more = cables((18, 16, 12))
    found = choice_of(text_with(boxes, more, volts="30 V"), tmp_path)
    assert found.sized is not None
    assert len(set(found.sized.cables)) > 1
    network = work(tmp_path / "job.yml").analysis.network
    chosen = dict(zip(network.boxes, found.sized.cables, strict=True))
    ids = [line.split("id: ")[1].split(",")[0] for line in boxes]
    named = zip(ids, boxes, strict=True)
    again = [line.replace("surface:", f"cable: {chosen[name]}, surface:") for name, line in named]
    done = worked(text_with(again, more, volts="30 V"), tmp_path)
    assert not [each for each in done.findings if each.code in ("volts-low", "volts-collapse")]
    assert min(v for v in done.analysis.volts.worst_volts if v is not None) == pytest.approx(found.sized.lowest_volts)
    copper = sum(
        2 * area_mm2({"g18": 18, "g16": 16, "main": 14, "g12": 12}[run.cable]) * 1e-6 * DENSITY
        * done.analysis.lengths[run.id].circuit_m for run in done.analysis.network.runs
    )  # fmt: skip
    assert found.sized.copper_kg == pytest.approx(copper)


@pytest.mark.parametrize("seed", range(8))
def test_a_bound_that_is_stated_is_one(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """With hardly any work allowed and lists cut short, the truth lies between the bound and what is found."""
    rng = np.random.default_rng(seed)
    count, kinds = 40, 4
    parent = tuple(-1 if i == 0 else int(rng.integers(max(0, i - 3), i)) for i in range(count))
    metres = rng.uniform(20, 90, count)
    amps = np.zeros(count)
    for i in range(count - 1, -1, -1):
        amps[i] += rng.uniform(0.001, 0.02)
        if parent[i] >= 0:
            amps[parent[i]] += amps[i]
    ohms = metres[:, None] * np.array([0.045, 0.028, 0.018, 0.011])[None]
    cost = metres[:, None] * np.array([1.0, 1.7, 2.6, 4.3])[None]
    problem = SizeProblem(
        parent, ohms, cost, np.ones((count, kinds), dtype=bool), np.ones(count, dtype=bool), np.full(count, 24.0),
        amps * 0.98, amps, 30.0, 30.0,
    )  # fmt: skip

    def holds(sizes: np.ndarray) -> np.ndarray:
        volts = np.zeros(count)
        for i, above in enumerate(parent):
            volts[i] = (volts[above] if above >= 0 else 30.0) - ohms[i, sizes[i]] * amps[i]
        return volts >= 24.0

    true = cheapest_sizes(replace(problem, least_amps=amps), holds)
    assert true is not None
    assert true.is_proved
    monkeypatch.setattr(size_search, "MOST_ANSWERS", 0)
    monkeypatch.setattr(size_search, "MOST_WORK", 30_000)
    rough = cheapest_sizes(problem, holds)
    assert rough is not None
    assert rough.bound <= true.cost + 1e-9 <= rough.cost + 2e-9
    assert rough.is_proved == (rough.cost <= rough.bound * (1 + 1e-9))
    assert rough.bound > 0.6 * true.cost, "rough, and still worth telling"
    assert holds(rough.sizes).all()
    assert all(rough.sizes[i] <= rough.sizes[above] for i, above in enumerate(parent) if above >= 0)


def test_what_exists_stays_and_is_not_counted(tmp_path: Path) -> None:
    boxes = chain(6)
    old = [boxes[0].replace("surface:", "existing: true, surface:"), *boxes[1:]]
    found = choice_of(text_with(old, cables((18, 16)), volts="25 V"), tmp_path)
    assert found.sized is not None
    assert found.sized.cables[0] == "main"
    assert found.drawn is not None
    assert found.drawn.copper_kg == pytest.approx(5 * 53 * 2 * area_mm2(14) * 1e-6 * DENSITY)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("none", "none", "one cable only"),
        ("per_output: 30 mA", "per_output: unknown", "a fact that it rests on is not known"),
        ("existing: false", "existing: true", "every run exists"),
    ],
)
def test_where_there_is_nothing_to_choose_it_is_said_why(old: str, new: str, words: str, tmp_path: Path) -> None:
    text = text_with(chain(3), "" if "one cable" in words else cables((18,)), volts="36 V")
    text = text.replace(old, new).replace("device: two", "device: one").replace("[1, 2]", "[1]")
    text = text.replace("[3, 4]", "[3]").replace("[5, 6]", "[5]")
    if "exists" in words:
        text = text.replace("surface: lawn", "existing: true, surface: lawn")
    assert words in choice_of(text, tmp_path).why_not


def test_a_ring_is_said_not_to_be_worked_out(tmp_path: Path) -> None:
    ring = "  ring_closures:\n    - {from: B4, to: controller, run: 60 m}\n"
    assert "ring" in choice_of(text_with(chain(4), cables((16,)), ring="true") + ring, tmp_path).why_not


def test_constant_power_holds_and_its_bound_is_no_more_than_what_is_found(tmp_path: Path) -> None:
    found = choice_of(text_with(random_boxes(12, seed=3), cables((18, 16)), volts="30 V", load="power"), tmp_path)
    assert found.sized is not None
    assert found.sized.in_range
    assert 0 < found.bound <= found.cost(found.sized) + 1e-9


def test_the_same_job_gives_the_same_sizes(tmp_path: Path) -> None:
    text = text_with(random_boxes(30, seed=5), cables((18, 16, 12)), volts="30 V")
    assert choice_of(text, tmp_path) == choice_of(text, tmp_path)
