"""The releases beside a job: one folder for each revision that was frozen, and the list of their hashes.

``releases/NUMBER-REVISION/`` holds ``release.json`` (what was released, with the SHA-256 of every file), the source
(job, standard, the firm's own content) and the handbook as built, with its snapshot. ``releases/hashes.json`` is all
records in one file, for a firm to publish: a copy can be checked against it without the releases themselves.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from slackloop.control.snapshot import ATTACHED, Snapshot, SnapshotUnreadable, read_snapshot

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
