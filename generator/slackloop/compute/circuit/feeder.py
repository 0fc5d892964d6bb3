"""The job's path as an electric circuit: wires and loads in path order, in ohms and amperes."""

from __future__ import annotations

import numpy as np

from slackloop.compute.cable.circuit_length import circuit_lengths
from slackloop.compute.circuit.conductor import largest_loop_ohms_per_m
from slackloop.compute.circuit.shared_ohms import Link
from slackloop.compute.circuit.solenoids import path_needs
from slackloop.compute.circuit.volts import Feeder, Floats, Loads
from slackloop.compute.job_places import boxes_in_order
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.models import Cable, Job
from slackloop.site.network import CONTROLLER, Network, Run


def ohms_by_cable(job: Job, tables: ReferenceTables, temperature_c: float) -> dict[str, float]:
    """Largest loop resistance of each cable in ohms a metre at a soil temperature in degC; by cable name."""
    return {name: cable_loop_ohms_per_m(cable, tables, temperature_c) for name, cable in job.cables.items()}


def cable_loop_ohms_per_m(cable: Cable, tables: ReferenceTables, temperature_c: float) -> float:
    """Largest loop resistance of one cable, both cores, ohms a metre of run: what volts are worked out with."""
    return largest_loop_ohms_per_m(cable.conductor, cable.build, tables, temperature_c)


def build_feeder(job: Job, network: Network, ohms_per_m: dict[str, float]) -> Feeder:
    """The wires of the job with the loop resistance of each run's circuit length, at the lowest supply volts."""
    lengths = circuit_lengths(job, network)

    def ohms(run: Run) -> float:
        return lengths[run.id].circuit_m * ohms_per_m[run.cable]

    at = {CONTROLLER: -1, **network.index}
    source = job.supply.source_resistance
    return Feeder(
        parent=network.parent,
        run_ohms=np.array([ohms(run) for run in network.runs]),
        supply_volts=resolve.lowest_volts(job),
        stated_volts=job.supply.volts.si,
        source_ohms=source.si if source else 0.0,
        links=tuple(Link(at[run.from_id], at[run.to_id], ohms(run)) for run in network.closures),
    )


def build_loads(job: Job, network: Network) -> Loads:
    """What each box draws, in path order; a box without a device draws nothing.

    Stations that always run count as drawn at rest, so that they are in every case; ``outputs`` are the others.
    """
    boxes = boxes_in_order(job, network.boxes)
    devices = [job.devices[box.device] if box.device else None for box in boxes]
    always = np.array([resolve.always_on(job, box) for box in boxes], dtype=np.int64)
    per_output = np.array([resolve.per_output_a(device) if device else 0.0 for device in devices])
    return Loads(
        standby=np.array([device.standby.si if device else 0.0 for device in devices]) + always * per_output,
        per_output=per_output,
        outputs=np.array([len(box.stations) for box in boxes], dtype=np.int64) - always,
        constant_power=np.array([device is not None and device.load == "power" for device in devices]),
    )


def needed_volts(job: Job, network: Network, tables: ReferenceTables) -> Floats:
    """What each box needs of the path, volts: its device, and solenoids whose output follows the path; ``(n,)``."""
    return np.maximum(least_volts(job, network), path_needs(job, network, tables))


def least_volts(job: Job, network: Network) -> Floats:
    """What each box's device needs at its path leads, volts, 0 where there is none; shape ``(n,)``."""
    return np.array(
        [job.devices[box.device].least_volts.si if box.device else 0.0 for box in boxes_in_order(job, network.boxes)]
    )
