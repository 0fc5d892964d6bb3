"""A revision frozen beside its job: its source, its handbook as built, what it says, and the hash of every file.

The snapshot behind anything that holds one: a release, a handbook's folder, a PDF, a snapshot, or a job file.
"""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from slackloop import __version__
from slackloop.control.change_words import summary
from slackloop.control.comparison import compare
from slackloop.control.copy_claims import PdfUnreadable, read_pdf
from slackloop.control.releases import (
    HANDBOOK,
    HASHES,
    LARGEST_RECORD_BYTES,
    RECORD,
    SOURCE,
    Release,
    ReleaseRecord,
    cannot_follow,
    hashes_bytes,
    read_releases,
    record_bytes,
    release_name,
    releases_folder,
    still_open,
)
from slackloop.control.snapshot import ATTACHED, Snapshot, SnapshotUnreadable, read_snapshot
from slackloop.document.book import make_book
from slackloop.document.worked import Worked, content_folders, work_with_content
from slackloop.output.folder import whole_folder
from slackloop.output.marker import OutputRefused, Owner, digest_of, entries_of
from slackloop.pipeline.handbook_folder import context_of, prepare_worked

FIRST_ISSUE = "First issue"


class NotReleased(Exception):
    """A revision that may not be released; ``reasons`` say why, a sentence each; ``draft_may`` whether a draft may."""

    def __init__(self, reasons: tuple[str, ...], *, draft_may: bool = False) -> None:
        super().__init__("\n".join(reasons))
        self.reasons = reasons
        self.draft_may = draft_may


def release_job(
    job_path: Path, *, draft: bool, paper: str | None, progress: Callable[[str], None]
) -> tuple[Release, Worked]:
    """Freeze the revision that a job states.

    Raises ``NotReleased`` for one that may not go out, ``worked.Refused`` for a job that is not good enough,
    ``OutputRefused`` for a folder that is there already, and ``BuildFaulty`` where content or pages have faults.
    """
    progress("reading and computing the job")
    worked = work_with_content(job_path)
    job, folder = worked.job, releases_folder(job_path)
    earlier = read_releases(folder)
    if reason := cannot_follow(job, earlier):
        raise NotReleased((reason,))
    last = worked.releases[-1].snapshot() if worked.releases else None
    open_things = still_open(job, worked.findings, _assumptions(worked), last.questions if last else ())
    if open_things and not draft:
        raise NotReleased(open_things, draft_may=True)
    if draft:
        worked = replace(worked, released_as_draft=True)
    target = folder / release_name(job.job.number, job.document.revision)
    folder.mkdir(parents=True, exist_ok=True)
    _refuse_there(target)
    try:
        with whole_folder(target, Owner("release", job.job.number, job.job.site)) as output:
            _refuse_there(target)
            record = _write(worked, output.fresh, draft, open_things if draft else (), paper, progress)
    except BaseException:
        if not any(folder.iterdir()):
            folder.rmdir()
        raise
    publish_hashes(folder)
    return Release(record, target), worked


def _assumptions(worked: Worked) -> tuple[str, ...]:
    """What the job takes to be so and nobody has confirmed, each with its key."""
    return tuple(f"{each.key}: {each.text} ({each.kind})" for each in worked.reading.assumptions)


def _refuse_there(target: Path) -> None:
    if os.path.lexists(target):
        raise OutputRefused(
            f"{target} is there already, and a release is never written over. "
            "Give document.revision its next letter or number."
        )


def _write(
    worked: Worked, fresh: Path, draft: bool, open_things: tuple[str, ...], paper: str | None,
    progress: Callable[[str], None],
) -> ReleaseRecord:  # fmt: skip
    """Source, handbook, snapshot and record into an empty folder."""
    _copy_source(worked, fresh / SOURCE)
    handbook = fresh / HANDBOOK
    handbook.mkdir()
    prepare_worked(worked, paper=paper, strict=False, progress=progress).publish(handbook)
    files = {
        path: digest_of(fresh / path) for path, entry in sorted(entries_of(fresh))
        if entry.is_file(follow_symlinks=False) and not path.rpartition("/")[2].startswith(".")
    }  # fmt: skip
    job, document = worked.job.job, worked.job.document
    record = ReleaseRecord(
        number=job.number, title=job.title, site=job.site, revision=document.revision, date=str(document.date),
        status=document.status, issue=len(worked.releases) + 1, draft=draft, fingerprint=worked.fingerprint,
        job_digest=hashlib.sha256(worked.reading.fingerprint_source).hexdigest(),
        change=_change(worked, read_snapshot((handbook / ATTACHED).read_bytes())), still_open=open_things,
        files=files, made_by=__version__,
    )  # fmt: skip
    (fresh / RECORD).write_bytes(record_bytes(record))
    return record


