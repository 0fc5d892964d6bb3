"""The page of changes: what differs from the revision before, for everybody and for each reader."""

from __future__ import annotations

from slackloop.control.change_words import Chapter, Lines, chapters, heading
from slackloop.control.comparison import Comparison
from slackloop.document.blocks import Block, Bullets, Heading, Note, Paragraph
from slackloop.document.inline import line, strong
from slackloop.document.markdown import anchor_of
from slackloop.document.page import Page
from slackloop.sections.format import count

CHANGES_PAGE = "design/changes"
PAPER_PAGE = "design/changes-in-print"
TITLE = "What changed"
PAPER_LINES = 96
"""Printed lines that two pages hold for certain, titles among them."""
A_LINE = 112
"""Letters that a printed line holds for certain."""
PAPER_LETTERS = 2 * A_LINE
"""Letters of one sentence on paper."""
MOST_SENTENCES = 9
FEWEST_SENTENCES = 2


def changes_pages(comparison: Comparison) -> tuple[Page, ...]:
    """The page of changes; where paper has no room for all of it, a page for screens and a shorter one for paper.

    On paper it comes before the method: whoever held the revision before reads it first.
    """
    whole = chapters(comparison)
    short = _shortened(whole)
    if short == whole:
        return (_page(CHANGES_PAGE, comparison, whole),)
    return (_page(CHANGES_PAGE, comparison, whole, paper=False), _page(PAPER_PAGE, comparison, short, screen=False))


def _page(
    id: str, comparison: Comparison, told: tuple[Chapter, ...], *, paper: bool = True, screen: bool = True
) -> Page:
    blocks: list[Block] = [Paragraph(line(f"{heading(comparison)}."))]
    if not told:
        blocks.append(Note("note", "", (Paragraph(line("No value, limit, step, order or card has changed.")),)))
    for chapter in told:
        blocks.append(Heading(2, line(chapter.title), anchor_of(chapter.title)))
        for part in chapter.parts:
            blocks.append(Paragraph(line(strong(part.title))))
            blocks.append(Bullets(tuple((Paragraph(line(text)),) for text in part.lines)))
    return Page(
        id, TITLE, tuple(blocks), "document", "method", ("Design",), "What differs from the revision before",
        paper=paper, screen=screen, listed=screen,
    )  # fmt: skip


def _shortened(chapters: tuple[Chapter, ...]) -> tuple[Chapter, ...]:
    """As many sentences under each title as two pages hold."""
    for most in range(MOST_SENTENCES, FEWEST_SENTENCES - 1, -1):
        letters = PAPER_LETTERS if most > FEWEST_SENTENCES else A_LINE
        short = tuple(
            Chapter(each.reader, each.title, tuple(_few(part, most, letters) for part in each.parts))
            for each in chapters
        )
        if printed_lines(short) <= PAPER_LINES:
            break
    return short


def printed_lines(chapters: tuple[Chapter, ...]) -> float:
    """How many lines chapters take on paper: the title of a chapter as many as two, of a part as one and more."""
    return sum(
        2.2 + sum(1.3 + sum(-(-len(text) // A_LINE) for text in part.lines) for part in each.parts) for each in chapters
    )


def _few(part: Lines, most: int, letters: int) -> Lines:
    """At most so many sentences; the last says how many more there are, and where."""
    lines = tuple(_cut(text, letters) for text in part.lines)
    if len(lines) > most:
        more = count(len(lines) - most + 1, "more change is", "more changes are")
        lines = (*lines[: most - 1], f"{more[:1].upper()}{more[1:]} on the page {TITLE} of the website.")
    return Lines(part.title, lines)


def _cut(text: str, letters: int) -> str:
    if len(text) <= letters:
        return text
    return text[: letters - 1].rsplit(" ", 1)[0] + " …"
