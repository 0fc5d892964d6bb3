"""Pages that lead to others: boxes by branch, and the sections of each part.

The path as drawings, each once: the site plan and the one-line diagram, and the volts along it.

A page for each table; the parts of a long one are folded on a screen, so that it stays readable on a phone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from types import MappingProxyType

from slackloop.document.blocks import Block, BoxFinder, Doors, Heading, Paragraph, RecordBar, TableBlock
from slackloop.document.boxes.stages import LIST_PAGE, box_page_id
from slackloop.document.context import Context
from slackloop.document.inline import FileTarget, Line, PageTarget, Target, joined, line, link, plain
from slackloop.document.inserts import Home, Inserts
from slackloop.document.markdown import anchor_of
from slackloop.document.page import BookPart, Page, PageKind, PageSource
from slackloop.document.pages.section_page import section_id
from slackloop.document.recorded import BAD, Recorded
from slackloop.document.table import Table
from slackloop.sections.format import count
from slackloop.sections.section import PART_MENU

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
        blocks.append(_links(context, names))
    closures = [run.id for run in context.network.closures]
    if closures:
        blocks += [Heading(2, line("Runs that close a ring"), "ring-runs"), _links(context, closures)]
    blocks.append(RecordBar(counted=True))
    return Page(LIST_PAGE, "Boxes", tuple(blocks), "index", "method", ("Boxes",), "Every box of the path", paper=False)


def _links(context: Context, names: Iterable[str]) -> Doors:
    """Boxes or runs, each leading to its page; with results each says how it stands."""
    recorded = context.recorded
    return Doors(
        tuple(
            (line(name), PageTarget(box_page_id(name)),
             line(_state(recorded, name)) if recorded and recorded.of(name) else ())
            for name in names
        ),
        "chips",
    )  # fmt: skip


def _state(recorded: Recorded, place: str) -> str:
    """How a box or run stands in a word, the worst first."""
    states = {each.status for each in recorded.of(place)}
    return "not good" if states & BAD else "pass" if states == {"pass"} else "open"


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


MOST_ROWS = 60
"""The parts of a table with more rows than this are folded on a screen."""


def table_page_id(table_id: str) -> str:
    """The id of the page of a table."""
    return f"tables/{table_id}"


def table_page(table: Table, part: BookPart, menu: tuple[str, ...], files: Sequence[tuple[str, str]] = (), *,
               paper: bool = True) -> Page:  # fmt: skip
    """The page of a table; ``files`` are what it is also given as: words and the name of a file."""
    kind: PageKind = "register" if part == "inspection" else "table"
    about = plain(table.intro) or table.title
    long = len(table.rows) > MOST_ROWS and len(table.parts) > 1
    blocks: tuple[Block, ...] = (TableBlock(table, folded=long), *_files(files))
    return Page(table_page_id(table.id), table.title, blocks, kind, part, menu, about, paper=paper)


def _files(files: Sequence[tuple[str, str]]) -> tuple[Paragraph, ...]:
    """A line that links a table to its files."""
    if not files:
        return ()
    words = (line(link(text, FileTarget(name))) for text, name in files)
    return (Paragraph(line("As a file: ", joined(words), "."), "screen"),)
