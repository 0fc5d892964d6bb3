"""The adapter between finished pages and MkDocs: pages go in, a trimmed site comes out."""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Protocol

from mkdocs.plugins import event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.toc import AnchorLink, TableOfContents

from slackloop.document.blocks import Form
from slackloop.document.boxes.stages import LIST_PAGE
from slackloop.document.inline import OtherLanguage, plain
from slackloop.document.page import DocumentHeader, Page
from slackloop.language.messages import ENGLISH, TRANSLATED, language
from slackloop.render.html.inline import VALUES_FILE, Place
from slackloop.render.html.page import escaped, menu, page_html, page_parts, searched, source_name
from slackloop.render.html.settings import SEARCH, apply_settings, mend_page, mend_search_script, mend_search_worker
from slackloop.site.site_contacts import NAMES
from slackloop.source.source_file import write_file
from slackloop.units.unit_table import spellings

if TYPE_CHECKING:
    from jinja2 import Environment
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.nav import Navigation
    from mkdocs.structure.pages import Page as SitePage
    from mkdocs.utils.templates import TemplateContext

BOX_LIST = "assets/look/boxes.js"
UNIT_LIST = "assets/look/units.js"
WRITTEN_IN = frozenset({"length", "volts", "resistance", "temperature"})
"""The dimensions of what is measured on site."""
HIDDEN: Mapping[str, list[str]] = {"start": ["toc"], "table": ["toc"], "register": ["toc"], "box": ["toc", "footer"]}
"""What the theme leaves out: wide tables get the room of the list of parts; a box has its own way on."""
FOUND_LAST = 0.01
"""What the words of such a page weigh: its titles less than those of other pages, and more than words of their text."""
NO_FILES: Mapping[str, bytes] = MappingProxyType({})


class Pages(Protocol):
    """What the website needs of a book."""

    @property
    def pages(self) -> Sequence[Page]: ...

    @property
    def header(self) -> DocumentHeader: ...


