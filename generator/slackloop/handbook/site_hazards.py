"""Hazards that a job lists for its site: each should bring a safety sheet of its own."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from slackloop.handbook.conditions import HAZARD_WORDS
from slackloop.job.finding import Finding
from slackloop.job.models import Job
from slackloop.job.near import listed

LIKE = 0.75
"""How like a known word, from 0 to 1, a word must be to be taken for a slip of it."""


def site_hazard_findings(job: Job) -> Iterator[Finding]:
    """A warning for a hazard that looks mistyped, a note for one that only stands in the register."""
    for index, hazard in enumerate(job.conditions.hazards):
        text = hazard.lower()
        if any(word in text for word in HAZARD_WORDS):
            continue
        close = next((near[0] for word in text.split() if (near := get_close_matches(word, HAZARD_WORDS, 1, LIKE))), "")
        yield Finding(
            level="warning" if close else "note",
            code="hazard-without-sheet",
            message=f"the site hazard {hazard} stands in the hazard register and brings no safety sheet of its own",
            at=("conditions", "hazards", index),
            expected=f"for a sheet, a hazard with one of these words: {listed(HAZARD_WORDS, 20)}",
            hint=f"did you mean {close}?" if close else "",
        )
