"""A page as plain text that a person can read in a difference: headings, steps with their numbers, tables as rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from book_samples import rows_of
from slackloop.document.blocks import (
    Block,
    Bullets,
    Caution,
    Drawing,
    DrawingRow,
    Facts,
    Heading,
    Note,
    SignRow,
    Step,
    Steps,
    TableBlock,
)
from slackloop.document.inline import plain
from slackloop.document.page import Page
from slackloop.document.walk import inside, own_lines


def page_text(page: Page) -> str:
    """What the page says, a line for each thing."""
    return "\n".join((f"# {page.title}", *_blocks(page.blocks, ""))) + "\n"


def _blocks(blocks: Sequence[Block], indent: str) -> Iterator[str]:
    for block in blocks:
        yield from (f"{indent}{text}" for text in _block(block))


def _block(block: Block) -> Iterator[str]:
    match block:
        case Heading():
            yield f"{'#' * block.level} {plain(block.line)}"
        case Steps(steps):
            for step in steps:
                yield from _step(step)
        case TableBlock():
            yield f"(table: {block.table.title})"
            yield from ("- " + " | ".join(row) for row in rows_of(block.table))
        case Drawing():
            yield f"(drawing: {block.title})"
        case DrawingRow(drawings):
            yield from _blocks(drawings, "")
        case Bullets(items):
            for number, item in enumerate(items, block.start):
                first, *rest = _blocks(item, "")
                yield f"{number}. {first}" if block.ordered else f"- {first}"
                yield from (f"  {text}" for text in rest)
        case SignRow(title, signs):
            yield f"{title}:"
            yield from (f"- {sign.words} ({sign.number}) {plain(sign.more)}" for sign in signs)
        case Facts(facts):
            yield from (f"{each.label}: {plain(each.value)} {plain(each.more)}".rstrip() for each in facts)
        case Caution() | Note():
            sign = block.sign if isinstance(block, Caution) else None
            yield f"[{type(block).__name__}: {block.title}{f' ({sign.number})' if sign else ''}]"
            yield from _blocks(block.blocks, "  ")
        case _:
            yield from (text for line in own_lines(block) if (text := plain(line)))
            yield from _blocks(inside(block), "  ")


def _step(step: Step) -> Iterator[str]:
    """A step with all that is said beside it."""
    first, *rest = _blocks(step.blocks, "")
    yield f"{step.number}. {first}"
    yield from (f"   {text}" for text in rest)
    if step.only_where:
        yield f"   {step.only_where}"
    for sign in step.signs:
        yield f"   sign: {sign.words} ({sign.number})"
    for word, blocks in (("why", step.why), ("stop if", step.stop)):
        yield from (f"   {word}: {text}" for text in _blocks(blocks, ""))
    for check in step.checks:
        held = f" [{check.hold}]" if check.hold != "none" else ""
        yield f"   check {check.id}{held}: {plain(check.line)}"
    yield from _blocks(step.drawings, "   ")
