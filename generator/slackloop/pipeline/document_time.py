"""The time that stands in the files of a document."""

from __future__ import annotations

from datetime import UTC, datetime, time

from slackloop.site.models import Job


def document_time(job: Job) -> datetime:
    """The one time that stands in the files: the start of the document's own date, so that bytes do not change."""
    return datetime.combine(job.document.date, time(), tzinfo=UTC)
