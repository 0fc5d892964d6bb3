"""Every code that a finding can have: what it means, what to do, and a sample in which it is found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import get_args

from slackloop.document.blocks import Block, CodeBlock, Doors, Heading, Paragraph
from slackloop.document.inline import Code, Line, PageTarget, joined, line, link, strong
from slackloop.document.page import Page
from slackloop.document.pages.lists import table_page_id
from slackloop.source import codes as listed
from slackloop.source.codes import shown_lines
from slackloop.source.finding import Level, harmless

PAGE = "design/codes"
LEVEL_WORDS: dict[Level, str] = {"error": "Error", "warning": "Warning", "note": "Note"}
TITLES: dict[listed.Kind, str] = {
    "job": "Reading the job file", "figure": "Figures of the job", "content": "A firm's own text",
    "survey": "A survey that is imported", "build": "Pages and print",
}  # fmt: skip
INTRO = (
    "A finding of the check has a code. Each code is explained here: what it means, what to do, and a sample. A sample "
    "is a change of a small good job: lines with - are taken out, lines with + are put in. The command "
)


def codes_page(tables: Mapping[str, str]) -> Page:
    """All codes on one page of the website, by what finds them; on paper a finding says what to do by itself.

    ``tables`` are the titles of the tables that have a page, by their ids.
    """
    intro = line(INTRO, Code("slackloop check --explain CODE"), " shows the same, with what is found in the sample.")
    blocks: list[Block] = [Paragraph(intro)]
    for kind in get_args(listed.Kind):
        blocks += [Heading(2, line(TITLES[kind]), f"{kind}-codes")]
        own = [each for each in listed.codes().values() if each.kind == kind]
        blocks += [Doors(tuple((line(each.code), PageTarget(PAGE, each.code), ()) for each in own), "chips")]
        blocks += [block for each in own for block in _explained(each, tables)]
    return Page(
        PAGE, "Codes of findings", tuple(blocks), "document", "document", ("Design",),
        "What each code of a finding means", paper=False, found_last=True,
    )  # fmt: skip


def _explained(code: listed.Code, tables: Mapping[str, str]) -> Iterator[Block]:
    levels = " or ".join(LEVEL_WORDS[each] for each in code.levels)
    yield Heading(3, line(code.code), code.code)
    yield Paragraph(line(strong(f"{levels}. "), *_typed(code.means)))
    spoiled = [link(tables[each], PageTarget(table_page_id(each))) for each in code.spoils if each in tables]
    if spoiled:
        names = joined((each,) for each in spoiled)
        yield Paragraph(line("While a job has this error, do not build from: ", names, "."))
    yield Paragraph(line(strong("What to do: "), *_typed(code.mend)))
    yield CodeBlock("\n".join(harmless(each) for each in shown_lines(code.sample)))


def _typed(text: str) -> Line:
    """The text with what is typed, between backticks, as code."""
    return line(*(Code(part) if number % 2 else part for number, part in enumerate(text.split("`"))))
