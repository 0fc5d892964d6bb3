"""Which volts are known where a fact of the path is not: a conductor's size, or what a device takes.

A run whose resistance nobody knows spoils the volts at the boxes beyond it and at no other, since constant currents do
not ask for it (superposition). A current that nobody knows spoils the volts at every box.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from slackloop.compute.circuit.volts import Feeder, Flags, Loads


def known_nodes(feeder: Feeder, loads: Loads, at_once: int) -> Flags:
    """Whether the volts at each node are known, for any ``at_once`` outputs; shape ``(n,)``."""
    count = len(feeder.parent)
    currents = bool(np.isnan(loads.standby).any())
    currents |= at_once > 0 and bool(np.isnan(loads.per_output[loads.outputs > 0]).any())
    ohms: Flags = np.isnan(feeder.run_ohms)
    rings = bool(feeder.links) and (bool(ohms.any()) or any(np.isnan(link.ohms) for link in feeder.links))
    if currents or rings or (bool(ohms.any()) and bool(loads.constant_power.any())):
        return np.zeros(count, dtype=np.bool_)
    known: list[bool] = []
    for spoiled, above in zip(ohms.tolist(), feeder.parent, strict=True):
        known.append(not spoiled and (above < 0 or known[above]))
    return np.array(known, dtype=np.bool_)


def filled(feeder: Feeder, loads: Loads) -> tuple[Feeder, Loads]:
    """The same with 0 for what is not known, to work out the volts that do not rest on it."""
    if not np.isnan(feeder.run_ohms).any() and not np.isnan(loads.per_output).any():
        return feeder, loads
    return (
        replace(feeder, run_ohms=np.nan_to_num(feeder.run_ohms)),
        replace(loads, per_output=np.nan_to_num(loads.per_output)),
    )
