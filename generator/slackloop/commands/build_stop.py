"""Stopping builds: Ctrl-C or a signal ends their processes, and what they had begun is cleared away."""

from __future__ import annotations

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
