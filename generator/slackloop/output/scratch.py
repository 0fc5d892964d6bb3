"""A folder for passing files that a stop leaves behind and the next run clears away.

Each carries a lock that the operating system frees when its process dies, so a folder whose lock is free is nobody's.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from filelock import FileLock, Timeout

PREFIX = "slackloop-"
LOCK = "in-use.lock"


@contextmanager
def scratch_folder() -> Iterator[Path]:
    """A folder for the block; whatever this process asks of ``tempfile`` meanwhile lies in it too."""
    clear_scratch()
    folder = Path(tempfile.mkdtemp(prefix=PREFIX))
    lock = FileLock(folder / LOCK, timeout=0, thread_local=False)
    lock.acquire()
    before, tempfile.tempdir = tempfile.tempdir, str(folder)
    try:
        yield folder
    finally:
        tempfile.tempdir = before
        lock.release()
        shutil.rmtree(folder, ignore_errors=True)


def clear_scratch() -> None:
    """Remove the folders of processes that were killed; those in use, and those of another person, stay."""
    for folder in Path(tempfile.gettempdir()).glob(f"{PREFIX}*"):
        with suppress(OSError, Timeout):
            if folder.is_symlink() or not (folder / LOCK).is_file() or not os.access(folder, os.W_OK):
                continue
            with FileLock(folder / LOCK, timeout=0, thread_local=False):
                shutil.rmtree(folder, ignore_errors=True)
