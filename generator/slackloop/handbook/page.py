"""One finished page of the handbook, and the facts of the document that stand on every page.

Pages are plain data. The website and the print stage read the same pages, and neither of them
decides what a page says.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

PageKind = Literal["start", "section", "safety", "table", "box", "register", "drawing", "document", "index"]

NO_META: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Page:
    """One page: where it stands, what it is called and what it says.

    ``uri`` ends in ``.md`` and uses forward slashes, as ``method/opening-the-jacket.md``.
    ``title``, ``description`` and ``navigation`` are plain text: whoever writes them into HTML
    escapes them. ``markdown`` is finished and escaped already.
    """

    uri: str
    title: str
    markdown: str
    navigation: tuple[str, ...] = ()
    """Titles of the parents in the menu, outermost first; empty for the top level."""
    kind: PageKind = "section"
    meta: Mapping[str, str] = field(default_factory=lambda: NO_META)
    listed: bool = True
    """Whether the page stands in the menu; a page outside it is still built and can be linked."""
    description: str = ""


@dataclass(frozen=True, slots=True)
class DocumentHeader:
    """What tells one copy of the document from another; plain text, shown on every page."""

    number: str
    title: str
    site: str
    revision: str
    date: str
    """Date of the revision, as 2026-03-02."""
    status: str
    fingerprint: str
    """The hash of job, content and tables that this copy was made from, in full."""
    draft: bool
    """True for a job that fails its checks or whose status is draft: marked on every page."""
    contractor: str
    name: str = "Installation handbook"
    """What kind of document this is."""
    open_questions: int = 0
    """Warnings that ask somebody and have no answer: counted on the first page."""
