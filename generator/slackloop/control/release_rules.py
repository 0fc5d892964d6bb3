"""What stands against a release: errors, open questions, open assumptions, blank signatures, a revision that is out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from slackloop.control.releases import Release
from slackloop.site.models import Job
from slackloop.source.finding import Placed


def still_open(job: Job, findings: Iterable[Placed], assumptions: Iterable[str] = ()) -> tuple[str, ...]:
    """What keeps a revision from being released for work, a sentence each; a draft is released with it."""
    return tuple(_open(job, tuple(findings), tuple(assumptions)))


def _open(job: Job, findings: tuple[Placed, ...], assumptions: tuple[str, ...]) -> Iterator[str]:
    for each in findings:
        if each.level == "error":
            yield f"Error {each.code}, {each.where}: {each.message}"
    for each in findings:
        if each.level == "warning" and each.asks and each.answer is None:
            yield f"Question {each.code}, not answered by {each.asks}: {each.message}"
    for assumption in assumptions:
        yield f"Assumption that nobody has confirmed: {assumption}"
    for name in ("prepared", "checked", "approved"):
        if not getattr(job.document, name).strip():
            yield f"Not signed: document.{name} is empty"
    if job.document.status == "draft":
        yield "The status of the document is draft"


def cannot_follow(job: Job, releases: Iterable[Release]) -> str:
    """Why this revision cannot be released after those that are out; empty where it can."""
    own = [
        each.record for each in releases
        if (each.record.number, each.record.site) == (job.job.number, job.job.site)
    ]  # fmt: skip
    document = job.document
    for each in own:
        if each.revision == document.revision:
            return (
                f"{each.name} is released already, and a release is never written over. "
                "Give document.revision its next letter or number."
            )
    last = max(own, key=lambda each: each.issue, default=None)
    if last is not None and str(document.date) < last.date:
        return (
            f"revision {document.revision} has the date {document.date}, which is before that of {last.name}. "
            "Set document.date to the day of this revision."
        )
    return ""
