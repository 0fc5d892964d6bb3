"""One page of the document, and the facts of the document that stand on every page.

What sections, registers and lists are made from: a job's handbook and a firm's standard each give it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from slackloop.document.blocks import Blocks
from slackloop.document.inline import Line
from slackloop.document.markdown import ProseReader
from slackloop.sections.page_source import PageSource as SectionSource

PageKind = Literal[
    "start", "section", "safety", "emergency", "trouble", "table", "box", "register", "drawing", "document", "index",
]  # fmt: skip
BookPart = Literal["method", "design", "inspection", "handover", "document"]


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its id (``method/waterproof-splice``, which is its address without an ending), title and blocks.

    ``navigation`` holds the titles of its parents in the menu, outermost first. ``part`` is the part of the printed
    handbook that it belongs to; ``screen`` and ``paper`` say where it is shown.
    """

    id: str
    title: str
    blocks: Blocks
    kind: PageKind = "section"
    part: BookPart = "method"
    navigation: tuple[str, ...] = ()
    description: str = ""
    heading: Line = ()
    """The title as shown on the page, where it holds more than words; else ``title``."""
    listed: bool = True
    """Whether the page is in the menu; a page outside it is still built and can be linked."""
    screen: bool = True
    paper: bool = True
    box: str = ""
    """The id of the box that the page is about."""
    search: tuple[str, ...] = ()
    """What people type who look for this page, where its title has other words."""
    found_last: bool = False
    """Whether the search shows this page after others that have the words in their titles."""
    values: tuple[tuple[str, str], ...] = ()
    """What sections show of that box, by the names of ``boxes.box_values``."""
    language: str = "en"


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
    open_questions: int = 0
    name: str = "Installation handbook"
    """What kind of document this is."""
    results: str = ""
    """That this copy holds results besides, how many and up to which day; empty where it does not."""


class PageSource(SectionSource, Protocol):
    """The content that applies, with its text as blocks and lines."""

    @property
    def prose(self) -> ProseReader:
        """Content text as blocks and lines."""
