"""What the check of the job found, in words that a reader can act on, with the answers that closed questions.

The page that a live preview shows while the job file cannot be built.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slackloop.document.blocks import Block, Bullets, Fact, Facts, Heading, Note, Paragraph
from slackloop.document.boxes.stages import box_page_id
from slackloop.document.context import Context
from slackloop.document.finding_words import (
    LEVEL_NOUNS,
    LEVELS,
    answer_text,
    found_summary,
    is_answered,
    sentence,
    what_waits,
    where,
)
from slackloop.document.inline import Code, Line, PageTarget, line, link, strong
from slackloop.document.markdown import anchor_of
from slackloop.document.page import DocumentHeader, Page
from slackloop.document.pages.codes_page import LEVEL_WORDS
from slackloop.document.pages.codes_page import PAGE as CODES
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
    else:
        if finding.hint:
            parts += [" ", sentence(finding.hint)]
        if waits := what_waits(finding):
            parts += [" ", strong(waits)]
    code = link(finding.code, PageTarget(CODES, finding.code)) if finding.code in codes() else finding.code
    parts += [f" ({where(context, finding)}, ", code, ")"]
    return line(*parts)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class ErrorBook:
    """A book of one page that lists findings."""

    pages: tuple[Page, ...]
    header: DocumentHeader


def error_book(job_file: str, findings: Sequence[object]) -> ErrorBook:
    """One draft page with each finding's place, line, message and mend, all shown to the letter."""
    blocks: list[Block] = [Paragraph(line(f"Correct {job_file} and save it. Then this page changes."))]
    for finding in findings:
        level = str(getattr(finding, "level", "error"))
        kind = {"error": "danger", "warning": "warning"}.get(level, "note")
        facts = tuple(_facts(finding))
        message = Paragraph(line(str(getattr(finding, "message", finding))))
        blocks.append(Note(kind, "", (message, *((Facts(facts),) if facts else ()))))  # type: ignore[arg-type]
    header = DocumentHeader(
        number="no number", title="job file with errors", site=job_file, revision="none", date="none", status="draft",
        fingerprint="none", draft=True, contractor="Nobody",
    )  # fmt: skip
    return ErrorBook((Page("index", "The job file cannot be built", tuple(blocks), "start", "document"),), header)


def _facts(finding: object) -> Iterator[Fact]:
    """Where a finding is, what stands there, what was expected and the mend."""
    if file := getattr(finding, "file", ""):
        place = f"{file}:{getattr(finding, 'line', 1)}:{getattr(finding, 'column', 1)}"
        yield Fact("Place", line(Code(place)))
    for name, word in (("excerpt", "Line"), ("expected", "Expected"), ("hint", "Mend")):
        if said := str(getattr(finding, name, "")):
            yield Fact(word, line(Code(said.strip()) if name == "excerpt" else said))
