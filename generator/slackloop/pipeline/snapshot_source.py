"""The snapshot behind anything that holds one: a release, a handbook's folder, a PDF, a snapshot, or a job file."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from slackloop.control.pdf_file import PdfUnreadable, read_pdf
from slackloop.control.releases import HANDBOOK, LARGEST_RECORD_BYTES
from slackloop.control.snapshot import ATTACHED, Snapshot, SnapshotUnreadable, read_snapshot
from slackloop.document.book import make_book
from slackloop.document.content_check import work_with_content
from slackloop.pipeline.handbook_folder import context_of


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
