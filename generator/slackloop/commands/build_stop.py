"""Stopping builds: Ctrl-C or a signal ends their processes, and what they had begun is cleared away.

How it is known that a program got no memory.
"""

from __future__ import annotations

import errno
import signal
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

SIGNALS = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))


class Stopped(Exception):
    """The build was stopped before its handbook was in place."""


class Stop:
    """Whether to stop, and the processes that end then. Signals come to the main thread; builds run in others."""

    def __init__(self) -> None:
        self.signal = 0
        self._running: set[subprocess.Popen[str]] = set()
        self._lock = threading.RLock()

    @contextmanager
    def ready(self) -> Iterator[None]:
        """Take every signal that asks to stop for the block; one that was ignored before stays so."""
        before = {each: signal.getsignal(each) for each in SIGNALS}
        for each, was in before.items():
            if was is not signal.SIG_IGN:
                signal.signal(each, self._ask)
        try:
            yield
        finally:
            for each, was in before.items():
                signal.signal(each, was)

    def _ask(self, number: int, frame: FrameType | None) -> None:
        del frame
        self.signal = number
        with self._lock:
            for process in self._running:
                process.kill()

    @contextmanager
    def over(self, process: subprocess.Popen[str]) -> Iterator[None]:
        """End ``process`` when asked to stop, and at the end of the block in any case."""
        with self._lock:
            self._running.add(process)
        try:
            self.check()
            yield
        finally:
            with self._lock:
                self._running.discard(process)
            process.kill()
            process.wait()

    def check(self) -> None:
        """Raise ``Stopped`` where that was asked."""
        if self.signal:
            raise Stopped


NO_MEMORY = "no memory"
_LACKING = (
    "MemoryError",
    "bad_alloc",
    "memory allocation of",
    "Cannot allocate memory",
    "failed to map segment",
    "can't start new thread",
    "pthread_create failed",
    "ThreadPoolBuildError",
)
"""What Python, the loader of libraries and the libraries say when the system gives them no memory."""


def lacks_memory(problem: BaseException) -> bool:
    """Whether an error comes from memory that the system did not give, in Python or in a library under it."""
    if isinstance(problem, MemoryError) or (isinstance(problem, OSError) and problem.errno == errno.ENOMEM):
        return True
    return says_no_memory(f"{type(problem).__name__}: {problem}")


def says_no_memory(text: str) -> bool:
    """Whether a text is what a program says that got no memory."""
    return any(sign in text for sign in _LACKING)
