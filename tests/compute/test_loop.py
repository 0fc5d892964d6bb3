"""Loop readings against resistance distance on a graph, and the way back from a reading to a place."""

from __future__ import annotations

import random
from collections.abc import Callable

import networkx as nx
import pytest

from slackloop.compute.circuit.loop import LoopRule, cable_loop_ohms, loop_network, soil_steps
from slackloop.compute.circuit.short_places import ShortFinder
from slackloop.compute.computed_job import ComputedJob
from slackloop.reference.tables import ReferenceTables
from slackloop.site.effective_values import MeterError
from slackloop.site.models import Job
from slackloop.site.network import build_network


def graph_of(parent: list[int], ohms: list[float], closures: list[tuple[int, int, float]]) -> nx.MultiGraph:
    graph = nx.MultiGraph()
    for i, (above, value) in enumerate(zip(parent, ohms, strict=True)):
        graph.add_edge(above, i, resistance=value)
    for one, two, value in closures:
        graph.add_edge(one, two, resistance=value)
    return graph


@pytest.mark.parametrize("closures", [0, 1, 2, 4])
@pytest.mark.parametrize("start", range(3))
def test_readings_are_the_resistance_distance_from_the_controller(closures: int, start: int) -> None:
    """Witness: networkx.resistance_distance on the same network, which solves the Laplacian."""
    rng = random.Random(100 * closures + start)
    n = 14
    parent = [rng.randrange(-1, i) for i in range(n)]
    ohms = [rng.uniform(0.1, 2.0) for _ in range(n)]
    extra: list[tuple[int, int, float]] = []
    for _ in range(closures):
        end, other = rng.sample(range(-1, n), 2)
        extra.append((end, other, rng.uniform(0.1, 2.0)))
    network = loop_network(parent, ohms, extra)
    graph = graph_of(parent, ohms, extra)
    for i in range(n):
        witness = nx.resistance_distance(graph, -1, i, weight="resistance", invert_weight=True)
        assert network.ohms[i] == pytest.approx(witness, rel=1e-9)
        assert network.shared(i, i) == pytest.approx(witness, rel=1e-9)
    one, two = 3, n - 1
    between = nx.resistance_distance(graph, one, two, weight="resistance", invert_weight=True)
    assert network.shared(one, one) + network.shared(two, two) - 2 * network.shared(one, two) == pytest.approx(between)


def test_a_tree_reads_the_sum_of_its_runs() -> None:
    network = loop_network([-1, 0, 1, 0], [1.0, 2.0, 4.0, 8.0])
    assert network.ohms == (1.0, 3.0, 7.0, 9.0)


def test_limits_by_hand() -> None:
    """10 ohm at 20 degC is 9.214 ohm at 0 degC: 10 % less is 8.2926, 1 % of that and 0.05 ohm less is 8.159674."""
    got = LoopRule(10.0, 0.10, MeterError(0.01, 0.05), 0.00393).at(0.0)
    assert got.expected_ohms == pytest.approx(9.214)
    assert got.low_ohms == pytest.approx(8.159674)
    assert got.high_ohms == pytest.approx(9.214 * 1.1 * 1.01 + 0.05)


def test_a_second_reading_is_judged_by_the_least_error_of_two_that_pass() -> None:
    """The least that passes at 0 degC is 8.159674 ohm: twice 1 % of it and 0.05 ohm is 0.26319348."""
    rule = LoopRule(10.0, 0.10, MeterError(0.01, 0.05), 0.00393)
    assert rule.repeat_ohms(0.0) == pytest.approx(0.26319348)
    for first in (rule.at(0.0).low_ohms, rule.at(0.0).high_ohms):
        assert rule.repeat_ohms(0.0) <= 2.0 * rule.meter.of(first) + 1e-12


def test_limits_are_larger_than_nothing_and_hold_what_is_expected() -> None:
    """A few centimetres of cable: the meter's error is then larger than the reading."""
    got = LoopRule(0.02, 0.05, MeterError(0.01, 0.05), 0.00393).at(10.0)
    assert got.low_ohms == 0.0
    assert got.low_ohms < got.expected_ohms < got.high_ohms


def test_a_maximum_is_no_reason_to_fail_good_copper() -> None:
    """2.5 mm2: the limit is 7.41 ohm/km, copper of that area alone 6.90; with 5 % the limit alone would fail it."""
    limit_ohms, copper_ohms = 7.41, 1000 / (58 * 2.5)
    exact = MeterError(0.0, 0.0)
    assert LoopRule(limit_ohms, 0.05, exact, 0.00393, copper_ohms).at(20.0).low_ohms == pytest.approx(copper_ohms)
    assert LoopRule(limit_ohms, 0.10, exact, 0.00393, copper_ohms).at(20.0).low_ohms == pytest.approx(0.9 * limit_ohms)


