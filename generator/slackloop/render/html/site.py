"""Build the website of a book: a folder that works from a memory stick and fetches nothing."""

from __future__ import annotations

import logging
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException
from mkdocs.plugins import BasePlugin

from slackloop.render.html.adapter import BookSite, Collected, Pages


class NoSettings(Config):  # type: ignore[no-untyped-call]  # MkDocs' own base is untyped there
    """MkDocs wants a settings class of its own for each plugin."""


class CommandSite(BookSite, BasePlugin[NoSettings]):  # type: ignore[no-untyped-call]
    """The adapter as the command uses it: no settings of its own."""


class WebsiteFaulty(Exception):
    """The website was built with faults; ``faults`` names each, one line a fault."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = tuple(faults)


def build_site(
    book: Pages, folder: Path, *, address: str = "", files: Mapping[str, bytes] | None = None,
    also: frozenset[str] = frozenset(), scripts: Mapping[str, str] | None = None,
) -> None:  # fmt: skip
    """Write the website of ``book`` into ``folder``, which must be absent or empty.

    ``address`` is where the handbook will be hosted, if anywhere; ``files`` are put beside the pages by their address.
    ``also`` and ``scripts`` are as ``BookSite.show`` has them.
    The same book gives the same bytes. Raises ``FileExistsError`` for a folder that holds something, and
    ``WebsiteFaulty`` where MkDocs warned of anything.
    """
    folder = folder.resolve()
    if folder.exists() and any(folder.iterdir()):
        raise FileExistsError(f"{folder} is not empty.")
    site = CommandSite()
    site.show(book, address=address, files=files, also=also, scripts=scripts)
    with tempfile.TemporaryDirectory(prefix="slackloop-") as empty, _collected_warnings() as warnings:
        config = _bare_config(Path(empty), folder)
        config.plugins["slackloop"] = site
        try:
            build(config)
        except MkDocsException as error:
            raise WebsiteFaulty([*warnings, str(error)]) from error
    if warnings:
        raise WebsiteFaulty(warnings)


def _bare_config(source: Path, folder: Path) -> MkDocsConfig:
    """MkDocs' own defaults with no plugin; the adapter sets the rest."""
    config = MkDocsConfig(config_file_path=str(source / "mkdocs.yml"))
    pages = source / "pages"
    pages.mkdir()
    config.load_dict({"site_name": "handbook", "docs_dir": str(pages), "site_dir": str(folder), "plugins": {}})
    errors, warnings = config.validate()
    if errors or warnings:
        raise WebsiteFaulty([f"{key}: {message}" for key, message in [*errors, *warnings]])
    return config


@contextmanager
def _collected_warnings() -> Iterator[list[str]]:
    """Take MkDocs' warnings for the block, and keep them from the screen."""
    logger = logging.getLogger("mkdocs")
    handler = Collected()
    kept = logger.propagate, logger.level
    logger.propagate = False
    logger.setLevel(logging.WARNING)
    logger.addHandler(handler)
    try:
        yield handler.messages
    finally:
        logger.removeHandler(handler)
        logger.propagate = kept[0]
        logger.setLevel(kept[1])
