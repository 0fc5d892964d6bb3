"""A lock beside an output folder, so that two builds to one folder never mix.

The operating system frees the lock when a process dies, so the file that a killed build leaves blocks nobody.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from filelock import FileLock, Timeout

from slackloop.output.refusal import OutputRefused


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the lock of a folder for the block; the folder above is made where it is not there.

    Raises ``OutputRefused`` at once where another build holds it, and where nothing can be written beside the folder.
    """
    name = folder.parent / f".{folder.name}.lock"
    lock = FileLock(name, timeout=0, thread_local=False)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        lock.acquire()
    except Timeout:
        raise OutputRefused(f"Another build is writing {folder}. Wait until it ends.") from None
    except OSError as error:
        raise OutputRefused(f"{folder} cannot be written: {(error.strerror or str(error)).lower()}.") from error
    try:
        yield
    finally:
        with suppress(OSError):  # before the release: whoever waits for this file finds it gone and makes a new one
            name.unlink()
        lock.release()
