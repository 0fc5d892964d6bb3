"""Runs of a survey against measures of another kind: geodesics on the ellipsoid, and trying every tree.

pyproj.Geod (C. F. F. Karney's geodesics) measures between degrees and knows nothing of our plane. The network of a
small survey is written out by hand in the tests, and its ways and trees are all tried.
"""

from __future__ import annotations

import itertools
import json
import math
import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from samples import chain, job_text
from slackloop.cli import main
from slackloop.site.reader import read_job
from slackloop.survey.line_network import LineNetwork
from slackloop.survey.shortest_tree import straight_tree, tree_along

pyproj = pytest.importorskip("pyproj")
GEOD = pyproj.Geod(ellps="WGS84")
ROUNDED_M = 0.011
"""A run is written to the centimetre, never shorter."""


def imported(folder: Path, points: str, lines: str = "") -> dict[str, Any]:
    (folder / "points.csv").write_text(points, encoding="utf-8")
    (folder / "base.yml").write_text(job_text(chain(2)), encoding="utf-8")
    more = []
    if lines:
        (folder / "lines.geojson").write_text(lines, encoding="utf-8")
        more = ["--along", str(folder / "lines.geojson")]
    words = ["import", str(folder / "points.csv"), "--job", str(folder / "base.yml"), *more]
    assert main([*words, "-o", str(folder / "new.yml")]) == 0
    job = read_job(folder / "new.yml").job
    assert job is not None
    return dict(job.path.by_id)


@pytest.mark.parametrize("middle", [(-0.1276, 51.5072), (179.9999, -16.5), (-122.4, 37.8), (15.6, 78.2), (0.0, 0.0)])
def test_straight_runs_agree_with_geodesics_and_no_shorter_tree_is_there(
    tmp_path: Path, middle: tuple[float, float]
) -> None:
    """At 180 degrees too, where longitude jumps from one sign to the other."""
    rng = random.Random(str(middle))
    stretch = 1 / math.cos(math.radians(middle[1]))
    places = {"controller": middle} | {
        f"B{i}": ((middle[0] + rng.uniform(-d, d) * stretch + 180) % 360 - 180, middle[1] + rng.uniform(-d, d))
        for i, d in enumerate((4e-3,) * 5)
    }
    rows = "".join(f"{name},{lon:.9f},{lat:.9f}\n" for name, (lon, lat) in places.items())
    boxes = imported(tmp_path, f"id,lon,lat\n{rows}")

    def apart(one: str, other: str) -> float:
        return float(GEOD.inv(*places[one], *places[other])[2])

    for name, box in boxes.items():
        assert box.run.si == pytest.approx(apart(box.from_, name) * 1.05, abs=ROUNDED_M)
        assert box.run.si >= apart(box.from_, name) * 1.05 - 1e-3
    least = least_tree(list(places), apart)
    assert sum(box.run.si for box in boxes.values()) == pytest.approx(least * 1.05, abs=ROUNDED_M * 6)


def least_tree(names: list[str], apart: Any) -> float:
    """The least sum of all trees that join the names, each tried by its Pruefer sequence."""
    count, best = len(names), math.inf
    for sequence in itertools.product(range(count), repeat=count - 2):
        degree = [sequence.count(i) + 1 for i in range(count)]
        left, whole = degree[:], 0.0
        for there in sequence:
            leaf = left.index(1)
            whole += apart(names[leaf], names[there])
            left[leaf] -= 1
            left[there] -= 1
        one, other = (i for i, each in enumerate(left) if each == 1)
        best = min(best, whole + apart(names[one], names[other]))
    return best


