"""The MkDocs plugin: plain ``mkdocs build`` and ``mkdocs serve`` show a job's handbook.

It publishes through the same adapter as the command, and sets everything itself, so that ``mkdocs.yml`` names the
plugin and the job and nothing else.

The website in a browser while the job is being written: built again at every change, on this machine only.

What a live preview looks at besides the job file: a firm's content, also where its folder is made later.
"""

from __future__ import annotations

import os
import socket
from collections.abc import Callable
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Literal, Protocol

import yaml
from mkdocs.commands.serve import serve
from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority
from watchdog.events import FileSystemEvent, FileSystemEventHandler

from slackloop.document.pages.findings_page import error_book
from slackloop.output.marker import scratch_folder
from slackloop.render.html.adapter import BookSite, Pages

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig


HOST = "127.0.0.1"


class AddressTaken(Exception):
    """Another program listens there already."""


def preview_website(job_path: Path, port: int) -> None:
    """Serve the handbook of ``job_path`` at 127.0.0.1 until stopped; a job with errors shows its findings instead.

    The settings are those of a plain ``mkdocs serve``: a file that names our plugin and the job. Raises
    ``AddressTaken`` before anything is built.
    """
    _try_address(port)
    with scratch_folder() as folder:
        settings = folder / "mkdocs.yml"
        pages = folder / "pages"
        pages.mkdir()
        written = {
            "site_name": "Handbook",
            "docs_dir": str(pages),
            "plugins": [{"slackloop": {"job": str(job_path.resolve())}}],
        }
        settings.write_text(yaml.safe_dump(written), encoding="utf-8")
        serve(config_file=str(settings), livereload=True, watch=[], dev_addr=f"{HOST}:{port}")


def _try_address(port: int) -> None:
    """Listen at the address for a moment, as the server will."""
    with socket.socket() as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((HOST, port))
            trial.listen()
        except (OSError, OverflowError) as problem:
            why = (getattr(problem, "strerror", None) or "there are ports 1 to 65535").lower()
            raise AddressTaken(f"http://{HOST}:{port}/ cannot be used: {why}. Name another with --port.") from None


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


os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
WATCHED = ("content", "site_data")
MAKER = "slackloop.pipeline.standard_folder"
"""The module that makes a book of a job file; it comes after this one, so it is named and not imported."""


class Maker(Protocol):
    """What that module gives."""

    def preview(self, path: Path) -> tuple[Pages, dict[str, bytes]]:
        """The book and the files beside its pages; raises ``NotMade`` with what was found."""


class NotMade(Exception):
    """There is no book; ``findings`` say why."""

    def __init__(self, findings: tuple[object, ...]) -> None:
        super().__init__(f"{len(findings)} findings")
        self.findings = findings


class JobSettings(Config):  # type: ignore[no-untyped-call]  # MkDocs' own base is untyped there
    """Settings of the plugin in ``mkdocs.yml``."""

    job = config_options.Type(str)
    """The job file, from the folder that holds ``mkdocs.yml``."""


class SlackloopPlugin(BookSite, BasePlugin[JobSettings]):  # type: ignore[no-untyped-call]  # as above
    """Shows the handbook of one job file."""

    command: str = "build"

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Keeps this plugin over the rebuilds of a preview, and remembers that it is one."""
        self.command = command

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read the job first: its facts are the site's name and head."""
        maker: Maker = import_module(MAKER)
        try:
            book, files = maker.preview(self._job_file(config))
            self.show(book, files=files)
        except NotMade as refused:
            if self.command != "serve":
                raise PluginError(_lines(refused)) from refused
            self.show(error_book(self.config.job, refused.findings))
        return super().on_config(config)

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: object) -> LiveReloadServer:
        """Build again when the job, what the handbook says or what it knows changes."""
        job = self._job_file(config)
        top = Path(config.config_file_path).parent
        server.watch(str(job))
        watch_folder(server, job.parent / "content")
        for watched in (top / name for name in WATCHED):
            if watched.exists():
                server.watch(str(watched))
        return server

    def _job_file(self, config: MkDocsConfig) -> Path:
        return (Path(config.config_file_path).parent / self.config.job).resolve()


def _lines(refused: NotMade) -> str:
    return "\n".join(str(getattr(finding, "message", finding)) for finding in refused.findings) or str(refused)
