"""The adapter between the handbook's pages and MkDocs: pages go in, a trimmed and mended site comes out."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Protocol

from mkdocs.plugins import CombinedEvent, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.toc import get_toc

from slackloop.handbook.page import DocumentHeader, Page
from slackloop.publish.markup import render, with_drawings
from slackloop.publish.website_boxes import BOX_LIST, box_list, with_box_field
from slackloop.publish.website_mend import mend_content, mend_links, mend_page, mend_search_script, with_contents
from slackloop.publish.website_menu import check_pages, escaped, menu
from slackloop.publish.website_search import searchable
from slackloop.publish.website_settings import apply_settings

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.nav import Navigation
    from mkdocs.structure.pages import Page as SitePage
    from mkdocs.utils.templates import TemplateContext

PDF_NAME = "handbook.pdf"
HIDDEN: Mapping[str, list[str]] = {"start": ["toc", "path"], "table": ["toc"], "register": ["toc"]}
"""What the theme leaves out: wide tables get the room of the list of parts, which folds away under the title."""
NO_FILES: Mapping[str, bytes] = MappingProxyType({})
Progress = Callable[[str, int, int], None]
"""Called with the name of the work, how much is done, and how much there is."""


class Pages(Protocol):
    """What the website needs of a book."""

    @property
    def pages(self) -> Sequence[Page]: ...

    @property
    def facts(self) -> DocumentHeader: ...


class BookSite:
    """The events that feed one book to MkDocs. ``show`` sets the book before each build."""

    book: Pages | None = None
    address: str = ""
    pdf: Path | None = None
    files: Mapping[str, bytes] = NO_FILES
    progress: Progress | None = None

    def show(
        self,
        book: Pages,
        *,
        address: str = "",
        pdf: Path | None = None,
        files: Mapping[str, bytes] | None = None,
        progress: Progress | None = None,
    ) -> None:
        """The book that the next build publishes, with ``files`` by their address beside its pages.

        Raises ``PagesRefused`` where its pages clash.
        """
        check_pages(book.pages)
        self.book, self.address, self.pdf, self.progress = book, address, pdf, progress
        self.files = files or NO_FILES
        self._by_uri = {page.uri: page for page in book.pages}
        self._done = 0
        self._box_list = box_list(book.pages)

    @property
    def shown(self) -> Pages:
        """The book set by ``show``."""
        if self.book is None:
            raise RuntimeError("No book was set before the build.")
        return self.book

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Settings come first, so that the search and the theme see them."""
        apply_settings(config, self.shown.facts, address=self.address, pdf=PDF_NAME if self.pdf else "")
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """The site's files: those of the theme that a reader needs, and the book's pages."""
        kept = Files([file for file in files if file.src_dir in config.theme.dirs and _is_needed(file.src_uri)])
        for page in self.shown.pages:
            level = InclusionLevel.INCLUDED if page.listed else InclusionLevel.NOT_IN_NAV
            kept.append(File.generated(config, page.uri, content="", inclusion=level))
        if self.pdf:
            kept.append(File.generated(config, PDF_NAME, abs_src_path=str(self.pdf)))
        for uri, data in self.files.items():
            kept.append(File.generated(config, uri, content=data))
        if self._box_list:
            kept.append(File.generated(config, BOX_LIST, content=self._box_list))
        config.nav = menu(self.shown.pages)
        return kept

    def on_page_markdown(self, markdown: str, *, page: SitePage, config: MkDocsConfig, files: Files) -> str:
        """The page's facts. Its text is not given here: MkDocs would read the first lines as settings."""
        source = self._by_uri[page.file.src_uri]
        page.meta = {"title": escaped(source.title), "kind": source.kind, "facts": dict(source.meta)}
        if source.description:
            page.meta["description"] = escaped(source.description)
        page.meta["hide"] = HIDDEN.get(source.kind, [])
        return ""

    def on_page_content(self, html: str, *, page: SitePage, config: MkDocsConfig, files: Files) -> str:
        """The rendered page, mended, with its parts listed and its drawings left out until it is written."""
        source = self._by_uri[page.file.src_uri]
        rendered = render(source.markdown)
        page.toc = get_toc([*rendered.headings])  # type: ignore[list-item]  # MkDocs keeps the type to itself
        text = mend_content(rendered.marked)
        if self._box_list:
            text = with_box_field(text, source)
        if source.kind == "start":
            return text
        titles = [heading for top in page.toc for heading in (top.children if top.level == 1 else [top])]
        headings = [(heading.id, heading.title) for heading in titles]
        return with_contents(text, headings, at_any_width=source.kind in HIDDEN)

    @event_priority(100)
    def _before_search(
        self, context: TemplateContext, *, page: SitePage, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Let the search see the words only."""
        self._content = page.content or ""
        page.content = searchable(self._content, self._by_uri[page.file.src_uri].kind)
        return context

    @event_priority(-100)
    def _after_search(
        self, context: TemplateContext, *, page: SitePage, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Give the page back what it shows."""
        page.content = self._content
        return context

    on_page_context = CombinedEvent(_before_search, _after_search)

    def on_post_page(self, output: str, *, page: SitePage, config: MkDocsConfig) -> str:
        """The whole page with the theme's faults mended and its drawings put back."""
        self._done += 1
        if self.progress:
            self.progress("pages", self._done, len(self._by_uri))
        drawings = render(self._by_uri[page.file.src_uri].markdown).drawings
        return with_drawings(mend_page(output), [mend_links(drawing) for drawing in drawings])

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """One search index serves a folder and a host alike."""
        site = Path(config.site_dir)
        index = site / "search" / "search_index.json"
        text = index.read_text(encoding="utf-8")
        index.with_suffix(".js").write_text(f"var __index = {text}", encoding="utf-8")
        mended = [_mend_script(script) for script in sorted((site / "assets" / "javascripts").glob("bundle.*.js"))]
        if mended and all(mended):
            index.unlink()


def _mend_script(script: Path) -> bool:
    text, mended = mend_search_script(script.read_text(encoding="utf-8"))
    if mended:
        script.write_text(text, encoding="utf-8")
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
