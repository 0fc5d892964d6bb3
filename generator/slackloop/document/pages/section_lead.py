"""What comes before the first step of a section: on a screen its long parts are folded, so that the step is near."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from slackloop.document.blocks import (
    Block,
    Blocks,
    BoxFinder,
    Caution,
    Drawing,
    DrawingRow,
    Folded,
    Heading,
    Note,
    Paragraph,
    Steps,
    TableBlock,
)
from slackloop.document.inline import plain
from slackloop.document.walk import walk, words

MOST_CHARACTERS = 260
"""Text of up to this length is read faster than it is opened."""
MOST_IN_ALL = 420
"""What may be read before the first step in all, so that the step is near."""
TITLE = "About this work"


def folded_lead(body: Blocks) -> Iterator[Block]:
    """The body with the long parts before its first step folded, each under its heading; paper shows them as they are.

    Cautions and notes are never folded.
    """
    first = next((place for place, block in enumerate(body) if isinstance(block, Steps)), None)
    if first is None:
        yield from body
        return
    headings = [place for place in range(first) if isinstance(body[place], Heading)]
    start = headings[-1] if headings else _first_guard(body, first)
    room = MOST_IN_ALL
    for group in _groups(body[:start]):
        shown = tuple(_shown(group, room))
        room -= len(words(tuple(block for block in shown if not isinstance(block, Folded))))
        yield from shown
    if headings:
        yield body[start]
        yield from _shown(body[start + 1 : first], room)
    yield from body[first if headings else start :]


def lower_first(text: str) -> str:
    """Text with a small first letter, as it is written inside a list; an abbreviation keeps its capitals."""
    return text[:1].lower() + text[1:] if text[1:2].islower() else text


def _first_guard(body: Blocks, first: int) -> int:
    """Where the cautions begin that guard the first step."""
    start = first
    while start and isinstance(body[start - 1], Caution):
        start -= 1
    return start


def _groups(blocks: Blocks) -> Iterator[Blocks]:
    """Blocks in groups, each from its heading on."""
    group: list[Block] = []
    for block in blocks:
        if isinstance(block, Heading) and block.level == 2 and group:
            yield tuple(group)
            group = []
        group.append(block)
    if group:
        yield tuple(group)


def _shown(group: Blocks, room: int) -> Iterator[Block]:
    """A group as it is where it is short; else its first short paragraph, its cautions and notes, the rest folded.

    ``room`` is how many characters there may be.
    """
    most = min(MOST_CHARACTERS, room)
    if not group or not _is_long(group, most):
        yield from group
        return
    heading = group[0] if isinstance(group[0], Heading) else None
    rest = list(group)
    if heading is None and isinstance(rest[0], Paragraph) and len(plain(rest[0].line)) <= most:
        yield rest.pop(0)
    title = plain(heading.line) if heading else _title(rest)
    for guards, blocks in groupby(rest, lambda block: isinstance(block, Caution | Note)):
        if guards:
            yield from blocks
        else:
            yield Folded(title, tuple(blocks), bare=True)
            title = TITLE


def _title(blocks: list[Block]) -> str:
    """What is folded, by its first table or drawing."""
    for block in walk(blocks):
        if isinstance(block, TableBlock) and block.table.title:
            return f"Table: {block.table.title}"
        if isinstance(block, Drawing):
            return f"Drawing: {block.title}"
    return TITLE


def _is_long(group: Blocks, most: int) -> bool:
    """Whether a group has a table, a drawing, or more characters than ``most``."""
    large = TableBlock | Drawing | DrawingRow | BoxFinder
    return any(isinstance(block, large) for block in walk(group)) or len(words(group)) > most
