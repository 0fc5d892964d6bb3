"""Loop resistance that the ways from the supply to two boxes share: on a tree, and with closed rings.

On a tree it is the resistance to the last box that both ways pass. With rings it is the transfer resistance of
the network seen from the supply: the inverse of the nodal conductance matrix with the controller as reference
(nodal analysis, any text on circuit theory), plus the source's own resistance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

ROWS_AT_ONCE = 512
LEAST_OHMS = 1e-9


@dataclass(frozen=True)
class Link:
    """A run that closes a ring between two boxes (indices, -1 is the controller), ``ohms`` for its loop."""

    one: int
    other: int
    ohms: float


def along_path(parent: Sequence[int], on_run: Floats, at_source: float = 0.0) -> Floats:
    """The sum of ``on_run`` over the runs from the controller to each box, ``(n,)``, ``at_source`` included."""
    total: list[float] = []
    for value, above in zip(on_run.tolist(), parent, strict=True):
        total.append(value + (total[above] if above >= 0 else at_source))
    return np.array(total)


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
