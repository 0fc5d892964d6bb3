"""The history of a document: made from its releases and from what the job says of issues before them."""

from __future__ import annotations

from collections.abc import Iterable

from slackloop.control.releases import Release
from slackloop.site.models import Job

THIS_ISSUE = "This issue"
Row = tuple[str, str, str]
"""Revision, date, what changed."""


def history(job: Job, releases: Iterable[Release]) -> tuple[Row, ...]:
    """Every issue, oldest first, this one last whatever the job lists.

    ``releases`` are those before this revision. The job's own words for a revision go before those of its release;
    words that it gives for this very revision stand with it.
    """
    own = job.document
    told = {each.revision: (each.revision, str(each.date), each.change) for each in own.history}
    words = told.pop(own.revision, None)
    for release in releases:
        record = release.record
        change = told[record.revision][2] if record.revision in told else record.change
        mark = " (draft)" if record.is_draft and "draft" not in change.lower() else ""
        told[record.revision] = record.revision, record.date, f"{change}{mark}"
    earlier = sorted(told.values(), key=lambda row: row[1])
    return (*earlier, (own.revision, str(own.date), words[2] if words else THIS_ISSUE))
