"""The MkDocs plugin: plain ``mkdocs build`` and ``mkdocs serve`` show a job's handbook.

It publishes through the same adapter as the command, and sets everything itself, so that
``mkdocs.yml`` names the plugin and the job and nothing else.
"""

from __future__ import annotations

import logging
import os
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority

from slackloop.publish.links import check_site
from slackloop.publish.website_error import error_book
from slackloop.publish.website_menu import PagesRefused
from slackloop.publish.website_pages import BookSite, Pages
from slackloop.publish.website_watch import watch_folder

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
LOG = logging.getLogger("mkdocs.plugins.slackloop")
WATCHED = ("content", "site_data")


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
        from slackloop.handbook.assemble import Refused, book_from_file
        from slackloop.handbook.book import Book
        from slackloop.handbook.content_finding import ContentError
        from slackloop.publish.schedules import schedule_files

        job = self._job_file(config)
        try:
            book: Pages = book_from_file(job)
            self.show(book, files=schedule_files(book) if isinstance(book, Book) else None)
        except (Refused, ContentError, PagesRefused) as refused:
            if self.command != "serve":
                raise PluginError(_lines(refused)) from refused
            self.show(error_book(self.config.job, getattr(refused, "findings", (refused,))))
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

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Finish the site, then check every address in it as the command does."""
        super().on_post_build(config=config)
        faults = check_site(Path(config.site_dir))
        if faults and self.command != "serve":
            raise PluginError("\n".join(str(fault) for fault in faults))
        for fault in faults:
            LOG.warning("%s", fault)

    def _job_file(self, config: MkDocsConfig) -> Path:
        return (Path(config.config_file_path).parent / self.config.job).resolve()


def _lines(refused: Exception) -> str:
    findings = getattr(refused, "findings", ())
    return "\n".join(str(getattr(finding, "message", finding)) for finding in findings) or str(refused)
