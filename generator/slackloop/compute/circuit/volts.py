"""Volts along the path: the exact worst case over every choice of running outputs.

With ``Z(v, i)`` the loop resistance that the paths from the supply to ``v`` and to ``i`` share, source
resistance included,

    V(v) = V0 - sum_i standby_i Z(v, i) - max over choices of sum_j draw_j Z(v, j)

This is superposition on a resistive network with constant-current loads (any text on circuit theory), so
the worst choice for one box is simply the ``k`` outputs with the largest ``draw_j Z(v, j)``. No choice is tried.

On a tree ``Z(v, i)`` is the resistance to the last box that both ways pass. With rings it is the transfer resistance of
the network seen from the supply: the inverse of the nodal conductance matrix with the controller as reference (nodal
analysis, any text on circuit theory), plus the source's own resistance.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackloop.compute.circuit.tree_drops import along_path, beyond_each, few_draws, many_draws, no_less, same_draw

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

MOST_KINDS_BY_TREE = 12
MOST_VALUES = 4_000_000
"""Most values held at once for a tree: boxes x outputs at once x different draws, 8 bytes each."""
MOST_BOXES_KEPT = 3000
MOST_TRIED = 400_000
"""Most values, boxes x single outputs, of a tree whose every output is tried at every box: sooner done than a walk."""
ROWS_AT_ONCE = 512
LEAST_OHMS = 1e-9


@dataclass(frozen=True)
class Link:
    """A run that closes a ring between two boxes (indices, -1 is the controller), ``ohms`` for its loop."""

    one: int
    other: int
    ohms: float


def shared_rows(
    parent: tuple[int, ...], run_ohms: Floats, source_ohms: float, links: tuple[Link, ...]
) -> Iterator[tuple[int, Floats]]:
    """Rows of the shared resistances, ohms, a block at a time: ``(first row, block of shape (rows, n))``.

    With rings or many boxes a matrix is solved; a run of less than a billionth of an ohm then counts as that much.
    """
    if not links and len(parent) <= ROWS_AT_ONCE:
        yield 0, tree_rows(parent, run_ohms, source_ohms)
        return
    from scipy.sparse.linalg import splu

    factors = splu(nodal_matrix(parent, run_ohms, links))
    count = len(parent)
    for start in range(0, count, ROWS_AT_ONCE):
        stop = min(start + ROWS_AT_ONCE, count)
        unit = np.zeros((count, stop - start))
        unit[np.arange(start, stop), np.arange(stop - start)] = 1.0
        yield start, np.ascontiguousarray(factors.solve(unit).T) + source_ohms


def tree_rows(parent: tuple[int, ...], run_ohms: Floats, source_ohms: float) -> Floats:
    """Shared resistances of a tree, ohms, ``(n, n)``: a box shares with those before it what the box before it does."""
    ohms = along_path(parent, run_ohms, source_ohms)
    rows = np.full((len(parent), len(parent)), source_ohms)
    for i, above in enumerate(parent):
        if above >= 0:
            rows[i, :i] = rows[above, :i]
            rows[:i, i] = rows[i, :i]
        rows[i, i] = ohms[i]
    return rows


def nodal_matrix(parent: tuple[int, ...], run_ohms: Floats, links: tuple[Link, ...]) -> object:
    """The nodal conductance matrix in siemens, ``(n, n)``, controller as reference, compressed by columns."""
    from scipy.sparse import csc_matrix

    ends = [(i, above, ohms) for i, (above, ohms) in enumerate(zip(parent, run_ohms.tolist(), strict=True))]
    ends += [(link.one, link.other, link.ohms) for link in links]
    rows: list[int] = []
    columns: list[int] = []
    values: list[float] = []
    for one, other, ohms in ends:
        siemens = 1.0 / max(ohms, LEAST_OHMS)
        for here, there in ((one, other), (other, one)):
            if here < 0:
                continue
            rows.append(here)
            columns.append(here)
            values.append(siemens)
            if there >= 0:
                rows.append(here)
                columns.append(there)
                values.append(-siemens)
    count = len(parent)
    return csc_matrix((values, (rows, columns)), shape=(count, count))


@dataclass(frozen=True)
class Loads:
    """What hangs on the path, in path order: ``n`` boxes, each array of shape ``(n,)``.

    ``standby`` and ``per_output`` are in amperes; ``outputs`` counts the stations that may run at a box.
    Where ``constant_power`` is true the amperes are those drawn at the supply's stated volts, and they rise as volts
    fall, so that volts times amperes stays the same.
    """

    standby: Floats
    per_output: Floats
    outputs: Ints
    constant_power: Flags

    def times(self, rise: Floats) -> Loads:
        """The same with what each box draws multiplied."""
        return replace(self, standby=self.standby * rise, per_output=self.per_output * rise)

    @property
    def total_outputs(self) -> int:
        """How many outputs there are on the whole path."""
        return int(self.outputs.sum())


@dataclass(frozen=True)
class Feeder:
    """The wires: ``parent`` of shape ``(n,)`` (-1 is the controller, parents first) and the ohms between.

    ``run_ohms`` of shape ``(n,)`` is the loop resistance of the run that feeds each box; ``links`` are the runs
    that close rings; ``source_ohms`` is the supply's own resistance. All in ohms, none negative.
    ``supply_volts`` are the lowest that the supply gives; ``stated_volts`` those at which the draws of constant-power
    devices are stated, the same where they are left out. ``known_rows`` of shape ``(n, n)`` are the shared
    resistances, ohms, of a path with rings where they have been worked out already.
    """

    parent: tuple[int, ...]
    run_ohms: Floats
    supply_volts: float
    source_ohms: float = 0.0
    links: tuple[Link, ...] = ()
    stated_volts: float | None = None
    known_rows: Floats | None = None

    @property
    def draws_at_volts(self) -> float:
        """Volts at which the amperes of constant-power devices are stated."""
        return self.supply_volts if self.stated_volts is None else self.stated_volts

    @cached_property
    def is_tree(self) -> bool:
        """Whether every box has one way only to the controller."""
        return not self.links

    @cached_property
    def ohms_to_box(self) -> Floats:
        """Loop resistance from the supply to each box along the tree, source included, ohms."""
        return along_path(self.parent, self.run_ohms, self.source_ohms)

    @cached_property
    def _kept_rows(self) -> list[tuple[int, Floats]]:
        if self.known_rows is not None:
            return [(0, self.known_rows)]
        return list(shared_rows(self.parent, self.run_ohms, self.source_ohms, self.links))

    def shared_rows(self) -> Iterable[tuple[int, Floats]]:
        """Rows of the shared resistances in blocks; kept for use again where the path is not too long."""
        if len(self.parent) <= MOST_BOXES_KEPT:
            return self._kept_rows
        return shared_rows(self.parent, self.run_ohms, self.source_ohms, self.links)


def with_one_more(feeder: Feeder, end: int, ohms: float) -> Feeder:
    """The feeder with one more box, fed from box ``end`` over ``ohms``; it comes last.

    The new box shares with every other what ``end`` shares with it, so known rows stay known.
    """
    longer = replace(feeder, parent=(*feeder.parent, end), run_ohms=np.append(feeder.run_ohms, ohms), known_rows=None)
    most = MOST_BOXES_KEPT if not feeder.is_tree else ROWS_AT_ONCE
    if len(longer.parent) > most:
        return longer
    rows = np.concatenate([block for _, block in feeder.shared_rows()])
    corner = np.array([[rows[end, end] + ohms]])
    known = np.block([[rows, rows[:, end : end + 1]], [rows[end : end + 1], corner]])
    return replace(longer, known_rows=known)


def standby_drop(feeder: Feeder, amps: Floats) -> Floats:
    """Volts lost at each box when box ``i`` draws ``amps[i]`` and nothing else runs; shape ``(n,)``.

    On a tree: the current in a run is all that is drawn beyond it, so one sweep up and one down is enough
    (Kirchhoff's laws). With rings: rows of shared resistances times the currents.
    """
    if not feeder.is_tree:
        drop = np.empty(len(amps))
        for start, rows in feeder.shared_rows():
            drop[start : start + len(rows)] = rows @ amps
        return drop
    beyond, total = beyond_each(feeder.parent, amps)
    return along_path(feeder.parent, feeder.run_ohms * beyond, feeder.source_ohms * total)


def running_drop(feeder: Feeder, per_output: Floats, outputs: Ints, at_once: int) -> Floats:
    """The most volts that any ``at_once`` running outputs can take from each box; shape ``(n,)``.

    Exact for constant currents. On a tree the outputs nearest to ``v`` in shared resistance are those below
    ``v``, then those below its parent, and so on: time grows as boxes x at_once x different draws, and past
    ``MOST_VALUES`` of them as boxes x different draws (``tree_drops``). On a tree of more than ``MOST_BOXES_KEPT``
    boxes with more than ``MOST_KINDS_BY_TREE`` draws and so many outputs at once, the answer is a bound: never less
    than the truth.
    """
    total = int(outputs.sum())
    at_once = min(at_once, total)
    if at_once <= 0:
        return np.zeros(len(outputs))
    if at_once == total:
        return standby_drop(feeder, per_output * outputs)
    if feeder.is_tree:
        kinds = np.unique(per_output[outputs > 0])
        by_draw = {float(draw): np.where(per_output == draw, outputs, 0) for draw in kinds[:MOST_KINDS_BY_TREE]}
        values = len(outputs) * at_once
        wires = feeder.parent, feeder.run_ohms, feeder.source_ohms
        if len(kinds) == 1:
            return same_draw(*wires, outputs, float(kinds[0]), at_once)
        if len(kinds) <= MOST_KINDS_BY_TREE:
            if values * len(kinds) > MOST_VALUES:
                return few_draws(*wires, by_draw, at_once)
            return _running_drop_tree(feeder, by_draw, at_once)
        single = len(outputs) * int(np.minimum(outputs, at_once).sum())
        if values <= MOST_VALUES and (len(outputs) > ROWS_AT_ONCE or single > MOST_TRIED):
            return many_draws(*wires, per_output, outputs, at_once)
        if len(outputs) > MOST_BOXES_KEPT:
            return no_less(*wires, per_output, outputs, at_once)
    drop = np.empty(len(outputs))
    draws, owner = _each_output(per_output, outputs, at_once)
    for start, rows in feeder.shared_rows():
        drop[start : start + len(rows)] = _largest_sum(rows[:, owner] * draws, at_once)
    return drop


def _running_drop_tree(feeder: Feeder, by_draw: dict[float, Ints], at_once: int) -> Floats:
    columns = [draw * _nearest_shared(feeder, outputs, at_once) for draw, outputs in by_draw.items()]
    best = columns[0]
    for more in columns[1:]:
        both = np.concatenate([best, more], axis=1)
        best = np.partition(both, both.shape[1] - at_once, axis=1)[:, -at_once:]
    return np.asarray(best.sum(axis=1))


def _nearest_shared(feeder: Feeder, outputs: Ints, at_once: int) -> Floats:
    """Shape ``(n, at_once)``: the largest shared resistances from each box to outputs of one kind, falling.

    Column ``p`` of box ``v`` is the resistance to the lowest box on the way up from ``v``, ``v`` included, with
    more than ``p`` such outputs at or beyond it; 0 where the path holds fewer.
    """
    parent = feeder.parent
    counted, total = beyond_each(parent, outputs)
    beyond = counted.tolist()
    rows = np.empty((len(parent) + 1, at_once))
    rows[-1] = np.where(np.arange(at_once) < total, feeder.source_ohms, 0.0)
    ohms = feeder.ohms_to_box.tolist()
    for i, above in enumerate(parent):
        here = beyond[i]
        row = rows[i]
        row[:] = rows[above]  # the controller's -1 is the last row
        if here:
            row[:here] = ohms[i]
    return rows[:-1]


def _each_output(per_output: Floats, outputs: Ints, at_once: int) -> tuple[Floats, Ints]:
    """The draw of each single output and the box that holds it; a box never gives more than ``at_once``."""
    owner = np.repeat(np.arange(len(outputs)), np.minimum(outputs, at_once))
    return per_output[owner], owner


def _largest_sum(values: Floats, count: int) -> Floats:
    """Sum of the ``count`` largest values of each row."""
    if values.shape[1] > count:
        values = np.partition(values, values.shape[1] - count, axis=1)[:, -count:]
    return np.asarray(values.sum(axis=1))


def most_drawn(loads: Loads, at_once: int) -> float:
    """Most current that the supply can be asked for, amperes: all standby and the ``at_once`` largest outputs."""
    draws, _ = _each_output(loads.per_output, loads.outputs, at_once)
    return float(loads.standby.sum() + np.sort(draws)[::-1][:at_once].sum())


def constant_current_volts(feeder: Feeder, loads: Loads, at_once: int) -> Floats:
    """Lowest volts at each box for any choice of ``at_once`` outputs, taking every draw as constant; ``(n,)``."""
    lost = standby_drop(feeder, loads.standby) + running_drop(feeder, loads.per_output, loads.outputs, at_once)
    return feeder.supply_volts - lost
