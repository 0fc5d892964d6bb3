"""Hazards that a job lists for its site: each should bring a safety sheet of its own, which scores its risk."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from slackloop.sections.conditions import HAZARD_WORDS
from slackloop.site.models import Job
from slackloop.source.finding import Finding
from slackloop.source.suggestions import listed

NOT_SCORED = "Not scored: score it on site"
LIKE = 0.75
"""How like a known word, from 0 to 1, a word must be to be taken for a slip of it."""


def site_hazard_findings(job: Job) -> Iterator[Finding]:
    """A warning for a hazard that looks mistyped, and one for a hazard whose risk nobody has scored."""
    for index, hazard in enumerate(job.conditions.hazards):
        text = hazard.lower()
        if any(word in text for word in HAZARD_WORDS):
            continue
        close = next((near[0] for word in text.split() if (near := get_close_matches(word, HAZARD_WORDS, 1, LIKE))), "")
        at = ("conditions", "hazards", index)
        expected = f"for a sheet, a hazard with one of these words: {listed(HAZARD_WORDS, 20)}"
        if close:
            message = f"the site hazard {hazard} brings no safety sheet of its own"
            hint = f"did you mean {close}?"
            yield Finding("warning", "hazard-without-sheet", message, at, expected=expected, hint=hint)
            continue
        yield Finding(
            "warning",
            "risk-unscored",
            f"the site hazard {hazard} is in the risk register without a score, and brings no safety sheet",
            at,
            expected=expected,
            hint=f"score it, and write the score as an answer: risk-unscored {hazard}",
            asks="the person who plans the work",
            of=(hazard,),
        )
