"""At which boxes a check is due, from the network alone."""

from __future__ import annotations

from collections.abc import Container
from typing import TYPE_CHECKING

from slackloop.handbook.section import Where
from slackloop.job.models import Box

if TYPE_CHECKING:
    from slackloop.path.network import Network


def is_due_at(where: Where, box: Box, index: int, network: Network, electrodes: Container[str]) -> bool:
    """Whether a check that is done ``where`` is due at the box at ``index``; one of each run at the box it feeds.

    A box is an end where no run goes on and none closes a ring; it is a branch where more than one run goes on.
    ``electrodes`` holds the ids of the boxes where an electrode stands.
    """
    if where == "device-box":
        return box.device is not None
    if where == "branch-box":
        return len(network.children[index]) > 1
    if where == "end-box":
        return not network.children[index] and not any(box.id in (r.from_id, r.to_id) for r in network.closures)
    if where == "electrode-box":
        return box.id in electrodes
    return where != "job"
