"""The path as drawings, each once: the site plan, the one-line diagram and the volts along it."""

from __future__ import annotations

from slackloop.document.blocks import Block, Heading, Paragraph
from slackloop.document.inline import line
from slackloop.document.inserts import Inserts
from slackloop.document.page import Page

PAGE = "design/path"
NAMES = ("site-plan", "path-diagram", "volts-along-path")


def path_page(inserts: Inserts) -> Page:
    """What the path looks like; a drawing that the job has nothing for is left out."""
    blocks: list[Block] = []
    for name in NAMES:
        drawings = inserts.drawings(name)
        if drawings:
            blocks.append(Heading(2, line(drawings[0].title), name))
            blocks += drawings
            blocks.append(Paragraph(line(drawings[0].description), "small"))
    return Page(PAGE, "The path", tuple(blocks), "drawing", "method", ("Design",), "Site plan and one-line diagram")
