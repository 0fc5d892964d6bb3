"""Walks over blocks: every block, line, heading, link and anchor of a page, in reading order.

Every link of the document leads to a page and a place that exist: checked before anything is rendered.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from slackloop.document.blocks import (
    Block,
    Blocks,
    BoxFinder,
    BoxWay,
    Bullets,
    Caution,
    CodeBlock,
    Doors,
    Drawing,
    DrawingRow,
    Facts,
    Folded,
    Form,
    Heading,
    Note,
    Paragraph,
    Quote,
    SignRow,
    Steps,
    TableBlock,
)
from slackloop.document.inline import FileTarget, Line, PageTarget, Target, anchors_in, line, links_in, plain
from slackloop.document.page import Page
from slackloop.document.table import table_lines


def walk(blocks: Sequence[Block]) -> Iterator[Block]:
    """Every block, each before those inside it."""
    for block in blocks:
        yield block
        yield from walk(inside(block))


def inside(block: Block) -> Blocks:
    """The blocks that stand in a block, steps' parts in reading order."""
    match block:
        case Bullets(items):
            return tuple(each for item in items for each in item)
        case Caution() | Note() | Folded() | Quote():
            return block.blocks
        case DrawingRow(drawings):
            return drawings
        case Steps(steps):
            return tuple(each for step in steps for each in (*step.blocks, *step.drawings, *step.why, *step.stop))
    return ()


def own_lines(block: Block) -> Iterator[Line]:
    """The lines that stand in a block itself, not in blocks inside it."""
    match block:
        case Heading() | Paragraph():
            yield block.line
        case Facts(facts):
            for fact in facts:
                yield from (_text(fact.label), fact.value, fact.more)
        case Drawing():
            yield block.caption
        case SignRow():
            yield _text(block.title)
            for sign in block.signs:
                yield from (_text(sign.words), sign.more)
        case Caution() | Note() | Folded(bare=False):
            yield _text(block.title)
        case Steps(steps):
            for step in steps:
                yield _text(step.only_where)
                yield from (check.line for check in step.checks)
        case TableBlock():
            yield from table_lines(block.table)
        case Form():
            yield from (_text(block.title), block.about, block.limits, block.seen)
            for each in block.fields:
                yield from (each.label, each.limit)
        case Doors(doors):
            for title, _, more in doors:
                yield from (title, more)
        case CodeBlock():
            yield _text(block.text)
        case BoxFinder():
            yield _text(block.label)
        case _:
            return


def lines(blocks: Sequence[Block]) -> Iterator[Line]:
    """Every line of blocks, in reading order."""
    for block in blocks:
        if isinstance(block, Steps):
            for step in block.steps:
                yield line(step.only_where)
                yield from lines((*step.blocks, *step.drawings, *step.why, *step.stop))
                yield from (check.line for check in step.checks)
        else:
            yield from own_lines(block)
            yield from lines(inside(block))


def words(blocks: Sequence[Block]) -> str:
    """The words of blocks, a line each, without empty ones."""
    return "\n".join(text for each in lines(blocks) if (text := plain(each).strip()))


def headings(blocks: Sequence[Block]) -> tuple[Heading, ...]:
    """The headings of blocks."""
    return tuple(block for block in walk(blocks) if isinstance(block, Heading))


def targets(blocks: Sequence[Block]) -> Iterator[Target]:
    """Where every link of blocks leads."""
    for block in walk(blocks):
        for each in own_lines(block):
            yield from (link.target for link in links_in(each))
        match block:
            case Doors(doors):
                yield from (target for _, target, _ in doors)
            case BoxWay():
                yield from (way[1] for way in (block.before, block.after) if way)
            case TableBlock(full=full) if full is not None:
                yield full
            case Steps(steps):
                yield from (check.target for step in steps for check in step.checks if check.target)


def anchors(blocks: Sequence[Block]) -> Iterator[str]:
    """Every anchor that blocks have, each once in a faultless page."""
    for block in walk(blocks):
        match block:
            case Heading() | Caution() | Form():
                if block.anchor:
                    yield block.anchor
            case Steps(steps):
                yield from (step.anchor for step in steps)
            case TableBlock():
                yield from (part.anchor for part in block.table.parts if part.anchor)
                yield from block.table.row_anchors
        for each in own_lines(block):
            yield from anchors_in(each)


def _text(text: str) -> Line:
    return line(text)


class LinksBroken(Exception):
    """Pages clash or links lead nowhere; ``faults`` names each, one line a fault."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = tuple(faults)


def check_links(pages: Sequence[Page], files: Iterable[str]) -> None:
    """Raise ``LinksBroken`` for ids that stand twice and links that lead nowhere; ``files`` lie beside the pages."""
    beside = frozenset(files)
    faults = [f"two pages are at {page}" for page, n in Counter(page.id.casefold() for page in pages).items() if n > 1]
    places = {page.id: Counter(anchors(page.blocks)) for page in pages}
    for page in pages:
        faults += [f"{page.id}: two places are named #{name}" for name, n in places[page.id].items() if n > 1]
        for target in dict.fromkeys(targets(page.blocks)):
            match target:
                case PageTarget(to, anchor) if to not in places:
                    faults.append(f"{page.id}: a link leads to {to}, and there is no such page")
                case PageTarget(to, anchor) if anchor and anchor not in places[to]:
                    faults.append(f"{page.id}: a link leads to {to}#{anchor}, and there is no such place")
                case FileTarget(name) if name not in beside:
                    faults.append(f"{page.id}: a link leads to the file {name}, and there is no such file")
                case _:
                    pass
    if faults:
        raise LinksBroken(faults)
