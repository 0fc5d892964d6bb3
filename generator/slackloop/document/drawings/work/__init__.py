"""Pictures of work in hand: every row of them by the name that content uses for it.

Each public function of a module of pictures is a row, and its name with ``-`` for ``_`` is the row's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from slackloop.document.drawings.work import (
    box_work,
    laying_work,
    measuring_work,
    splice_work,
    stripping_work,
    trench_work,
)
from slackloop.document.drawings.work.hand_tools import painted
from slackloop.document.drawings.work.sketch import Row, WorkValues

_MODULES = stripping_work, splice_work, trench_work, laying_work, measuring_work, box_work
WORK_DRAWINGS: Mapping[str, Callable[[WorkValues], Row]] = MappingProxyType({
    name.replace("_", "-"): row for module in _MODULES for name, row in vars(module).items()
    if getattr(row, "__module__", "") == module.__name__ and not name.startswith("_")
})  # fmt: skip
"""A row may be empty where the job has no such thing, as a pipe in the trench."""


def work_drawings(name: str, values: WorkValues) -> Row:
    """The row of pictures called ``name``; raises ``KeyError`` for a name that is none of ``WORK_DRAWINGS``."""
    return tuple(painted(drawing, values.core_a, values.core_b) for drawing in WORK_DRAWINGS[name](values))
