"""Volts where devices draw constant power: a bound that is never optimistic.

For one choice S of running outputs the volts are the greatest solution of

    V = F_S(V),   F_S(V)(v) = V0 - sum_i standby_i(V_i) Z(v, i) - sum_{j in S} draw_j(V_j) Z(v, j)

where a constant-power draw is ``a Vs / V`` for a current ``a`` stated at the supply's stated volts Vs, and V0 are the
lowest volts that the supply gives. Taking the worst
choice at each box by itself gives a map F with F(V) <= F_S(V) for every S. All these maps rise with V, so by the
Knaster-Tarski theorem any W with W <= F(W) lies at or below the solution for every choice. The iteration starts
at V0 and falls; at its end W is lowered by a hair and W <= F(W) is checked, which proves the bound.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from slackloop.compute.circuit.volts import Feeder, Floats, Loads, constant_current_volts, most_drawn

MOST_STEPS = 2000
SETTLED_VOLTS = 1e-8
HAIRS_VOLTS = (1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2)


class NoSolution(Exception):
    """No volts can be shown to satisfy the path: voltage collapse, as far as can be told before it is built."""


def at_volts(loads: Loads, volts: Floats, stated_volts: float) -> Loads:
    """The same loads as currents, with each constant-power box at ``volts``; ``stated_volts`` are its sheet's."""
    rise = np.where(loads.constant_power, stated_volts / volts, 1.0)
    return replace(loads, standby=loads.standby * rise, per_output=loads.per_output * rise)


def worst_volts(
    feeder: Feeder, loads: Loads, at_once: int, least_volts: Floats | None = None, settled_volts: float = SETTLED_VOLTS
) -> Floats:
    """Lowest volts at each box for any choice of ``at_once`` outputs; shape ``(n,)``, volts.

    Exact where all draws are constant currents; with constant power a lower bound, proved as above.
    Raises NoSolution where the bound falls away: the path then has no operating point that can be relied on. With
    ``least_volts`` also as soon as a box is sure to end below its own: the iteration only falls. It ends when a step
    moves no volts by ``settled_volts``; a larger one is sooner done, and near collapse finds no solution sooner.
    """
    if not loads.constant_power.any():
        return constant_current_volts(feeder, loads, at_once)

    def step(volts: Floats) -> Floats:
        return constant_current_volts(feeder, at_volts(loads, volts, feeder.draws_at_volts), at_once)

    volts = np.full(len(loads.standby), feeder.supply_volts)
    for _ in range(MOST_STEPS):
        lower = step(volts)
        if lower.min() <= 0 or (least_volts is not None and (lower < least_volts).any()):
            raise NoSolution
        moved = float(np.max(np.abs(volts - lower)))
        volts = lower
        if moved < settled_volts:
            break
    for hair in HAIRS_VOLTS:
        candidate = volts - hair
        if candidate.min() > 0 and (step(candidate) >= candidate).all():
            return candidate
    raise NoSolution


def most_supply_amps(feeder: Feeder, loads: Loads, at_once: int, volts: Floats) -> float:
    """Most current from the supply, amperes, with constant-power draws taken at their lowest ``volts``.

    Exact for constant currents, never too low for constant power.
    """
    return most_drawn(at_volts(loads, volts, feeder.draws_at_volts), at_once)
