"""The page that a live preview shows while the job file cannot be built."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.handbook.page import DocumentHeader, Page

ENTITY_SIGNS = frozenset("!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~")


@dataclass(frozen=True, slots=True)
class ErrorBook:
    """A book of one page that lists findings."""

    pages: tuple[Page, ...]
    facts: DocumentHeader


def error_book(job_file: str, findings: Sequence[object]) -> ErrorBook:
    """One draft page with each finding's place, line, message and mend, all shown literally."""
    rows = "".join(_finding(finding) for finding in findings)
    text = f"# The job file cannot be built\n\nMend {_literal(job_file)} and save it. This page follows.\n\n{rows}"
    facts = DocumentHeader(
        number="no number",
        title="job file with errors",
        site=job_file,
        revision="none",
        date="none",
        status="draft",
        fingerprint="none",
        draft=True,
        contractor="Nobody",
    )
    return ErrorBook((Page("index.md", "Errors in the job file", text, kind="start"),), facts)


def _finding(finding: object) -> str:
    """One finding as raw HTML: no Markdown is read in it."""
    level = str(getattr(finding, "level", "error"))
    kind = level if level in ("error", "warning", "note") else "error"
    message = _safe(getattr(finding, "message", finding))
    parts = [f'<p><span class="level-{kind}">{kind.capitalize()}</span> {message}</p>']
    if file := getattr(finding, "file", ""):
        place = f"{file}:{getattr(finding, 'line', 1)}:{getattr(finding, 'column', 1)}"
        parts.append(f"<p><code>{_safe(place)}</code></p>")
    if excerpt := getattr(finding, "excerpt", ""):
        parts.append(f"<p><code>{_safe(excerpt)}</code></p>")
    for word in ("expected", "hint"):
        if said := getattr(finding, word, ""):
            parts.append(f"<p>{word.capitalize()}: {_safe(said)}</p>")
    return f'<div class="finding">{"".join(parts)}</div>\n\n'


def _safe(text: object) -> str:
    """Escaped for HTML, on one line, since a blank line would end the raw HTML block."""
    return html.escape(" ".join(str(text).split()))


def _literal(text: str) -> str:
    """Every sign of punctuation as an entity, so that Markdown reads none of it."""
    return "".join(f"&#{ord(sign)};" if sign in ENTITY_SIGNS else sign for sign in text)
