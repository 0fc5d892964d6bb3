"""The menu: our own entries, which are kept from page to page, against those of the theme."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from render.site_samples import SampleBook, sample_book
from slackloop.document.blocks import Paragraph
from slackloop.document.inline import line
from slackloop.document.page import Page
from slackloop.render.html import settings
from slackloop.render.html.site import build_site


def pages(site: Path) -> dict[str, str]:
    """Each page without its white space."""
    return {
        path.relative_to(site).as_posix(): "".join(path.read_text(encoding="utf-8").split())
        for path in site.rglob("*.html")
    }  # fmt: skip


def test_the_menu_is_what_the_themes_own_templates_write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    more = (
        Page("method/index", "Method", (Paragraph(line("All of it.")),), "section", "method", ("Method",)),
        Page("safety/lightning", "Lightning", (Paragraph(line("Stop.")),), "section", "method", ("More", "Safety")),
    )
    book = SampleBook((*sample_book(5).pages, *more))
    build_site(book, tmp_path / "ours")
    bare = tmp_path / "theme"
    shutil.copytree(settings.THEME_FOLDER, bare)
    (bare / "partials" / "nav-item.html").unlink()
    monkeypatch.setattr(settings, "THEME_FOLDER", bare)
    build_site(book, tmp_path / "theirs")
    ours, theirs = pages(tmp_path / "ours"), pages(tmp_path / "theirs")
    assert ours == theirs
    assert any("md-nav__item--pruned" in page for page in ours.values()), "No group is shut on any page."
    assert any("md-nav__container" in page for page in ours.values()), "No group has a page of its own."
