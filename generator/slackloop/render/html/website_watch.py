"""What a live preview looks at besides the job file: a firm's content, also where its folder is made later."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from mkdocs.livereload import LiveReloadServer
from watchdog.events import FileSystemEvent, FileSystemEventHandler


class FolderMade(FileSystemEventHandler):
    """Calls ``changed`` whenever the folder ``name`` comes or goes."""

    def __init__(self, name: Path, changed: Callable[[], None]) -> None:
        self._name, self._changed = str(name), changed

    def on_any_event(self, event: FileSystemEvent) -> None:
        """An event of the folder above."""
        comes_or_goes = event.event_type in ("created", "deleted", "moved")
        if comes_or_goes and self._name in (os.fsdecode(event.src_path), os.fsdecode(event.dest_path)):
            self._changed()


def watch_folder(server: LiveReloadServer, folder: Path) -> None:
    """Build again when anything in ``folder`` changes, from the moment it is there."""

    def follow() -> None:
        with suppress(KeyError):
            server.unwatch(str(folder))
        if folder.is_dir():
            server.watch(str(folder))
        with server._rebuild_cond:  # the server of MkDocs 1.6 has no public way to ask for a build
            server._want_rebuild = True
            server._rebuild_cond.notify_all()

    if folder.is_dir():
        server.watch(str(folder))
    server.observer.schedule(FolderMade(folder, follow), str(folder.parent), recursive=False)
