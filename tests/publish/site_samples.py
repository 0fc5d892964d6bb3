"""A small book for the tests of the website: every kind of mark that a page may hold."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.handbook.page import DocumentHeader, Page

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

START = """# Start

<div class="doors" markdown="1">
[**Install** Crew](method/opening-the-jacket.md)
[**Inspect** Inspector](tables/volts.md)
</div>
"""

SECTION = """# Opening the jacket

## Wear

Gloves.

## Bring

The tool. See [the volts](../tables/volts.md#volts-by-box) and <a href="../boxes/b01.md">the box</a>.

## Do

!!! caution "Sharp blade"
    Cut away from your hand.

!!! why "Why"
    A ring cut lets the jacket snap off.

## Checks

| Check | Limit |
|---|---|
| Loop | 1.03 ohm |
"""

MULTIMARKDOWN = "Note: a page whose first line looks like a setting.\n\nIts second line stays too."


@dataclass(frozen=True)
class SampleBook:
    """Pages and facts, as the website needs them."""

    pages: tuple[Page, ...]
    facts: DocumentHeader = FACTS


def box_page(number: int, group: str = "Arm 1") -> Page:
    """A box page with a title that is markup if anybody forgets to escape it."""
    text = f"# Box B{number:02d}\n\nPeculiarword{number} reading 1.03 ohm.\n\n## Checks {{#checks}}\n\nLook."
    return Page(f"boxes/b{number:02d}.md", f"B{number:02d} <b>x</b>", text, ("Boxes", group), "box")


def sample_book(boxes: int = 2) -> SampleBook:
    """A start page, a section, a table, boxes and a page outside the menu."""
    return SampleBook(
        (
            Page("index.md", "Start", START, kind="start", description='Say "hello" & <go>'),
            Page("method/opening-the-jacket.md", "Opening the jacket", SECTION, ("Install", "Method")),
            Page("tables/volts.md", "Volts", "# Volts\n\n## Volts by box\n\nNone.", ("Tables <i>",), "table"),
            *(box_page(number) for number in range(1, boxes + 1)),
            Page("unlisted.md", "Unlisted", MULTIMARKDOWN, listed=False),
        )
    )
