"""The job's path as an electric circuit: wires and loads in path order, in ohms and amperes.

A second device in a box hangs on the same two splices as the first: its node is a box of its own at the end of a run
without length, behind the boxes. So everything that is worked out for one device a box holds for several.
A run whose resistance nobody knows spoils the volts at the boxes beyond it and at no other, since constant currents do
not ask for it (superposition). A current that nobody knows spoils the volts at every box.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from slackloop.compute.cable.circuit_length import CircuitLengths
from slackloop.compute.circuit.conductor import loop_ohms_per_m
from slackloop.compute.circuit.solenoids import path_need
from slackloop.compute.circuit.volts import Feeder, Flags, Floats, Link, Loads
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import PlacedDevice
from slackloop.site.models import Cable, Job
from slackloop.site.network import CONTROLLER, Network, Run


@dataclass(frozen=True)
class DeviceNode:
    """One node: the box it is in, by index in path order, and its device, None in a box without one."""

    box: int
    placed: PlacedDevice | None


Nodes = tuple[DeviceNode, ...]


def device_nodes(network: Network) -> Nodes:
    """The first device of every box in path order, so that box ``i`` is node ``i``; then the other devices."""
    first: list[DeviceNode] = []
    others: list[DeviceNode] = []
    for index, placed in enumerate(network.devices):
        first.append(DeviceNode(index, placed[0] if placed else None))
        others += [DeviceNode(index, each) for each in placed[1:]]
    return (*first, *others)


RING_NODE_OHMS = 1e-6
"""Ohms from a box to the node of one more device in it, on a path with rings (see ``own_ohms``)."""


def ohms_by_cable(job: Job, tables: ReferenceTables, temperature_c: float) -> dict[str, float]:
    """Largest loop resistance of each cable in ohms a metre at a soil temperature in degC; by cable name."""
    return {name: cable_loop_ohms_per_m(cable, tables, temperature_c) for name, cable in job.cables.items()}


def cable_loop_ohms_per_m(cable: Cable, tables: ReferenceTables, temperature_c: float) -> float:
    """Largest loop resistance of one cable, both cores, ohms a metre of run: what volts are worked out with."""
    return loop_ohms_per_m(cable.conductor, cable.build, tables, temperature_c, "largest")


def build_feeder(
    job: Job, network: Network, lengths: CircuitLengths, ohms_per_m: dict[str, float], nodes: Nodes | None = None
) -> Feeder:
    """The wires of the job with the loop resistance of each run's circuit length, at the lowest supply volts.

    Where a box holds several devices, those after the first have nodes of their own behind the boxes (``DeviceNode``).
    ``nodes`` are those of ``device_nodes`` where they were made already.
    """
    nodes = nodes or device_nodes(network)
    more = nodes[len(network.boxes) :]

    def ohms(run: Run) -> float:
        return lengths[run.id].circuit_m * ohms_per_m[run.cable]

    at = {CONTROLLER: -1, **network.index}
    source = job.supply.source_resistance
    return Feeder(
        parent=(*network.parent, *(node.box for node in more)),
        run_ohms=np.array([*(ohms(run) for run in network.runs), *(own_ohms(network) for _ in more)]),
        supply_volts=resolve.lowest_volts(job),
        stated_volts=job.supply.volts.si,
        source_ohms=source.si if source else 0.0,
        links=tuple(Link(at[run.from_id], at[run.to_id], ohms(run)) for run in network.closures),
    )


def own_ohms(network: Network) -> float:
    """Ohms from a box to the node of one more device in it: none, or where rings are solved as a matrix a millionth.

    A millionth of an ohm takes less than a microvolt from a device, and keeps twelve digits of the matrix.
    """
    return RING_NODE_OHMS if network.closures else 0.0


def build_loads(job: Job, network: Network, nodes: Nodes | None = None) -> Loads:
    """What each device draws, by node (see ``device_nodes``); a box without a device draws nothing.

    Stations that always run count as drawn with all outputs off, so that they are in every case; ``outputs`` are the
    others.
    """
    placed = [node.placed for node in nodes or device_nodes(network)]
    always = np.array([each.always_on if each else 0 for each in placed], dtype=np.int64)
    per_output = np.array([resolve.per_output_a(each.device) if each else 0.0 for each in placed])
    return Loads(
        standby=np.array([each.device.standby.si if each else 0.0 for each in placed])
        + np.where(always > 0, always * per_output, 0.0),
        per_output=per_output,
        outputs=np.array([len(each.stations) if each else 0 for each in placed], dtype=np.int64) - always,
        constant_power=np.array([each is not None and each.device.load == "power" for each in placed]),
    )


def needed_volts(job: Job, network: Network, tables: ReferenceTables, nodes: Nodes | None = None) -> Floats:
    """What each node needs of the path, volts: its device, and solenoids whose output follows the path; ``(n,)``."""
    nodes = nodes or device_nodes(network)
    needs: Floats = np.array([_solenoids_need(job, node, tables) for node in nodes])
    return np.asarray(np.maximum(least_volts(nodes), needs))


def _solenoids_need(job: Job, node: DeviceNode, tables: ReferenceTables) -> float:
    return path_need(job, node.placed, tables) if node.placed is not None else 0.0


def least_volts(nodes: Nodes) -> Floats:
    """What each node's device needs at its path leads, volts, 0 where there is none; shape ``(n,)``."""
    return np.array([node.placed.device.least_volts.si if node.placed else 0.0 for node in nodes])


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
