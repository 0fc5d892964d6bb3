"""The settings of the website, the same for the command and for plain ``mkdocs build``.

Mends of the theme's own HTML and script: what it leaves undone for a screen reader and for a memory stick.

Each mend must find its place, so that a new theme release that moved it is noticed at once and not by a reader.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from types import CodeType
from typing import TYPE_CHECKING, Any

from jinja2 import BytecodeCache, Environment, FileSystemLoader
from jinja2.bccache import Bucket
from mkdocs.plugins import get_plugins
from mkdocs.theme import Theme

from slackloop.document.boxes.card import SHORT_FINGERPRINT
from slackloop.document.page import DocumentHeader
from slackloop.language.messages import language, said
from slackloop.render.html.page import escaped

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig


THEME_FOLDER = Path(__file__).parent / "theme"
SEARCH = "material/search"
SCRIPTS = (
    "boxes", "units", "handbook", "box-field", "plan", "store", "reading", "compared", "standing",
    "record-file", "signatures", "entries", "record-bar",
)  # fmt: skip
"""In the order in which each finds what it needs of those before it."""
FEATURES = (
    "navigation.prune", "navigation.indexes", "navigation.footer", "navigation.top", "toc.follow", "search.highlight",
)  # fmt: skip
PALETTE = (
    ("light", "default", "night", "Switch to the dark theme"),
    ("dark", "slate", "sunny", "Switch to the light theme"),
)
"""What the reader's device asks for, the theme's own name for it, and the sign and words of the way to the other."""


def apply_settings(
    config: MkDocsConfig, header: DocumentHeader, *, address: str, files: Sequence[str], box_list: str = ""
) -> None:
    """Set everything but the pages; ``files`` lie beside them, ``box_list`` is the page of all boxes, if any."""
    config.site_name = escaped(f"{header.site}: {header.title}")
    config.site_description = escaped(f"{header.name} {header.number}, {said('revision')} {header.revision}")
    config.site_author = escaped(header.contractor)
    config.site_url = address.rstrip("/") + "/" if address else ""
    config.use_directory_urls = False
    config.repo_url = None
    config.edit_uri = None
    config.copyright = None
    config.theme = _theme()
    config["markdown_extensions"] = []  # pages come finished
    config["mdx_configs"] = {"toc": {"title": said("On this page")}}
    config.extra_css = ["assets/look/frame.css", "assets/look/blocks.css"]
    config["extra_javascript"] = [f"assets/look/{name}.js" for name in SCRIPTS]
    config.extra.update(
        generator=False,
        said=said,
        homepage="index.html",
        box_list=box_list,
        polyfills=["assets/look/iframe-worker.js"],
        document=_document(header, [name for name in files if name.endswith(".pdf")]),
    )
    if SEARCH not in config.plugins:
        _add_search(config)


class _Compiled(BytecodeCache):
    """Templates that were compiled for an earlier site of this process: another language, or a preview made anew."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[str, CodeType]] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        checksum, code = self._known.get(bucket.key, ("", None))
        if checksum == bucket.checksum:
            bucket.code = code

    def dump_bytecode(self, bucket: Bucket) -> None:
        if bucket.code is not None:
            self._known[bucket.key] = bucket.checksum, bucket.code


_COMPILED = _Compiled()


class _ThemeFiles(FileSystemLoader):
    """The theme's files but those in folders with a dot, which are ten thousand icons and never published."""

    def list_templates(self) -> list[str]:
        found: set[str] = set()
        for top in map(Path, self.searchpath):
            for folder, inside, names in os.walk(top):
                inside[:] = [name for name in inside if not name.startswith(".")]
                found.update(Path(folder, name).relative_to(top).as_posix() for name in names)
        return sorted(found)


class _Theme(Theme):
    def get_env(self) -> Environment:
        env = super().get_env()
        env.loader, env.bytecode_cache = _ThemeFiles(self.dirs), _COMPILED
        return env


def _theme() -> Theme:
    theme = _Theme(
        name="material",
        custom_dir=str(THEME_FOLDER),
        language=language(),
        font=False,
        features=list(FEATURES),
        palette=[_palette(*entry) for entry in PALETTE],
        favicon="assets/look/mark.svg",
        logo="assets/look/mark.svg",
        icon={},
    )
    theme.static_templates.clear()
    return theme


def _palette(asked: str, scheme: str, sign: str, name: str) -> dict[str, Any]:
    toggle = {"icon": f"material/weather-{sign}", "name": said(name)}
    media = f"(prefers-color-scheme: {asked})"
    return {"media": media, "scheme": scheme, "primary": "custom", "accent": "custom", "toggle": toggle}


def _document(header: DocumentHeader, printed: list[str]) -> dict[str, Any]:
    return asdict(header) | {"short_fingerprint": header.fingerprint[:SHORT_FINGERPRINT], "printed": printed}


def _add_search(config: MkDocsConfig) -> None:
    """The theme's stock search, loaded by its registered name."""
    plugin = get_plugins()[SEARCH].load()()
    errors, _ = plugin.load_config({"lang": ["en"]}, config_file_path=config.config_file_path)
    if errors:
        raise RuntimeError(f"The search plugin refused its settings: {errors}")
    config.plugins[SEARCH] = plugin


# The theme's own translation gives its words.
PAGE_MENDS = (
    ('data-md-component="search" role="dialog"', 'data-md-component="search" role="dialog" aria-label="Search"'),
    ('<nav class="md-search__options" aria-label="Search">', '<div class="md-search__options">'),
    ('alt="logo"', 'alt=""'),
)

SEARCH_SCRIPT = re.compile(r'location\.protocol==="file:"\?(?=\w+\(`\$\{new URL\("search/search_index\.js")')


class ThemeChanged(Exception):
    """The theme's HTML no longer holds a place that must be mended; the message quotes it."""


def mend_page(html: str) -> str:
    """A whole page with the theme's stock faults mended; raises ``ThemeChanged`` where one is not found."""
    for stock in PAGE_MENDS:
        found, mended = (each.replace('"Search"', f'"{said("Search")}"') for each in stock)
        if found not in html:
            raise ThemeChanged(f"The theme's page no longer holds {found!r}.")
        html = html.replace(found, mended)
    if "<pre" not in html:
        # A fifth of each page was the indent of the theme's templates.
        html = "\n".join(map(str.strip, html.splitlines()))
    options = html.index('<div class="md-search__options">')
    end = html.index("</nav>", options)
    return html[:end] + "</div>" + html[end + len("</nav>") :]


def mend_search_script(script: str) -> tuple[str, bool]:
    """The theme's script reading the search index as a script everywhere, and whether that could be done.

    The stock script reads ``search_index.js`` from a folder and ``search_index.json`` from a host. With
    this mend one file serves both; without it a host needs the second file.
    """
    mended, found = SEARCH_SCRIPT.subn("!0?", script)
    return mended, found == 1


SEARCH_WORKER = ("e=e+s+o.id}return e", 'e=e+s+o.id+";"}return e')


def mend_search_worker(script: str) -> str:
    """The theme's search with each state of its words told apart; raises ``ThemeChanged`` where that is not found.

    The stock search joins letters and numbers of states to one name without a sign between, so that two states may have
    one name where words hold digits, as ours do. A search for their beginning then fails.
    """
    found, mended = SEARCH_WORKER
    if script.count(found) != 1:
        raise ThemeChanged(f"The theme's search no longer holds {found!r} once.")
    return script.replace(found, mended)
