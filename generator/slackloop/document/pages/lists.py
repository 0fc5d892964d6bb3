"""Pages that lead to others: boxes by branch, and the sections of each part."""

from __future__ import annotations

from collections.abc import Iterable

from slackloop.document.blocks import Block, BoxFinder, Doors, Heading, Paragraph, RecordBar
from slackloop.document.boxes.box_ids import LIST_PAGE, box_page_id
from slackloop.document.context import Context
from slackloop.document.inline import Line, line
from slackloop.document.markdown import anchor_of
from slackloop.document.page import Page
from slackloop.document.page_source import PageSource
from slackloop.document.pages.section_page import section_id
from slackloop.document.target import PageTarget, Target
from slackloop.sections.format import count
from slackloop.sections.section_words import PART_MENU

PART_TITLES = {
    "scope": "Before you start", "method": "Method", "safety": "Safety sheets", "trouble": "If something is wrong",
}  # fmt: skip


def boxes_page(context: Context) -> Page:
    """Every box in path order, by branch, each one thumb away."""
    blocks: list[Block] = [
        BoxFinder(), Paragraph(line(f"{count(len(context.network.boxes), 'box', 'boxes')} in path order."))
    ]  # fmt: skip
    for group in context.groups:
        blocks.append(Heading(2, line(group.title), anchor_of(f"group {group.number}")))
        names = [context.network.boxes[index] for index in group.indices]
        blocks.append(_links(names))
    closures = [run.id for run in context.network.closures]
    if closures:
        blocks += [Heading(2, line("Runs that close a ring"), "ring-runs"), _links(closures)]
    blocks.append(RecordBar(counted=True))
    return Page(LIST_PAGE, "Boxes", tuple(blocks), "index", "method", ("Boxes",), "Every box of the path", paper=False)


def _links(names: Iterable[str]) -> Doors:
    """Boxes or runs, each leading to its page."""
    return Doors(tuple((line(name), PageTarget(box_page_id(name)), ()) for name in names), "chips")


def part_page(context: PageSource, part: str) -> Page | None:
    """The sections of a part with a line on each; nothing for a part that has none."""
    sections = context.part(part)
    if not sections:
        return None
    ways: list[tuple[Line, Target, Line]] = []
    for each in sections:
        title = context.prose.plain(each.section.front.title)
        summary = context.prose.line(each.section.front.summary, each.section.file)
        ways.append((line(title), PageTarget(section_id(each)), summary))
    title = PART_TITLES[part]
    blocks = (Doors(tuple(ways), "lines"),)
    return Page(f"{part}/all", title, blocks, "index", "method", PART_MENU[part], title, paper=False)
