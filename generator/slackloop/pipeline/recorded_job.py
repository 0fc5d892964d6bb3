"""A job with what was recorded of it: how it stands, and the path as it was built.

Files of records judged by a job as it is, and by the releases beside it where they were written on an older one.

What the pages of a job are made from: the job as it was read and computed, and the content that applies to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from slackloop.compute.computed_job import Verdict
from slackloop.control.comparison import CardChange, card_changes
from slackloop.control.fingerprint import draft_fingerprint
from slackloop.control.releases import Release, read_releases, releases_folder
from slackloop.document.book import CARDS_NAME
from slackloop.document.boxes.card import cards_of
from slackloop.document.boxes.due_records import due_list
from slackloop.document.context import Context
from slackloop.document.recorded import Recorded, counted, told_counts
from slackloop.document.revision.snapshot_maker import card_text
from slackloop.document.tables.registry import known
from slackloop.document.worked import Worked, content_folders
from slackloop.records.as_built import as_built_of
from slackloop.records.record_file import RecordFile, read_records
from slackloop.records.report import is_among
from slackloop.records.result import RUN, Older, Results
from slackloop.records.standing import judge_job
from slackloop.sections.checker import content_errors
from slackloop.sections.content import load_content, refuse_faults
from slackloop.sections.format import listing
from slackloop.source.finding import Placed, place_finding
from slackloop.source.suggestions import listed

AHEAD = timedelta(days=1)
"""How far a device's clock may be ahead."""
MOST_REASONS = 3
"""Lines of a card that are named where it has changed."""


class NothingRead(Exception):
    """Files of records of which nothing could be read; ``files`` say why."""

    def __init__(self, files: Sequence[RecordFile]) -> None:
        super().__init__("\n".join(f"{row.file}: {row.message}" for each in files for row in each.refused))
        self.files = tuple(files)


def judged_records(
    worked: Worked, context: Context, paths: Sequence[Path], now: datetime | None = None
) -> Results:  # fmt: skip
    """How the job stands by these files. With ``now``, the notes name rows that are still to come; no clock decides.

    Raises ``NothingRead`` where there is no good row in any of them, and ``ReleaseUnreadable``.
    """
    files = [read_records(path, path.as_posix()) for path in dict.fromkeys(paths)]
    if not any(each.records for each in files) and any(each.refused for each in files):
        raise NothingRead(files)
    present = worked.fingerprint, draft_fingerprint(worked.fingerprint)
    results = judge_job(due_list(context), files, present, OlderHandbooks(worked, context))
    return results if now is None else replace(results, notes=(*results.notes, *_still_to_come(files, now)))


def _still_to_come(files: Sequence[RecordFile], now: datetime) -> Iterator[str]:
    """Each file with rows of the day after ``now`` or later, which would count for ever."""
    for each in files:
        rows = [str(record.row) for record in each.records if record.when > now + AHEAD]
        if rows:
            yield f"{each.name}: rows with a time still to come, was the clock of the device set? Rows {listed(rows)}."


class OlderHandbooks:
    """Gives an older handbook of the job by its fingerprint, where a release beside the job has it."""

    def __init__(self, worked: Worked, context: Context) -> None:
        self._worked = worked
        self._context = context
        self._releases: tuple[Release, ...] | None = None
        self._found: dict[str, Older | None] = {}

    def __call__(self, fingerprint: str) -> Older | None:
        """The handbook with this fingerprint; nothing where it is not known."""
        if fingerprint not in self._found:
            self._found[fingerprint] = self._older(fingerprint)
        return self._found[fingerprint]

    def _older(self, fingerprint: str) -> Older | None:
        if self._releases is None:
            job = self._worked.job.job
            every = read_releases(releases_folder(self._worked.path))
            self._releases = tuple(
                each for each in every if (each.record.number, each.record.site) == (job.number, job.site)
            )
        for release in self._releases:
            if is_among(fingerprint, (release.record.fingerprint,)):
                return Older(f"revision {release.record.revision}", dict(self._changed(release)))
        return None

    def _changed(self, release: Release) -> Iterator[tuple[str, str]]:
        """The subject of each card that has changed since a release, with the reason."""
        old = release.snapshot().cards
        new = {card.id: card_text(card) for card in cards_of(self._context)}
        for change in card_changes(old, new):
            if change.state != "new":
                card = new.get(change.box) or old[change.box]
                yield f"{RUN if card.kind == 'run' else ''}{change.box}", _reason(change, release.record.revision)


def _reason(change: CardChange, revision: str) -> str:
    """Why records of a card count no more."""
    if change.state == "gone":
        return f"it is in revision {revision}, and not in this handbook"
    none = "not there"
    first = {each.label: each for each in reversed(change.why)}  # lines of one name, as loop limits, are told once
    lines = [first[name] for name in change.labels[:MOST_REASONS]]
    told = [f"{each.label}: {each.old or none}, now {each.new or none}" for each in lines]
    more = len(first) - len(told)
    return f"its card has changed since revision {revision}: {'; '.join(told)}{f'; and {more} more' if more else ''}"


def context_of(worked: Worked) -> Context:
    """What the pages of a job are made from. Raises ``ContentError`` with every place where the content is faulty."""
    *own, standing = content_folders(worked.path)
    content = load_content(standing, own[0] if own and own[0].is_dir() else None)
    refuse_faults(content_errors(content, known(worked.tables)))
    return Context(
        worked.job, worked.analysis, worked.tables, content, worked.reading, worked.fingerprint, CARDS_NAME,
        worked.findings, releases=worked.releases, released_as_draft=worked.released_as_draft,
        recorded=worked.recorded,
    )  # fmt: skip


def with_records(worked: Worked, paths: Sequence[Path]) -> Worked:
    """The job with the results of these files; raises ``NothingRead`` where there is no good row in any of them."""
    results = judged_records(worked, context_of(worked), paths)
    built = as_built_of(worked.job, worked.analysis, results, worked.tables)
    return replace(worked, recorded=Recorded(results, built))


def built_findings(worked: Worked) -> tuple[Placed, ...]:
    """What the check of the path as built finds, each at the place of the job file that states what was planned."""
    if worked.recorded is None:
        return ()
    placed = []
    for each in worked.recorded.as_built.findings:
        place = worked.reading.places.locate(each.at)
        placed.append(place_finding(each, place.file, place.line, place.column, place.excerpt))
    return tuple(placed)


def verdict_of(worked: Worked) -> Verdict:
    """``fail`` where the job fails its check, as planned or as built."""
    if worked.recorded is not None and worked.recorded.as_built.verdict == "fail":
        return "fail"
    return worked.analysis.verdict


def recorded_lines(worked: Worked) -> tuple[str, ...]:
    """What a person is told of the records: rows and values that are not used, notes on files, and how results stand.
    """
    recorded = worked.recorded
    if recorded is None:
        return ()
    results = recorded.results
    return (
        *(f"{each.file}, row {each.row}: {each.message}" for each in results.refused),
        *(
            f"{record.file}, row {record.row}: {record.subject} {record.check} is not used: {each.why}"
            for each in recorded.as_built.not_taken for record in (each.record,)
        ),
        *results.notes,
        f"results: {listing(list(told_counts(counted(recorded.needed)))) or 'none'}; {recorded.statement}",
    )  # fmt: skip
