"""A small book for the tests of the website, with hostile text wherever a page may hold text."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.document.blocks import Block, BoxFinder, Caution, Doors, Form, FormField, Heading, Paragraph, TableBlock
from slackloop.document.inline import PageTarget, line, link
from slackloop.document.page import DocumentHeader, Page
from slackloop.document.table import Column, Part, Table, cell

FACTS = DocumentHeader(
    number="HF-2031",
    title='Path "2" & <phase>',
    site="Heron Fold Arboretum",
    revision="B",
    date="2026-03-02",
    status="for construction",
    fingerprint="3f9a1c77d20be8415ab2c09be6d1f2a94cc01d7f",
    draft=False,
    contractor="Example Groundworks",
)
SECTION = "method/opening-the-jacket"


@dataclass(frozen=True)
class SampleBook:
    """Pages and facts, as the website needs them."""

    pages: tuple[Page, ...]
    header: DocumentHeader = FACTS


def box_page(number: int, group: str = "Arm 1") -> Page:
    """A box page with a title that is markup if anybody forgets to escape it."""
    name = f"B{number:02d}"
    blocks: tuple[Block, ...] = (
        Paragraph(line(f"Peculiarword{number} reading 1.03 ohm.")),
        Form("Close", (FormField("C-1", line("Ordinaryword in a check"), "tick"),), "stage-close"),
    )
    return Page(f"boxes/{name.lower()}", f"{name} <b>x</b>", blocks, "box", "method", ("Boxes", group), box=name)


def _heading(title: str) -> Heading:
    return Heading(2, line(title), title.lower())


def sample_book(boxes: int = 2) -> SampleBook:
    """A start page, a section, a table, boxes and a page outside the menu."""
    volts = Table(
        "volts", "Volts", (Column("box", "Box"), Column("volts", "Volts", "volts")),
        (Part("By box", ((cell("B01"), cell("27.0 V")),), "volts-by-box"),), ("computed",),
    )  # fmt: skip
    doors = Doors(
        (
            (line("Install"), PageTarget(SECTION), line("Crew")),
            (line("Inspect"), PageTarget("tables/volts"), line("Inspector")),
        )
    )
    see = line("The tool. See ", link("the volts", PageTarget("tables/volts", "volts-by-box")), " and ",
               link("the box", PageTarget("boxes/b01")), ".")  # fmt: skip
    section: tuple[Block, ...] = (
        _heading("Wear"), Paragraph(line("Gloves.")), _heading("Bring"), Paragraph(see), _heading("Do"),
        Caution("Sharp blade", (Paragraph(line("Cut away from your hand.")),)), _heading("Checks"),
    )  # fmt: skip
    unlisted = (Paragraph(line("Note: a page whose first line looks like a setting.")),)
    return SampleBook(
        (
            Page("index", "Start", (BoxFinder(), doors), "start", "document", (), 'Say "hello" & <go>'),
            Page(SECTION, "Opening the jacket", section, "section", "method", ("Method",)),
            Page("tables/volts", "Volts", (TableBlock(volts),), "table", "design", ("Tables <i>",)),
            *(box_page(number) for number in range(1, boxes + 1)),
            Page("unlisted", "Unlisted", unlisted, listed=False),
        )
    )
