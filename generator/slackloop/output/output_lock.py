"""A lock on an output folder, so that two builds to one folder never mix.

The operating system frees the lock when a process dies, so a killed build never leaves one held.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _take(handle: int) -> None:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class LockHeld(Exception):
    """Another process holds the lock."""


@contextmanager
def held(name: Path) -> Iterator[None]:
    """Hold the lock file ``name`` for the block; raise ``LockHeld`` at once when another holds it."""
    handle = _open(name)
    try:
        yield
    finally:
        with suppress(OSError):
            name.unlink()
        os.close(handle)


def _open(name: Path) -> int:
    while True:
        handle = os.open(name, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644)
        try:
            _take(handle)
        except OSError:
            os.close(handle)
            raise LockHeld(str(name)) from None
        if _is_still(handle, name):
            return handle
        os.close(handle)


def _is_still(handle: int, name: Path) -> bool:
    """Whether the open file still has that name: the holder before us may have removed it."""
    try:
        return os.path.samestat(os.fstat(handle), os.stat(name))
    except FileNotFoundError:
        return False
