"""What sections, registers and lists are made from: a job's handbook and a firm's standard each give it."""

from __future__ import annotations

from typing import Protocol

from slackloop.document.prose import ProseReader
from slackloop.sections.page_source import PageSource as SectionSource


class PageSource(SectionSource, Protocol):
    """The content that applies, with its text as blocks and lines."""

    @property
    def prose(self) -> ProseReader:
        """Content text as blocks and lines."""