@pytest.mark.parametrize(
    ("coldest", "hottest", "expected"),
    [
        (4.0, 24.0, (4.0, 9.0, 14.0, 19.0, 24.0)),
        (3.0, 9.5, (3.0, 6.0, 9.5)),
        (10.0, 10.5, (10.0, 10.5)),
        (12.0, 12.0, (12.0,)),
    ],
)
def test_limits_are_given_at_a_few_soil_temperatures(
    coldest: float, hottest: float, expected: tuple[float, ...]
) -> None:
    assert soil_steps(coldest, hottest) == pytest.approx(expected)


def test_degrees_between_are_whole_in_the_jobs_own_scale() -> None:
    fahrenheit = [celsius * 1.8 + 32 for celsius in soil_steps(41 / 1.8 - 32 / 1.8, 30.0, 5 / 9)]
    assert fahrenheit == pytest.approx([41, 52, 63, 75, 86])


def test_a_metric_job_reads_limits_at_whole_degrees(analysis_of: Callable[[str], ComputedJob]) -> None:
    rows = analysis_of("garden").loops.closed[0].limits
    assert len(rows) >= 3
    assert [row.celsius for row in rows[1:-1]] == [round(row.celsius) for row in rows[1:-1]]


def test_the_least_a_metric_cable_reads_is_copper_alone(job_of: Callable[[str], Job], tables: ReferenceTables) -> None:
    """2.5 mm2 of annealed copper, 58 m/(ohm mm2) at 20 degC by IEC 60028: two cores of 1/(58 x 2.5) ohm a metre."""
    cable = next(each for each in job_of("garden").cables.values() if each.conductor.area_mm2 == 2.5)
    assert cable_loop_ohms(cable, tables).least == pytest.approx(2 / (58 * 2.5), rel=1e-9)


def test_garden_first_box_by_hand(analysis_of: Callable[[str], ComputedJob]) -> None:
    """47 m and 1.5 m of slack, 2.5 mm2: IEC 60228 gives 7.41 ohm/km a core; 2 x 48.5 x 0.00741 = 0.71877 ohm."""
    assert analysis_of("garden").loops.closed[0].ohms_20c == pytest.approx(0.71877, abs=5e-6)


@pytest.mark.parametrize("name", ["garden", "ring", "mixed"])
def test_a_reading_at_a_box_leads_back_to_it(
    name: str, job_of: Callable[[str], Job], tables: ReferenceTables, analysis_of: Callable[[str], ComputedJob]
) -> None:
    """Each box's own reading, cold or hot, must lead to a stretch that touches the box."""
    job = job_of(name)
    network = build_network(job)
    for box, loop in zip(network.boxes, analysis_of(name).loops.closed, strict=True):
        for ohms in (loop.ohms_cold, (loop.ohms_cold + loop.ohms_hot) / 2, loop.ohms_hot):
            places = ShortFinder(job, network, tables).places(ohms)
            lengths = {run.id: run.length_m for run in network.all_runs}
            touching = [
                place
                for place in places
                if (place.to_id == box and place.farthest_m >= lengths[place.run_id] - 1e-6)
                or (place.from_id == box and place.nearest_m <= 1e-6)
                or (place.nearest_m - 1e-6 <= lengths[place.run_id] <= place.farthest_m + 1e-6 and place.to_id == box)
            ]
            assert touching, (box, ohms)


def test_a_short_half_way_along_a_ring_run_by_graph(job_of: Callable[[str], Job], tables: ReferenceTables) -> None:
    """Cut one ring run in two at 30 m and ask networkx for that point; its reading must lead back to 30 m."""
    job = job_of("ring")
    network = build_network(job)
    ohms_per_m = 2 * (1 / 58) / 2.0812
    graph = nx.MultiGraph()
    tail_m = 1.5
    for run in network.all_runs:
        slack_m = tail_m if run.from_id == "controller" else 2 * tail_m
        if run.id == "B005":
            graph.add_edge(run.from_id, "short", resistance=(tail_m + 30.0) * ohms_per_m)
            graph.add_edge("short", run.to_id, resistance=(run.length_m - 30.0 + tail_m) * ohms_per_m)
        else:
            graph.add_edge(run.from_id, run.to_id, resistance=(run.length_m + slack_m) * ohms_per_m)
    at_20c = nx.resistance_distance(graph, "controller", "short", weight="resistance", invert_weight=True)
    middle_c = (3 + 20) / 2
    places = ShortFinder(job, network, tables).places(at_20c * (1 + 0.00393 * (middle_c - 20)))
    likely = [place.likely_m for place in places if place.run_id == "B005"]
    assert likely == [pytest.approx(30.0, abs=0.1)]


def test_a_reading_beyond_every_box_leads_nowhere(job_of: Callable[[str], Job], tables: ReferenceTables) -> None:
    job = job_of("garden")
    assert ShortFinder(job, build_network(job), tables).places(1000.0) == ()
