"""Choosing the cable: from the cables that the job defines, the least copper, or price, that keeps every box in range.

One size throughout, and a size for each run, never thicker beyond a run than in it. An alternative beside the job's own
cables, never put in their place. What exists already stays as it is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.circuit.feeder import (
    Nodes,
    build_feeder,
    build_loads,
    device_nodes,
    known_nodes,
    needed_volts,
    ohms_by_cable,
)
from slackloop.compute.circuit.power_loads import NoSolution, worst_volts
from slackloop.compute.circuit.size_search import Flags, Floats, Ints, SizeProblem, cheapest_sizes
from slackloop.compute.circuit.tree_drops import least_beyond, most_beyond
from slackloop.compute.circuit.volts import Feeder, Loads
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.models import Cable, Job
from slackloop.site.network import Network

MOST_CHOICES = 12_000
"""Runs times cables up to which it is worked out."""
SETTLED_VOLTS = 1e-6
POWER_TRIALS = 100
"""How much longer the worst case takes with constant power, which is found step by step."""
CORES = 2


@dataclass(frozen=True)
class CableWay:
    """The path in some cables: the cable of each run in path order, copper, price and volts.

    ``price`` is None where the job does not state the price of each of its cables; ``lowest_volts`` and
    ``margin_volts``, the least of volts less need, are None where the path has no solution.
    """

    cables: tuple[str, ...]
    copper_kg: float
    price: float | None
    lowest_box: str
    lowest_volts: float | None
    margin_volts: float | None

    @property
    def in_range(self) -> bool:
        """Whether every device and solenoid has the volts that it needs."""
        return self.margin_volts is not None and self.margin_volts >= 0


@dataclass(frozen=True)
class CableChoice:
    """The ways to build the path, new runs alone counted; ``why_not`` says why there is nothing to choose.

    ``same`` is the cheapest cable throughout, ``sized`` a cable for each run, both None where no cable keeps every box
    in range. ``bound`` is what no sizes can cost less than, in kg of copper or in the job's price.
    """

    why_not: str = ""
    by_price: bool = False
    drawn: CableWay | None = None
    same: CableWay | None = None
    sized: CableWay | None = None
    bound: float = 0.0
    is_proved: bool = False

    def cost(self, way: CableWay) -> float:
        """What is made least of a way."""
        return way.price if self.by_price and way.price is not None else way.copper_kg


def cable_choice(job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths) -> CableChoice:
    """The least copper, or price where the job states it for each cable, for the stations at once at their worst."""
    names = _candidates(job)
    nodes = device_nodes(network)
    drawn = build_feeder(job, network, lengths, ohms_by_cable(job, tables, _hottest_c(job)), nodes)
    loads, needs = build_loads(job, network, nodes), needed_volts(job, network, tables, nodes)
    why_not = _why_not(job, network, names, drawn, loads, needs)
    if why_not:
        return CableChoice(why_not)
    return _Choice(job, network, tables, lengths, names, nodes, drawn, loads, needs).made()


def _hottest_c(job: Job) -> float:
    return job.conditions.soil_temperature.high.si


def _candidates(job: Job) -> tuple[str, ...]:
    """Cables that may be laid, thinnest first; those of which the conductor is not known or that exist already apart.

    Of two cables that are alike but for their price the cheaper one.
    """
    usable = {name: cable for name, cable in job.cables.items() if not cable.existing and cable.conductor.area_mm2 > 0}
    ordered = sorted(
        usable, key=lambda name: (usable[name].conductor.area_mm2, usable[name].build, _per_m(usable[name]))
    )
    kinds: dict[tuple[float, str, str], str] = {}
    for name in ordered:
        size = usable[name].conductor
        kinds.setdefault((size.area_mm2, size.system, usable[name].build), name)
    return tuple(kinds.values())


def _per_m(cable: Cable) -> float:
    return cable.price.per_m if cable.price is not None else np.inf


def _why_not(
    job: Job, network: Network, names: tuple[str, ...], feeder: Feeder, loads: Loads, needs: Floats
) -> str:
    """Why there is nothing to choose, in words after "not calculated:"."""
    if len(names) < 2:
        return "the job has one cable only to choose from"
    if network.closures:
        return "the path has a ring, and sizes along a ring are not calculated"
    if all(run.existing for run in network.runs):
        return "every run exists already"
    if len(network.boxes) * len(names) > MOST_CHOICES:
        return f"the runs times the cables are more than {MOST_CHOICES:,}"
    at_once = max(resolve.free_at_once(job), 1)
    if np.isnan(needs).any() or not known_nodes(feeder, loads, at_once).all():
        return "a fact that it rests on is not known"
    return ""


class _Choice:
    """One job in all its cables; nodes are those of its feeder, boxes first."""

    def __init__(self, job: Job, network: Network, tables: ReferenceTables, lengths: CircuitLengths,
                 names: tuple[str, ...], nodes: Nodes, drawn: Feeder, loads: Loads, needs: Floats) -> None:  # fmt: skip
        self.job, self.network, self.tables, self.names, self.drawn = job, network, tables, names, drawn
        self.loads, self.needs, self.at_once = loads, needs, resolve.free_at_once(job)
        per_m = ohms_by_cable(job, tables, _hottest_c(job))
        count, boxes = len(drawn.parent), len(network.boxes)
        self.metres = np.zeros(count)
        self.metres[:boxes] = [lengths[run.id].circuit_m for run in network.runs]
        self.free: Flags = np.zeros(count, dtype=np.bool_)
        self.free[:boxes] = [not run.existing for run in network.runs]
        in_size = self.metres[:, None] * np.array([per_m[name] for name in names])[None]
        self.ohms: Floats = np.where(self.free[:, None], in_size, drawn.run_ohms[:, None])
        self.by_price = all(job.cables[name].price is not None for name in names)
        self._kg_per_m = {
            name: CORES * cable.conductor.area_mm2 * 1e-6 * tables.copper.density_kg_per_m3
            for name, cable in job.cables.items()
        }

    def made(self) -> CableChoice:
        """All ways, and the bound."""
        rates = [self._rate(name) for name in self.names]
        problem = self._problem(self.metres[:, None] * np.array(rates)[None])
        throughout = [np.full(len(self.metres), size) for size in range(len(self.names))]
        held = [sizes for sizes in throughout if self._holds(sizes).all()]
        drawn = self._way(tuple(run.cable for run in self.network.runs), self._volts(self.drawn.run_ohms))
        trials = POWER_TRIALS if self.loads.constant_power.any() else 1
        answer = cheapest_sizes(problem, self._holds, held, trials)
        if answer is None:
            return CableChoice(by_price=self.by_price, drawn=drawn)
        same = min(held, key=problem.cost_of) if held else None
        return CableChoice(
            by_price=self.by_price, drawn=drawn, same=None if same is None else self._sized(same),
            sized=self._sized(answer.sizes), bound=answer.bound, is_proved=answer.is_proved,
        )  # fmt: skip

    def _rate(self, name: str) -> float:
        """What a metre of a cable costs: its price, or its copper."""
        price = self.job.cables[name].price
        return price.per_m if self.by_price and price is not None else self._kg_per_m[name]

    def _feeder(self, run_ohms: Floats) -> Feeder:
        return replace(self.drawn, run_ohms=run_ohms)

    def _volts(self, run_ohms: Floats) -> Floats | None:
        """Lowest volts at each node; with constant power a bound as in ``_holds``."""
        try:
            return worst_volts(self._feeder(run_ohms), self.loads, self.at_once)
        except NoSolution:
            return None

    def _run_ohms(self, sizes: Ints) -> Floats:
        return np.asarray(self.ohms[np.arange(len(sizes)), sizes])

    def _holds(self, sizes: Ints) -> Flags:
        """Which nodes keep their volts; with constant power by the bound of ``power_loads``, which is quicker."""
        try:
            feeder = self._feeder(self._run_ohms(sizes))
            volts = worst_volts(feeder, self.loads, self.at_once, self.needs, SETTLED_VOLTS)
        except NoSolution:
            return np.zeros(len(sizes), dtype=np.bool_)
        return np.asarray((self.needs <= 0) | (volts >= self.needs))

    def _sized(self, sizes: Ints) -> CableWay:
        chosen = zip(self.network.runs, sizes.tolist(), strict=False)
        cables = tuple(run.cable if run.existing else self.names[size] for run, size in chosen)
        return self._way(cables, self._volts(self._run_ohms(sizes)))

    def _way(self, cables: tuple[str, ...], volts: Floats | None) -> CableWay:
        """A way with what it takes; only what is new is counted."""
        runs = zip(cables, self.metres.tolist(), self.free, strict=False)
        new = [(cable, metres) for cable, metres, free in runs if free]
        prices = [self.job.cables[cable].price for cable, _ in new]
        price = None
        if all(each is not None for each in prices):
            price = sum(each.per_m * metres for each, (_, metres) in zip(prices, new, strict=True) if each is not None)
        copper_kg = sum(self._kg_per_m[cable] * metres for cable, metres in new)
        if volts is None:
            return CableWay(cables, copper_kg, price, "", None, None)
        lowest = int(np.argmin(volts[: len(self.network.boxes)]))
        margins = (volts - self.needs)[self.needs > 0]
        margin = float(margins.min()) if len(margins) else 0.0
        return CableWay(cables, copper_kg, price, self.network.boxes[lowest], float(volts[lowest]), margin)

    def _problem(self, cost: Floats) -> SizeProblem:
        """The search with the least and the most current of each run, and of the source."""
        supply, loads = self.drawn, self.loads
        power = loads.constant_power
        rise = np.where(power, supply.draws_at_volts / supply.supply_volts, 1.0)
        most_rise = np.where(power & (self.needs > 0), supply.draws_at_volts / np.maximum(self.needs, 1e-9), 1.0)
        least_amps, least_all = least_beyond(supply.parent, loads.times(rise), self.at_once, self.needs > 0)
        most_amps, most_all = most_beyond(supply.parent, loads.times(most_rise), self.at_once)
        return SizeProblem(
            parent=supply.parent, ohms=self.ohms, cost=cost, allowed=np.ones(self.ohms.shape, dtype=np.bool_),
            free=self.free, needs=self.needs, least_amps=least_amps, most_amps=most_amps,
            least_start=supply.supply_volts - supply.source_ohms * most_all,
            most_start=supply.supply_volts - supply.source_ohms * least_all,
        )  # fmt: skip
