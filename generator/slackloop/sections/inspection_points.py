"""At which boxes a check is due, from the network alone."""

from __future__ import annotations

from collections.abc import Container
from typing import TYPE_CHECKING

from slackloop.sections.section import Check, Where
from slackloop.site.models import Box, Surface

if TYPE_CHECKING:
    from slackloop.site.network import Network, Run


ON_RUNS: frozenset[Where] = frozenset({"each-run", "each-crossing"})
"""Places of a check that belong to a run; it is recorded at the box that the run feeds."""
AT_NO_BOX: frozenset[Where] = frozenset({"each-reel", "each-day", "job"})
"""Checks with a sheet of their own."""
CROSSED: frozenset[Surface] = frozenset({"path", "paved", "driveway", "drive", "road", "building"})
"""Surfaces that a run crosses under."""


def is_due_at(where: Where, box: Box, index: int, network: Network, electrodes: Container[str]) -> bool:
    """Whether a check that is done ``where`` is due at the box at ``index``; one of each run at the box it feeds.

    A box is an end where no run goes on, so also where a ring is left open until the path has been read; it is a
    branch where more than one run goes on.
    ``electrodes`` holds the ids of the boxes where an electrode stands.
    """
    if where == "device-box":
        return bool(box.fitted)
    if where == "branch-box":
        return len(network.children[index]) > 1
    if where == "end-box":
        return not network.children[index]
    if where == "electrode-box":
        return box.id in electrodes
    if where == "each-crossing":
        return box.surface in CROSSED
    return where not in AT_NO_BOX


def is_due_on_ring_run(check: Check, run: Run) -> bool:
    """Whether a check is due on a run that closes a ring: those of each run, and the loop reading at its open end."""
    if check.where == "each-crossing":
        return run.surface in CROSSED
    return check.where == "each-run" or check.measures == "loop_ohms"
