"""The page of changes: what differs from the revision before, for everybody and for each reader."""

from __future__ import annotations

from slackloop.control.change_words import Chapter, Lines, chapters, heading
from slackloop.control.comparison import Comparison
from slackloop.document.blocks import Block, Bullets, Heading, Note, Paragraph
from slackloop.document.inline import line, strong
from slackloop.document.markdown import anchor_of
from slackloop.document.page import Page
from slackloop.sections.format import count

PAGE = "design/changes"
PAPER_PAGE = "design/changes-in-print"
TITLE = "What changed"
PAPER_LINES = 9
"""Sentences under one title on paper, so that the page takes two sheets at most."""
PAPER_LETTERS = 190
"""Letters of a sentence on paper."""


def changes_pages(comparison: Comparison) -> tuple[Page, ...]:
    """The page of changes; where paper has no room for all of it, a page for screens and a shorter one for paper."""
    whole = chapters(comparison)
    short = tuple(_shortened(each) for each in whole)
    if short == whole:
        return (_page(PAGE, comparison, whole),)
    return (_page(PAGE, comparison, whole, paper=False), _page(PAPER_PAGE, comparison, short, screen=False))


def _page(
    id: str, comparison: Comparison, told: tuple[Chapter, ...], *, paper: bool = True, screen: bool = True
) -> Page:
    blocks: list[Block] = [Paragraph(line(f"{heading(comparison)}."))]
    if not told:
        blocks.append(Note("note", "", (Paragraph(line("Nothing that anybody works by has changed.")),)))
    for chapter in told:
        blocks.append(Heading(2, line(chapter.title), anchor_of(chapter.title)))
        for part in chapter.parts:
            blocks.append(Paragraph(line(strong(part.title))))
            blocks.append(Bullets(tuple((Paragraph(line(text)),) for text in part.lines)))
    return Page(
        id, TITLE, tuple(blocks), "document", "design", ("Design",), "What differs from the revision before",
        paper=paper, screen=screen, listed=screen,
    )  # fmt: skip


def _shortened(chapter: Chapter) -> Chapter:
    return Chapter(chapter.reader, chapter.title, tuple(_few(part) for part in chapter.parts))


def _few(part: Lines) -> Lines:
    """As many sentences as paper has room for; the last says how many more there are, and where."""
    lines = tuple(_cut(text) for text in part.lines)
    if len(lines) > PAPER_LINES:
        more = count(len(lines) - PAPER_LINES + 1, "more change is", "more changes are")
        lines = (*lines[: PAPER_LINES - 1], f"And {more} on the page {TITLE} of the website.")
    return Lines(part.title, lines)


def _cut(text: str) -> str:
    if len(text) <= PAPER_LETTERS:
        return text
    return text[: PAPER_LETTERS - 1].rsplit(" ", 1)[0] + " …"
