"""The settings of the website, the same for the command and for plain ``mkdocs build``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from mkdocs.plugins import get_plugins
from mkdocs.theme import Theme

from slackloop.handbook.page import DocumentHeader
from slackloop.publish.website_menu import escaped

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

THEME_FOLDER = Path(__file__).parent / "assets" / "theme"
SEARCH = "material/search"
SHORT_FINGERPRINT = 12
"""How many signs of the fingerprint stand in the strip; the foot of the page has it in full."""

FEATURES = (
    "navigation.prune",
    "navigation.indexes",
    "navigation.path",
    "navigation.footer",
    "navigation.top",
    "toc.follow",
    "search.highlight",
)
PALETTE = (
    {
        "media": "(prefers-color-scheme: light)",
        "scheme": "default",
        "primary": "custom",
        "accent": "custom",
        "toggle": {"icon": "material/weather-night", "name": "Switch to the dark theme"},
    },
    {
        "media": "(prefers-color-scheme: dark)",
        "scheme": "slate",
        "primary": "custom",
        "accent": "custom",
        "toggle": {"icon": "material/weather-sunny", "name": "Switch to the light theme"},
    },
)


def apply_settings(config: MkDocsConfig, facts: DocumentHeader, *, address: str, pdf: str) -> None:
    """Set everything but the pages; ``pdf`` is the address of the printable copy in the site, or empty."""
    config.site_name = escaped(f"{facts.site}: {facts.title}")
    config.site_description = escaped(f"{facts.name} {facts.number}, revision {facts.revision}")
    config.site_author = escaped(facts.contractor)
    config.site_url = address.rstrip("/") + "/" if address else ""
    config.use_directory_urls = False
    config.repo_url = None
    config.edit_uri = None
    config.copyright = None
    config.theme = _theme()
    config["markdown_extensions"] = []  # pages are rendered by publish.markup, the same for website and print
    config["mdx_configs"] = {"toc": {"title": "On this page"}}
    config.extra_css = ["assets/look/handbook.css"]
    config["extra_javascript"] = ["assets/look/handbook.js"]
    config.extra.update(
        generator=False,
        homepage="index.html",
        polyfills=["assets/look/iframe-worker.js"],
        document=_document(facts, pdf),
    )
    if SEARCH not in config.plugins:
        _add_search(config)


def _theme() -> Theme:
    theme = Theme(
        name="material",
        custom_dir=str(THEME_FOLDER),
        language="en",
        font=False,
        features=list(FEATURES),
        palette=[dict(entry) for entry in PALETTE],
        favicon="assets/look/mark.svg",
        logo="assets/look/mark.svg",
        icon={},
    )
    theme.static_templates.clear()
    return theme


def _document(facts: DocumentHeader, pdf: str) -> dict[str, Any]:
    return {
        "number": facts.number,
        "title": facts.title,
        "site": facts.site,
        "revision": facts.revision,
        "date": facts.date,
        "status": facts.status,
        "fingerprint": facts.fingerprint,
        "short_fingerprint": facts.fingerprint[:SHORT_FINGERPRINT],
        "draft": facts.draft,
        "contractor": facts.contractor,
        "pdf": pdf,
    }


def _add_search(config: MkDocsConfig) -> None:
    """The theme's stock search, loaded by its registered name."""
    plugin = get_plugins()[SEARCH].load()()
    errors, _ = plugin.load_config({"lang": ["en"]}, config_file_path=config.config_file_path)
    if errors:
        raise RuntimeError(f"The search plugin refused its settings: {errors}")
    config.plugins[SEARCH] = plugin
