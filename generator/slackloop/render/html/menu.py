"""The menu of the website: groups stand where their first page stands."""

from __future__ import annotations

import posixpath
from collections.abc import Sequence
from typing import Any

from markupsafe import Markup, escape

from slackloop.document.page import Page
from slackloop.language.messages import said

START = "index"
START_TITLE = "Start"
"""The first page in the menu: its own title is that of the job, which the head of the page has."""


def source_name(page: Page) -> str:
    """The name under which MkDocs knows a page."""
    return f"{page.id}.md"


def menu(pages: Sequence[Page]) -> list[dict[str, Any]]:
    """The menu as MkDocs reads it, titles escaped; the ``index`` page of a group leads its group."""
    top: list[dict[str, Any]] = []
    groups: dict[tuple[str, ...], list[dict[str, Any]]] = {(): top}
    for page in pages:
        if not page.listed:
            continue
        entries = _group(groups, page.navigation)
        entry: dict[str, Any] = {escaped(said(START_TITLE) if page.kind == "start" else page.title): source_name(page)}
        if posixpath.basename(page.id) == START and _lacks_index(entries):
            entries.insert(0, entry)
        else:
            entries.append(entry)
    return top


def escaped(text: str) -> Markup:
    """Plain text made safe for HTML, marked so that no template escapes it again."""
    return escape(str(text))


def _lacks_index(entries: list[dict[str, Any]]) -> bool:
    first = next(iter(entries[0].values())) if entries else ""
    return not (isinstance(first, str) and posixpath.basename(first) == f"{START}.md")


def _group(groups: dict[tuple[str, ...], list[dict[str, Any]]], path: tuple[str, ...]) -> list[dict[str, Any]]:
    if path not in groups:
        groups[path] = []
        _group(groups, path[:-1]).append({escaped(path[-1]): groups[path]})
    return groups[path]