def _change(worked: Worked, snapshot: Snapshot) -> str:
    """What changed since the last release, in the job's own words where it gives them for this revision."""
    document = worked.job.document
    own = next((each.change for each in document.history if each.revision == document.revision), "")
    if own or not worked.releases:
        return own or FIRST_ISSUE
    return summary(compare(worked.releases[-1].snapshot(), snapshot))


def _copy_source(worked: Worked, folder: Path) -> None:
    """The job file, the standard that it names, and the firm's own content."""
    folder.mkdir()
    shutil.copyfile(worked.path, folder / worked.path.name)
    if worked.job.standard:
        standard = worked.path.resolve().parent / worked.job.standard
        (folder / "standard").mkdir()
        shutil.copyfile(standard, folder / "standard" / standard.name)
    *own, _ = content_folders(worked.path)
    for each in own:
        if each.is_dir():
            shutil.copytree(each, folder / "content", symlinks=True)


def publish_hashes(folder: Path) -> None:
    """Write the list of hashes of every release in ``folder``, in one step."""
    part = folder / f".{HASHES}.part"
    part.write_bytes(hashes_bytes(each.record for each in read_releases(folder)))
    os.replace(part, folder / HASHES)


class NothingToCompare(Exception):
    """A file that holds no revision of a handbook; the message says what was expected."""


def snapshot_behind(path: Path) -> Snapshot:
    """What the revision in ``path`` says.

    Raises ``NothingToCompare``, ``worked.Refused`` for a job that is not good enough, and ``OSError``.
    """
    if path.is_dir():
        return _in_folder(path)
    if path.exists() and not path.is_file():
        raise NothingToCompare(f"{path} is neither a file nor a folder")
    with path.open("rb") as stream:
        start = stream.read(5)
    if start == b"%PDF-":
        return _in_pdf(path)
    if path.suffix.lower() == ".json":
        return _read_file(path)
    return _of_job(path)


def _in_folder(folder: Path) -> Snapshot:
    for place in (folder / HANDBOOK / ATTACHED, folder / ATTACHED):
        if place.is_file():
            return _read_file(place)
    raise NothingToCompare(f"{folder} holds neither a release nor a handbook that can be compared")


def _read_file(path: Path) -> Snapshot:
    if path.stat().st_size > LARGEST_RECORD_BYTES:
        raise NothingToCompare(f"{path} is too large for a snapshot of a handbook")
    return _read(path.read_bytes(), path)


def _read(data: bytes, path: Path) -> Snapshot:
    try:
        return read_snapshot(data)
    except SnapshotUnreadable as wrong:
        raise NothingToCompare(f"{path}: {wrong}") from wrong


def _in_pdf(path: Path) -> Snapshot:
    """The snapshot attached to a PDF; for one without, the job attached to it is computed with today's text."""
    try:
        attached = read_pdf(path).attached
    except PdfUnreadable as wrong:
        raise NothingToCompare(f"{path}: {wrong}") from wrong
    if ATTACHED in attached:
        return _read(attached[ATTACHED], path)
    jobs = [name for name in attached if name.lower().endswith((".yml", ".yaml"))]
    if not jobs:
        raise NothingToCompare(f"{path}: no job is attached to this PDF; take the printed handbook, not the cards")
    with TemporaryDirectory() as folder:
        job = Path(folder) / "job.yml"
        job.write_bytes(attached[jobs[0]])
        return _of_job(job)


def _of_job(path: Path) -> Snapshot:
    snapshot = make_book(context_of(work_with_content(path))).snapshot
    assert snapshot is not None
    return snapshot
