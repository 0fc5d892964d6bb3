"""The MkDocs plugin: plain ``mkdocs build`` and ``mkdocs serve`` show a job's handbook.

It publishes through the same adapter as the command, and sets everything itself, so that ``mkdocs.yml`` names the
plugin and the job and nothing else.
"""

from __future__ import annotations

import os
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Literal, Protocol

from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority

from slackloop.document.pages.error_page import error_book
from slackloop.render.html.adapter import BookSite, Pages
from slackloop.render.html.website_watch import watch_folder

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
WATCHED = ("content", "site_data")
MAKER = "slackloop.pipeline.preview"
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
