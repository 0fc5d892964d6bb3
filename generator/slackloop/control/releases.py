"""The releases beside a job: one folder for each revision that was frozen, and the list of their hashes.

``releases/NUMBER-REVISION/`` holds ``release.json`` (what was released, with the SHA-256 of every file), the source
(job, standard, the firm's own content) and the handbook as built, with its snapshot. ``releases/hashes.json`` is all
records in one file, for a firm to publish: a copy can be checked against it without the releases themselves.

The history of a document: made from its releases and from what the job says of issues before them.

What stands against a release: errors, open questions, open assumptions, blank signatures, a revision that is out.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import TypeAdapter, ValidationError

from slackloop.site.models import Job
from slackloop.source.finding import Finding, Placed

if TYPE_CHECKING:
    from slackloop.control.snapshot import Question, Snapshot

FOLDER = "releases"
RECORD = "release.json"
HASHES = "hashes.json"
HANDBOOK = "handbook"
SOURCE = "source"
FORMAT = 1
LARGEST_RECORD_BYTES = 200_000_000
_ODD = re.compile(r"[^A-Za-z0-9._-]+")


class ReleaseUnreadable(OSError):
    """A record of a release, or a list of hashes, that cannot be read; told like any file that cannot be read."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(None, why, str(path))
        self.strerror = why


@dataclass(frozen=True, slots=True)
class ReleaseRecord:
    """What was released. ``issue`` counts the releases of a job from 1; ``change`` says what changed, in a few words.

    ``job_digest`` is the hash of the job's meaning, ``still_open`` what a draft was released with, ``files`` the
    SHA-256 of every file by its path from the folder of the release, and ``made_by`` the version of the program.
    """

    number: str
    title: str
    site: str
    revision: str
    date: str
    status: str
    issue: int
    draft: bool
    fingerprint: str
    job_digest: str
    change: str
    still_open: tuple[str, ...]
    files: Mapping[str, str]
    made_by: str
    format: int = FORMAT

    @property
    def name(self) -> str:
        """The release in words."""
        return f"{self.number}, revision {self.revision} of {self.date}"

    @property
    def is_draft(self) -> bool:
        """Whether nobody may build from it."""
        return self.draft or self.status == "draft"

    def same_job(self, other: ReleaseRecord) -> bool:
        """Whether both are of one job."""
        return (self.number, self.site) == (other.number, other.site)


@dataclass(frozen=True, slots=True)
class Release:
    """One release and the folder that it lies in."""

    record: ReleaseRecord
    folder: Path

    @property
    def digest(self) -> str:
        """A hash of the whole record, so of every file in it."""
        return hashlib.sha256(record_bytes(self.record)).hexdigest()

    def snapshot(self) -> Snapshot:
        """What it says. Raises ``ReleaseUnreadable``."""
        from slackloop.control.snapshot import ATTACHED, SnapshotUnreadable, read_snapshot  # a check needs none of it

        path = self.folder / HANDBOOK / ATTACHED
        try:
            return read_snapshot(path.read_bytes())
        except SnapshotUnreadable as wrong:
            raise ReleaseUnreadable(path, str(wrong)) from wrong


def releases_folder(job: Path) -> Path:
    """Where the releases of a job lie."""
    return job.resolve().parent / FOLDER


def release_name(number: str, revision: str) -> str:
    """The name of a release's folder; what a disk may refuse becomes a line."""
    return f"{_plain(number)}-{_plain(revision)}"


def _plain(text: str) -> str:
    return _ODD.sub("_", text).strip(".")[:80] or "_"


def record_bytes(record: ReleaseRecord) -> bytes:
    """A record as JSON in UTF-8."""
    return (json.dumps(asdict(record), ensure_ascii=False, indent=1) + "\n").encode("utf-8", "replace")


def hashes_bytes(records: Iterable[ReleaseRecord]) -> bytes:
    """The list of hashes that a firm publishes, as JSON in UTF-8."""
    told = {"format": FORMAT, "releases": [asdict(each) for each in records]}
    return (json.dumps(told, ensure_ascii=False, indent=1) + "\n").encode("utf-8", "replace")


def read_releases(folder: Path) -> tuple[Release, ...]:
    """Every release in a folder of releases, by job and issue; none where there is no such folder.

    Raises ``ReleaseUnreadable`` for a record that cannot be read.
    """
    if not folder.is_dir():
        return ()
    found = [
        Release(_record(place / RECORD), place)
        for place in sorted(folder.iterdir())
        if not place.name.startswith(".") and (place / RECORD).is_file()
    ]
    return tuple(sorted(found, key=lambda each: (each.record.number, each.record.site, each.record.issue)))


def hashes_data(path: Path) -> bytes:
    """The bytes of a published list, which a signature is over. Raises ``ReleaseUnreadable``."""
    return _read(path)


def read_hashes(path: Path, data: bytes | None = None) -> tuple[ReleaseRecord, ...]:
    """The records of a published list, or of the ``data`` that was read from it. Raises ``ReleaseUnreadable``."""
    try:
        told = json.loads(_read(path) if data is None else data)
        records = told["releases"] if isinstance(told, dict) else None
        return TypeAdapter(tuple[ReleaseRecord, ...]).validate_python(records)
    except (ValidationError, ValueError, KeyError, RecursionError) as wrong:
        raise ReleaseUnreadable(path, "it is no list of hashes that this version can read") from wrong


def _record(path: Path) -> ReleaseRecord:
    try:
        record = TypeAdapter(ReleaseRecord).validate_json(_read(path))
    except (ValidationError, RecursionError) as wrong:
        raise ReleaseUnreadable(path, "it is no record of a release that this version can read") from wrong
    if record.format != FORMAT:
        raise ReleaseUnreadable(path, f"it is a record of format {record.format}, and this version reads {FORMAT}")
    return record


def _read(path: Path) -> bytes:
    if path.stat().st_size > LARGEST_RECORD_BYTES:
        raise ReleaseUnreadable(path, "it is too large for a record of releases")
    return path.read_bytes()


def releases_before(releases: Iterable[Release], number: str, site: str, revision: str) -> tuple[Release, ...]:
    """The releases of a job that came before a revision: all of them where it is not released yet."""
    own = [each for each in releases if (each.record.number, each.record.site) == (number, site)]
    here = next((each.record.issue for each in own if each.record.revision == revision), None)
    return tuple(each for each in own if here is None or each.record.issue < here)


def newest(records: Iterable[ReleaseRecord]) -> ReleaseRecord | None:
    """The release of one job that counts today: the last that is no draft, else the last."""
    ordered = sorted(records, key=lambda each: (not each.is_draft, each.issue))
    return ordered[-1] if ordered else None


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
