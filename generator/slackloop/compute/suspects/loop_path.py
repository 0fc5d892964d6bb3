"""The path as the loop meter sees it, and what one fault in it does to each reading.

Loop resistances in ohm, at one temperature; the meter is at the controller, the pair is shorted at the place that is
read and no device is on it. Both cores of a run are taken as alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackloop.compute.circuit.loop_network import LoopNetwork, loop_network

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_OHMS = 1e-9
"""A run of less counts as that much, so that what flows in it can be worked out."""


@dataclass(frozen=True)
class LoopPath:
    """Runs and places of one path in one state of its rings.

    ``one`` and ``two`` of shape ``(k,)`` are the places that each run joins, by index, -1 the controller; ``ohms`` of
    shape ``(k,)`` the loop resistance of each. ``shared`` of shape ``(n + 1, n + 1)`` is what two places share seen
    from the controller, whose own row and column of zeros come last, where an index of -1 finds them.
    """

    one: Ints
    two: Ints
    ohms: Floats
    shared: Floats

    @cached_property
    def readings(self) -> Floats:
        """The reading at each place without a fault, ohm; ``(n,)``."""
        return np.asarray(np.diag(self.shared)[:-1])

    @cached_property
    def drops(self) -> Floats:
        """What each place shares with one end of a run less what it shares with the other, ohm; ``(k, n)``."""
        return np.asarray((self.shared[self.one] - self.shared[self.two])[:, :-1])

    @cached_property
    def across(self) -> Floats:
        """Resistance between the ends of each run with all the rest in place, ohm; ``(k,)``. On a tree its own."""
        z = self.shared
        return np.asarray(z[self.one, self.one] + z[self.two, self.two] - 2.0 * z[self.one, self.two])

    @cached_property
    def shares(self) -> Floats:
        """By how much each reading rises with each ohm more in a run, ``(k, n)``: 1 or 0 on a tree.

        The square of the part of the meter's current that the run carries (Cohn's theorem on the sensitivity of a
        resistive network).
        """
        return np.asarray((self.drops / self.ohms[:, None]) ** 2)

    def with_series(self, runs: Ints, more_ohms: Floats, *, one_core: bool) -> Floats:
        """What every reading rises by when a run has more ohms, ``(m, n)``; both of shape ``(m,)``, runs by index.

        A change of rank one of the nodal matrix (Sherman and Morrison), exact for any size; a run never falls under
        nothing, so more than -1 times its own ohms is asked. On a tree it is the ohms themselves beyond the run. On a
        closed ring a fault in ``one_core`` (a splice) differs from one in both (a longer run): then only that core's
        current finds another way.
        """
        part = 2.0 if one_core else 1.0
        own = self.ohms[runs]
        below = own * own + part * more_ohms * (own - self.across[runs])
        return np.asarray((more_ohms / below)[:, None] * self.drops[runs] ** 2)

    def with_short(self, runs: Ints, at: Floats, short_ohms: Floats) -> Floats:
        """What every reading rises by (it falls) when the cores touch in a run, ``(m, n)``.

        ``runs`` are indices, ``at`` the part of the run's cable from its start, 0 to 1, and ``short_ohms`` the
        resistance of the short; all of shape ``(m,)``. The short's own place is added to the network by superposition,
        then joined to the place that is read over its ohms (Sherman and Morrison). Exact.
        """
        z, (one, two, own) = self.shared, (each[runs] for each in (self.one, self.two, self.ohms))
        t = at[:, None]
        to_place = ((1.0 - t) * z[one] + t * z[two])[:, :-1]
        itself = (1.0 - at) ** 2 * z[one, one] + at**2 * z[two, two] + 2.0 * at * (1.0 - at) * z[one, two]
        itself = itself + at * (1.0 - at) * own
        between = self.readings - to_place
        below = short_ohms[:, None] + itself[:, None] + self.readings - 2.0 * to_place
        return np.asarray(-(between**2) / np.maximum(below, LEAST_OHMS))


def loop_path(
    parent: Sequence[int], run_ohms: Sequence[float], closures: Sequence[tuple[int, int, float]] = ()
) -> LoopPath:
    """The path from the run that feeds each place, ohm, and closing runs (place, place, ohm); -1 is the controller.

    Parents come before children. Memory grows as places squared: 8 MB at 1,000.
    """
    ohms = [max(each, LEAST_OHMS) for each in run_ohms]
    links = [(one, two, max(each, LEAST_OHMS)) for one, two, each in closures]
    return LoopPath(
        one=np.array([*parent, *(one for one, _, _ in links)], dtype=np.int64),
        two=np.array([*range(len(parent)), *(two for _, two, _ in links)], dtype=np.int64),
        ohms=np.array([*ohms, *(each for _, _, each in links)]),
        shared=_shared(loop_network(parent, ohms, links)),
    )


def _shared(loops: LoopNetwork) -> Floats:
    """What every two places share, the controller last; ``LoopNetwork.shared`` for all of them at once."""
    count = len(loops.parent)
    shared = np.zeros((count + 1, count + 1))
    for place, above in enumerate(loops.parent):
        shared[place, :place] = shared[:place, place] = shared[above, :place]
        shared[place, place] = loops.tree_ohms[place]
    for column, ohms in loops.corrections:
        padded = np.array([*column, 0.0])
        shared -= np.outer(padded, padded) / ohms
    return shared
