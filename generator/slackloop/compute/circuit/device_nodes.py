"""Nodes of the path as a circuit: one a box, and one more for each device after the first in the same box.

A second device hangs on the same two splices as the first: its node is a box of its own at the end of a run without
length. So everything that is worked out for one device a box holds for several.
"""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.compute.job_places import boxes_in_order
from slackloop.site.box_contents import PlacedDevice, placed_devices
from slackloop.site.models import Job
from slackloop.site.network import Network


@dataclass(frozen=True)
class DeviceNode:
    """One node: the box it is in, by index in path order, and its device, None in a box without one."""

    box: int
    placed: PlacedDevice | None


def device_nodes(job: Job, network: Network) -> tuple[DeviceNode, ...]:
    """The first device of every box in path order, so that box ``i`` is node ``i``; then the other devices."""
    first: list[DeviceNode] = []
    others: list[DeviceNode] = []
    for index, box in enumerate(boxes_in_order(job, network.boxes)):
        placed = placed_devices(job, box)
        first.append(DeviceNode(index, placed[0] if placed else None))
        others += [DeviceNode(index, each) for each in placed[1:]]
    return (*first, *others)
