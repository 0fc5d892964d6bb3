"""What stands against a release: errors, open questions, open assumptions, blank signatures, a revision that is out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from slackloop.control.releases import Release
from slackloop.control.snapshot import Question
from slackloop.site.models import Job
from slackloop.source.finding import Finding, Placed


def still_open(
    job: Job, findings: Iterable[Placed], assumptions: Iterable[str] = (), questions: Iterable[Question] = ()
) -> tuple[str, ...]:
    """What keeps a revision from being released for work, a sentence each; a draft is released with it.

    ``questions`` are those of the release before, with the figures that their answers were given for.
    """
    found = tuple(findings)
    return (*_open(job, found, tuple(assumptions)), *_lapsed(found, questions))


def _lapsed(findings: Iterable[Placed], questions: Iterable[Question]) -> Iterator[str]:
    """Answers that were given for other figures than those of this revision."""
    before = {(each.code, each.boxes): each for each in questions if each.answer}
    for each in findings:
        was = before.get((each.code, places_of(each)))
        if was and each.answer and each.answer.sentence == was.answer and each.message != was.text:
            yield (
                f"Answer {each.code} was given for other figures. It was given for: {was.text} "
                f"Now it is: {each.message} Ask again, and state the new answer with its date"
            )


def places_of(finding: Placed | Finding) -> tuple[str, ...]:
    """The boxes and runs that a finding speaks of."""
    return finding.of or ((finding.box,) if finding.box else ())


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
