"""Where a link leads: a page of the document, a file beside it, or an address on the web."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PageTarget:
    """A place in the document: a page by its id, as ``method/waterproof-splice``, and an anchor on it or none."""

    page: str
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class FileTarget:
    """A file that lies beside the pages, as ``handbook.pdf``; paper names it and does not link to it."""

    name: str


@dataclass(frozen=True, slots=True)
class WebTarget:
    """An address outside the handbook, which only a firm's own content gives."""

    address: str


@dataclass(frozen=True, slots=True)
class OtherLanguage:
    """A page of the edition in another language, by its address without an ending from the folder of this one."""

    page: str
    anchor: str = ""


Target = PageTarget | FileTarget | WebTarget | OtherLanguage
