"""What the pages of a job are made from: the job as it was read and computed, and the content that applies to it."""

from __future__ import annotations

from slackloop.document.book import CARDS_NAME
from slackloop.document.context import Context
from slackloop.document.known import known
from slackloop.document.worked import Worked, content_folders
from slackloop.sections.checker import check_content
from slackloop.sections.content import load_content
from slackloop.sections.content_error import refuse_faults


def context_of(worked: Worked) -> Context:
    """What the pages of a job are made from. Raises ``ContentError`` with every place where the content is faulty."""
    *own, standing = content_folders(worked.path)
    content = load_content(standing, own[0] if own and own[0].is_dir() else None)
    refuse_faults(check_content(content, known(worked.tables)))
    return Context(
        worked.job, worked.analysis, worked.tables, content, worked.reading, worked.fingerprint, CARDS_NAME,
        worked.findings, releases=worked.releases, released_as_draft=worked.released_as_draft,
        recorded=worked.recorded,
    )  # fmt: skip
