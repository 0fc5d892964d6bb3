"""Rows that are alike said once: how many there are, and which differ."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from slackloop.sections.format import count
from slackloop.sections.spans import spans

FEW = 12
"""Names that are listed one by one; of more, their number is said."""


def where(names: Sequence[str], total: int, order: Mapping[str, int], one: str, many: str) -> str:
    """The places of alike rows: ``all 38 boxes``, ``31 boxes: B01 to B28, B30 to B32``, or ``B07, B12``."""
    if len(names) == total and total > 1:
        return f"all {count(total, one, many)}"
    listed = spans(list(names), order)
    return listed if len(names) <= FEW and len(listed) < 60 else f"{count(len(names), one, many)}: {listed}"
