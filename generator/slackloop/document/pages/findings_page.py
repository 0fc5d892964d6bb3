"""What the check of the job found, in words that a reader can act on, with the answers that closed questions."""

from __future__ import annotations

from slackloop.document.blocks import Block, Bullets, Heading, Note, Paragraph
from slackloop.document.boxes.box_ids import box_page_id
from slackloop.document.context import Context
from slackloop.document.findings_page import (
    LEVEL_NOUNS,
    LEVELS,
    answer_text,
    found_summary,
    is_answered,
    sentence,
    where,
)
from slackloop.document.inline import Line, line, link, strong
from slackloop.document.markdown import anchor_of
from slackloop.document.page import Page
from slackloop.document.pages.codes_page import LEVEL_WORDS
from slackloop.document.pages.codes_page import PAGE as CODES
from slackloop.document.target import PageTarget
from slackloop.source.codes import codes
from slackloop.source.finding import Finding, Placed

PAGE = "design/findings"


def findings_page(context: Context) -> Page:
    """Every finding, errors first, each with its box, its mend or answer, and its place in the job file."""
    blocks: list[Block] = [Paragraph(line(found_summary(context)))]
    if context.analysis.verdict == "fail":
        text = line("The job fails its check. This handbook is a draft: do not build from it.")
        blocks.append(Note("danger", "", (Paragraph(text),)))
    for level in LEVELS:
        found = [each for each in context.findings if each.level == level]
        noun = LEVEL_NOUNS[level][1].capitalize()
        for title, some in (
            (noun, [each for each in found if not is_answered(each)]),
            (f"{noun} that are answered", [each for each in found if is_answered(each)]),
        ):
            if some:
                blocks.append(Heading(2, line(title), anchor_of(title)))
                blocks.append(Bullets(tuple((Paragraph(_line(context, each)),) for each in some)))
    return Page(PAGE, "Findings", tuple(blocks), "document", "design", ("Design",), "What the check of the job found")


def _line(context: Context, finding: Finding | Placed) -> Line:
    """One finding in one list entry."""
    parts: list[object] = [strong(f"{LEVEL_WORDS[finding.level]}. "), sentence(finding.message)]
    if finding.box in context.network.index:
        parts += [" Box ", link(finding.box, PageTarget(box_page_id(finding.box))), "."]
    answers = answer_text(finding)
    if answers:
        parts += [" ", strong(answers)]
    elif finding.hint:
        parts += [" ", sentence(finding.hint)]
    code = link(finding.code, PageTarget(CODES, finding.code)) if finding.code in codes() else finding.code
    parts += [f" ({where(context, finding)}, ", code, ")"]
    return line(*parts)  # type: ignore[arg-type]
