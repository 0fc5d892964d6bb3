"""The path as drawings, each once: the site plan, the one-line diagram and the volts along it."""

from __future__ import annotations

from types import MappingProxyType

from slackloop.document.blocks import Block, Heading, Paragraph
from slackloop.document.inline import line
from slackloop.document.inserts import Home, Inserts
from slackloop.document.page import Page
from slackloop.document.target import PageTarget

PAGE = "design/path"
TITLES = MappingProxyType({
    "site-plan": "Site plan", "path-diagram": "One-line diagram", "volts-along-path": "Volts along the path",
})  # fmt: skip
PATH_DRAWINGS = MappingProxyType({name: Home(title, PageTarget(PAGE, name)) for name, title in TITLES.items()})
"""Where each drawing of the path stands."""


def path_page(inserts: Inserts) -> Page:
    """What the path looks like; a drawing that the job has nothing for is left out."""
    blocks: list[Block] = []
    for name, title in TITLES.items():
        drawings = inserts.drawings(name)
        if drawings:
            blocks.append(Heading(2, line(title), name))
            blocks += drawings
            blocks.append(Paragraph(line(drawings[0].description.partition(" Sheet 1 of ")[0]), "small"))
    return Page(PAGE, "The path", tuple(blocks), "drawing", "method", ("Design",), "Site plan and one-line diagram")