class BookSite:
    """The events that feed one book to MkDocs. ``show`` sets the book before each build."""

    book: Pages | None = None
    address: str = ""
    files: Mapping[str, bytes] = NO_FILES
    also: frozenset[str] = frozenset()
    scripts: Mapping[str, str] = MappingProxyType({})

    def show(
        self, book: Pages, *, address: str = "", files: Mapping[str, bytes] | None = None,
        also: frozenset[str] = frozenset(), scripts: Mapping[str, str] | None = None,
    ) -> None:  # fmt: skip
        """The book that the next build publishes, with ``files`` by their address beside its pages.

        ``also`` are the pages that there are in the other language too; ``scripts`` what the pages' scripts say.
        """
        self.book, self.address = book, address
        self.files = files or NO_FILES
        self.also, self.scripts = also, scripts or {}
        self._pages = tuple(page for page in book.pages if page.screen)
        self._by_name = {source_name(page): page for page in self._pages}

    @property
    def shown(self) -> Pages:
        """The book set by ``show``."""
        if self.book is None:
            raise RuntimeError("No book was set before the build.")
        return self.book

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Settings come first, so that the search and the theme see them."""
        boxes = any(page.id == LIST_PAGE for page in self._pages)
        apply_settings(
            config, self.shown.header, address=self.address, files=tuple(self.files),
            box_list=f"{LIST_PAGE}.html" if boxes else "",
        )  # fmt: skip
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """The site's files: those of the theme that a reader needs, and the book's pages."""
        kept = Files([file for file in files if file.src_dir in config.theme.dirs and _is_needed(file.src_uri)])
        for page in self._pages:
            level = InclusionLevel.INCLUDED if page.listed else InclusionLevel.NOT_IN_NAV
            kept.append(File.generated(config, source_name(page), content="", inclusion=level))
        for uri, data in self.files.items():
            kept.append(File.generated(config, uri, content=data))
        boxes = [[page.box, f"{page.id}.html"] for page in self._pages if page.box]
        listed = f"window.boxPages = {json.dumps(boxes)};\nwindow.boxSigns = {json.dumps(_signatures(self._pages))};\n"
        kept.append(File.generated(config, BOX_LIST, content=listed))
        kept.append(File.generated(config, UNIT_LIST, content=_units()))
        kept.append(File.generated(config, VALUES_FILE, content=_box_values(self._pages)))
        config.nav = menu(self._pages)
        return kept

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Room for the entries of the menu that are the same from page to page."""
        env.globals["menu_kept"] = {}
        return env

    def on_page_markdown(self, markdown: str, *, page: SitePage, config: MkDocsConfig, files: Files) -> str:
        """The page's facts; its text is not given here, as MkDocs would read its first lines as settings."""
        source = self._by_name[page.file.src_uri]
        page.meta = {
            "title": escaped(source.title), "kind": source.kind, "box": source.box, "language": source.language,
            "hide": HIDDEN.get(source.kind, []),
        }  # fmt: skip
        if source.id in self.also:
            page.meta["other"] = _other(source.id)
        if source.search:
            page.meta["tags"] = list(source.search)
        if source.found_last:
            page.meta["boost"] = FOUND_LAST
        page.meta["search"] = {"exclude": True}  # its words come from its blocks, not from its HTML
        if source.description:
            page.meta["description"] = escaped(source.description)
        return ""

    def on_page_content(self, html: str, *, page: SitePage, config: MkDocsConfig, files: Files) -> str:
        """The parts of the page; what it shows is put in its place when the theme asks for it."""
        source = self._by_name[page.file.src_uri]
        parts = [AnchorLink(escaped(plain(part.line)), part.anchor, 2) for part in page_parts(source)]
        page.toc = TableOfContents(parts)
        return ""

    @event_priority(-100)
    def on_page_context(
        self, context: TemplateContext, *, page: SitePage, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Give the page what it shows, and the search its words."""
        source = self._by_name[page.file.src_uri]
        facts = {key: value for key in ("tags", "boost") if (value := page.meta.get(key))}
        config.plugins[SEARCH].search_index.entries += [  # type: ignore[attr-defined]
            {"location": page.url + (f"#{each.anchor}" if each.anchor else ""), "title": each.title, "text": each.text}
            | facts
            for each in searched(source)
        ]
        page.content = page_html(source)
        return context

    def on_post_page(self, output: str, *, page: SitePage, config: MkDocsConfig) -> str:
        """The whole page with the theme's faults mended; its content is let go."""
        page.content = ""
        return mend_page(output)

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """One search index serves a folder and a host alike."""
        site = Path(config.site_dir)
        index = site / "search" / "search_index.json"
        text = index.read_text(encoding="utf-8")
        write_file(index.with_suffix(".js"), f"var __index = {text}")
        mended = [_mend_script(script) for script in sorted((site / "assets" / "javascripts").glob("bundle.*.js"))]
        if mended and all(mended):
            index.unlink()
        for worker in sorted((site / "assets" / "javascripts" / "workers").glob("search.*.js")):
            write_file(worker, mend_search_worker(worker.read_text(encoding="utf-8")))
        for look in sorted((site / "assets" / "look").glob("*.[jc]s*")):
            text = _REMARK.sub("", look.read_text(encoding="utf-8"))
            write_file(look, _said_script(text, self.scripts) if look.suffix == ".js" else text)


def _other(page: str) -> dict[str, str]:
    """The way to a page in the other language: its address from here, and how its readers call that language."""
    other = TRANSLATED[0] if language() == ENGLISH else ENGLISH
    folder = f"{other}/" if language() == ENGLISH else "../"
    return {
        "href": Place(page).address(OtherLanguage(f"{folder}{page}")), "language": other, "name": NAMES[other],
    }  # fmt: skip


_REMARK = re.compile(r"^[ \t]*/\*(?!!).*?\*/[ \t]*\n", re.MULTILINE | re.DOTALL)
"""A remark in a script or a style sheet of ours, on lines of its own: it is for who works on it, not for a reader."""


def _said_script(script: str, words: Mapping[str, str]) -> str:
    """A script with its literals in another language, the longest first."""
    for english in sorted(words, key=len, reverse=True):
        script = script.replace(english, words[english])
    return script


def _box_values(pages: Sequence[Page]) -> str:
    """What sections show of each box, as a script: by name each text once, and the number of the text of each box."""
    texts: dict[str, dict[str, int]] = {}
    boxes: dict[str, dict[str, int]] = {}
    for page in pages:
        for name, text in page.values:
            told = texts.setdefault(name, {})
            boxes.setdefault(name, {})[page.box] = told.setdefault(text, len(told))
    values = {name: {"texts": list(told), "boxes": boxes[name]} for name, told in texts.items()}
    return f"window.boxValues = {json.dumps(values, separators=(',', ':'))};\n"


def _signatures(pages: Sequence[Page]) -> list[tuple[tuple[str, ...], list[str]]]:
    """The signatures that make a box done, by the names of their checks, each with the boxes and runs that have them.

    Those with none have no work and are left out.
    """
    found: dict[tuple[str, ...], list[str]] = {}
    for page in pages:
        forms = [block for block in page.blocks if isinstance(block, Form)] if page.box else []
        signs = tuple(each.id for form in forms for each in form.fields if each.kind == "sign")
        if signs:
            found.setdefault(signs, []).append(forms[0].subject)
    return list(found.items())


def _units() -> str:
    """The units that may be typed beside a number, as a script: dimension, factor and offset by spelling."""
    table = {
        name: (unit.dimension, float(unit.factor), float(unit.offset))
        for name, unit in spellings().items() if unit.dimension in WRITTEN_IN
    }  # fmt: skip
    return f"window.unitTable = {json.dumps(table, separators=(',', ':'))};\n"


def _mend_script(script: Path) -> bool:
    text, mended = mend_search_script(script.read_text(encoding="utf-8"))
    if mended:
        write_file(script, text)
    return mended


def _is_needed(uri: str) -> bool:
    """Source maps, a site map, other languages' search and the theme's own picture are not for a reader."""
    unneeded = ("assets/javascripts/lunr/", "assets/images/", "sitemap.xml")
    return not (uri.endswith(".map") or uri.startswith(unneeded))


class Collected(logging.Handler):
    """Keeps what MkDocs warns about, so that a warning fails the build and nothing is printed."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())
