"""The menu of the website and the checks on page addresses: plain data, no MkDocs."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Sequence
from typing import Any

from markupsafe import Markup, escape

from slackloop.handbook.page import Page

START = "index.md"
SAFE_ADDRESS = re.compile(r"(?:[A-Za-z0-9_][A-Za-z0-9_.-]*/)*[A-Za-z0-9_][A-Za-z0-9_.-]*\.md")
OWN_FOLDERS = ("assets", "search")


class PagesRefused(Exception):
    """The pages cannot make one website; the message names the addresses."""


def html_address(uri: str) -> str:
    """Where a page's HTML goes: the theme writes ``index.html`` for a README too."""
    folder, name = posixpath.split(uri)
    stem = name.removesuffix(".md")
    return posixpath.join(folder, ("index" if stem == "README" else stem) + ".html")


def check_pages(pages: Sequence[Page]) -> None:
    """Raise ``PagesRefused`` where an address is unsafe, taken twice, or the start page is missing.

    Letters that differ only in size count as the same address: a memory stick does not tell them apart.
    """
    taken: dict[str, str] = {}
    for page in pages:
        if not SAFE_ADDRESS.fullmatch(page.uri):
            raise PagesRefused(f"The page {page.title!r} has the address {page.uri!r}, which no file can safely have.")
        if page.uri.split("/")[0].lower() in OWN_FOLDERS:
            raise PagesRefused(f"The page {page.uri!r} stands in a folder that the website keeps for itself.")
        address = html_address(page.uri).lower()
        if address in taken:
            raise PagesRefused(f"Two pages have one address: {taken[address]!r} and {page.uri!r}.")
        taken[address] = page.uri
    if not any(page.uri == START and page.listed and not page.navigation for page in pages):
        raise PagesRefused(f"There is no start page: {START!r} must stand at the top of the menu.")


def menu(pages: Sequence[Page]) -> list[dict[str, Any]]:
    """The menu as MkDocs reads it: titles are escaped, groups stand where their first page stands.

    The start page comes first. The ``index.md`` page of a group leads its group.
    """
    top: list[dict[str, Any]] = []
    groups: dict[tuple[str, ...], list[dict[str, Any]]] = {(): top}
    for page in pages:
        if not page.listed:
            continue
        entries = _group(groups, page.navigation)
        entry: dict[str, Any] = {escaped(page.title): page.uri}
        if posixpath.basename(page.uri) == START and _lacks_index(entries):
            entries.insert(0, entry)
        else:
            entries.append(entry)
    return top


def _lacks_index(entries: list[dict[str, Any]]) -> bool:
    """Whether no index page stands at the head of the entries yet."""
    first = next(iter(entries[0].values())) if entries else ""
    return not (isinstance(first, str) and posixpath.basename(first) == START)


def _group(groups: dict[tuple[str, ...], list[dict[str, Any]]], path: tuple[str, ...]) -> list[dict[str, Any]]:
    if path not in groups:
        groups[path] = []
        _group(groups, path[:-1]).append({escaped(path[-1]): groups[path]})
    return groups[path]


def escaped(text: str) -> Markup:
    """Plain text made safe for HTML, marked so that no template escapes it again."""
    return escape(str(text))
