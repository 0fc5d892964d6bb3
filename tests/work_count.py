"""Counts the work of a task in lines of Python run, which is the same on every machine and at any load."""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import FrameType


class TooMuchWorkError(AssertionError):
    """A task ran more lines than it may: what would hang ends here."""


def lines_run(task: Callable[[], object], most: int | None = None) -> int:
    """How many lines of Python ``task`` runs. Past ``most`` it is broken off with ``TooMuchWorkError``."""
    count = 0

    def step(frame: FrameType, event: str, argument: object) -> Callable[..., object]:
        nonlocal count
        count += event == "line"
        if most is not None and count > most:
            raise TooMuchWorkError(f"more than {most:,} lines were run")
        return step

    before = sys.gettrace()
    sys.settrace(step)
    try:
        task()
    finally:
        sys.settrace(before)
    return count


def growth(task: Callable[[int], Callable[[], object]], size: int, times: int = 4) -> float:
    """How many times the work of ``task(size)`` the work of ``task(size × times)`` is.

    ``task`` makes ready and returns what is counted. Even growth gives at most ``times``. Both are run once
    uncounted before, so that what is kept for later runs is not counted as growth.
    """
    small, large = task(size), task(size * times)
    small()
    large()
    return lines_run(large) / lines_run(small)
