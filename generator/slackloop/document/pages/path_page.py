"""The path as drawings, each once: the site plan and the one-line diagram, and the volts along it."""

from __future__ import annotations

from types import MappingProxyType

from slackloop.document.blocks import Block, Heading, Paragraph
from slackloop.document.inline import line
from slackloop.document.inserts import Home, Inserts
from slackloop.document.page import Page
from slackloop.document.target import PageTarget

PAGE = "design/path"
VOLTS_PAGE = "design/volts"
TITLES: MappingProxyType[str, str] = MappingProxyType({
    "site-plan": "Site plan", "path-diagram": "One-line diagram", "volts-along-path": "Volts along the path",
})  # fmt: skip
PATH_DRAWINGS: MappingProxyType[str, Home] = MappingProxyType({
    name: Home(title, PageTarget(VOLTS_PAGE if name == "volts-along-path" else PAGE, name))
    for name, title in TITLES.items()
})
"""Where each drawing of the path stands."""


def path_page(inserts: Inserts) -> Page:
    """What the path looks like; a drawing that the job has nothing for is left out."""
    blocks = [block for name in ("site-plan", "path-diagram") for block in _drawn(inserts, name)]
    return Page(PAGE, "The path", tuple(blocks), "drawing", "method", ("Design",), "Site plan and one-line diagram")


def volts_page(inserts: Inserts) -> tuple[Page, ...]:
    """Volts along the path; no page where they cannot be drawn."""
    blocks = _drawn(inserts, "volts-along-path")
    if not blocks:
        return ()
    return (Page(VOLTS_PAGE, "Volts along the path", blocks, "drawing", "design", ("Design",), "Volts at each box"),)


def _drawn(inserts: Inserts, name: str) -> tuple[Block, ...]:
    """The drawings of a name under their title; on a screen with what they say in words, which print holds unseen."""
    drawings = inserts.drawings(name)
    if not drawings:
        return ()
    title = Heading(2, line(TITLES[name]), name)
    return (title, *drawings, Paragraph(line(drawings[0].description.partition(" Sheet 1 of ")[0]), "screen"))
