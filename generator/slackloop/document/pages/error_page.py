"""The page that a live preview shows while the job file cannot be built."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slackloop.document.blocks import Block, Fact, Facts, Note, Paragraph
from slackloop.document.inline import Code, line
from slackloop.document.page import DocumentHeader, Page


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
