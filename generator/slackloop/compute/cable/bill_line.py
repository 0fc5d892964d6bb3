"""One line of the bill of materials, and how spares and packs are rounded."""

from __future__ import annotations

import math
from dataclasses import dataclass

_WITHIN = 1e-9


@dataclass(frozen=True)
class Material:
    """One line to order: ``quantity`` in ``unit`` before waste and spares, ``order`` in ``order_unit`` after.

    ``basis`` says in one line where the quantity comes from; ``boxes`` are the boxes that need it, in path order.
    ``extra`` is the part added for waste, spares or loosening; with it the quantity is rounded up to whole
    ``step`` of its unit, and one of ``order_unit`` holds ``holds`` of that. Reels follow their own plan. ``part`` is
    the job's own order number, empty where it gives none.
    """

    item: str
    kind: str
    quantity: float
    unit: str
    order: float
    order_unit: str
    basis: str
    boxes: tuple[str, ...]
    extra: float = 0.0
    holds: float = 1.0
    step: float = 1.0
    part: str = ""


def with_spare(count: float, spare: float) -> int:
    """Whole pieces to order for ``count`` pieces with a spare fraction on top, rounded up."""
    return math.ceil(count * (1.0 + spare) - _WITHIN)


def packs(count: float, spare: float, pack: int) -> int:
    """Whole packs of ``pack`` pieces for ``count`` pieces with a spare fraction on top."""
    return math.ceil(with_spare(count, spare) / pack)