@pytest.mark.parametrize("seed", range(20))
def test_the_tree_along_a_grid_is_the_least_of_all_trees(seed: int) -> None:
    """Streets of a grid in whole metres; boxes at whole places on them, so the ways can be counted by hand."""
    rng = random.Random(seed)
    wide, high, step = 4, 3, 10
    gone = {(("h", r, c)) for r in range(high) for c in range(wide - 1) if rng.random() < 0.2}
    lines, ways = [], {}

    def node(x: int, y: int) -> int:
        return y * (wide * step) + x

    for r in range(high):
        for c in range(wide - 1):
            if ("h", r, c) not in gone:
                lines.append(np.array([[c * step, r * step], [(c + 1) * step, r * step]], dtype=float))
                ways |= {(node(x, r * step), node(x + 1, r * step)): 1.0 for x in range(c * step, (c + 1) * step)}
    for c in range(wide):
        lines.append(np.array([[c * step, 0], [c * step, (high - 1) * step]], dtype=float))
        ways |= {(node(c * step, y), node(c * step, y + 1)): 1.0 for y in range((high - 1) * step)}
    chosen = rng.sample(sorted({end for pair in ways for end in pair}), 6)
    far = ways_between(chosen, ways)
    xy = np.array([[each % (wide * step), each // (wide * step)] for each in chosen], dtype=float)
    tree = tree_along(LineNetwork(lines, xy).graph, xy)
    reached = all(math.isfinite(each) for row in far for each in row)
    if not reached:
        assert tree.straight
        return
    for place in tree.order[1:]:
        assert tree.run_m[place] == pytest.approx(far[tree.parent[place]][place])
    names = [str(i) for i in range(6)]
    assert tree.run_m.sum() == pytest.approx(least_tree(names, lambda one, other: far[int(one)][int(other)]))
    assert not tree.straight


def ways_between(chosen: list[int], ways: dict[tuple[int, int], float]) -> list[list[float]]:
    """Ways between the chosen ends, metre by metre from each, as every way is one metre long."""
    beside: dict[int, list[int]] = {}
    for one, other in ways:
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    rows = []
    for start in chosen:
        far, level, metres = {start: 0.0}, [start], 0.0
        while level:
            metres += 1
            reached = dict.fromkeys(there for here in level for there in beside[here])
            level = [each for each in reached if each not in far]
            far |= dict.fromkeys(level, metres)
        rows.append([far.get(end, math.inf) for end in chosen])
    return rows


def test_lines_join_where_they_cross_touch_or_nearly_meet() -> None:
    """Known by hand: a crossing without a point, an end on a line, an end 0.3 m short of one, an end 0.8 m short."""
    across, up = np.array([[0.0, 0], [100, 0]]), np.array([[50.0, -40], [50, 40]])
    on, near = np.array([[80.0, 0], [80, 30]]), np.array([[20.0, 0.3], [20, 30.3]])
    xy = np.array([[0.0, 0], [50, 40], [80, 30], [20, 30.3]])
    tree = tree_along(LineNetwork([across, up, on, near], xy).graph, xy)
    assert not tree.straight
    runs = {frozenset((place, tree.parent[place])): tree.run_m[place] for place in (1, 2, 3)}
    assert runs == pytest.approx({frozenset((0, 3)): 50.3, frozenset((0, 1)): 90.0, frozenset((1, 2)): 100.0})
    apart = np.array([[20.0, 0.8], [20, 30.3]])
    assert tree_along(LineNetwork([across, apart], xy[[0, 3]]).graph, xy[[0, 3]]).straight == {1}


def test_a_way_along_lines_is_as_long_as_its_geodesics(tmp_path: Path) -> None:
    corner = [(-0.1277, 51.5072), (-0.1250, 51.5072), (-0.1250, 51.5090)]
    features = [{"type": "Feature", "properties": {}, "geometry": {"type": "LineString", "coordinates": corner}}]
    boxes = imported(
        tmp_path, f"id,lon,lat\ncontroller,{corner[0][0]},{corner[0][1]}\nB1,{corner[2][0]},{corner[2][1]}\n",
        json.dumps({"type": "FeatureCollection", "features": features}),
    )  # fmt: skip
    whole = sum(GEOD.inv(*one, *other)[2] for one, other in itertools.pairwise(corner))
    assert boxes["B1"].run.si == pytest.approx(whole, abs=ROUNDED_M)


def test_straight_trees_of_many_points_are_no_longer_than_scipys() -> None:
    from scipy.sparse.csgraph import minimum_spanning_tree
    from scipy.spatial.distance import cdist

    xy = np.random.default_rng(5).uniform(0, 1000, (300, 2))
    assert straight_tree(xy).run_m.sum() == pytest.approx(minimum_spanning_tree(cdist(xy, xy)).sum())


def test_each_place_is_joined_to_the_nearest_spot_of_all_lines() -> None:
    """Against the distance to every piece, one by one: only some pieces are compared by the program."""
    rng = np.random.default_rng(11)
    lines = [rng.uniform(0, 1000, (int(rng.integers(2, 6)), 2)) for _ in range(30)]
    places = rng.uniform(-50, 1050, (400, 2))
    network = LineNetwork(lines, places)
    for place, off_m in zip(places, network.off_m, strict=True):
        best = math.inf
        for line in lines:
            for one, other in itertools.pairwise(line):
                along = other - one
                part = min(max(float((place - one) @ along / (along @ along)), 0.0), 1.0)
                best = min(best, math.dist(place, one + part * along))
        assert off_m == pytest.approx(best)
