"""The marker: the file in a handbook's folder that says which job it belongs to and what the build wrote.

It lists every file with its SHA-256, so that the next build can tell what a person put there or changed. A marker
without that list stands in a folder that a build has begun and not finished.

Why a folder may not be written.

A folder for passing files that a stop leaves behind and the next run clears away.

Each carries a lock that the operating system frees when its process dies, so a folder whose lock is free is nobody's.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from filelock import FileLock, Timeout

MARKER = ".slackloop-output"
FORMAT = 2
"""Format 1 had neither owner nor list."""


@dataclass(frozen=True)
class Owner:
    """The job or the standard that a folder belongs to; ``number`` and ``site`` tell two of them apart."""

    kind: str
    number: str
    site: str = ""

    def __str__(self) -> str:
        """The owner in words: ``job HF-2031, Heron Fold Arboretum``."""
        return f"{self.kind} {self.number or 'without a number'}" + (f", {self.site}" if self.site else "")


@dataclass(frozen=True)
class Marker:
    """What a marker says; ``files`` gives the SHA-256 of each file by its path from the folder, or nothing yet."""

    format: int
    owner: Owner | None = None
    files: Mapping[str, str] | None = None


def read_marker(folder: Path) -> Marker | None:
    """The marker of a folder; nothing where it has none that can be read."""
    try:
        said = json.loads((folder / MARKER).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    if not isinstance(said, dict) or said.get("tool") != "slackloop" or not isinstance(said.get("format"), int):
        return None
    files, owner = said.get("files"), said.get("owner")
    return Marker(
        said["format"],
        Owner(**owner) if isinstance(owner, dict) and set(owner) == {"kind", "number", "site"} else None,
        {str(path): str(digest) for path, digest in files.items()} if isinstance(files, dict) else None,
    )


def begin_marker(folder: Path) -> None:
    """Mark a folder as one that a build has begun."""
    _write(folder, {})


def seal_marker(folder: Path, owner: Owner) -> None:
    """List everything that lies in ``folder``: from here on it is whole."""
    files = {path: digest_of(folder / path) for path, entry in sorted(entries_of(folder)) if _is_file(entry)}
    files.pop(MARKER, None)
    _write(folder, {"owner": asdict(owner), "files": files})


def _write(folder: Path, more: Mapping[str, object]) -> None:
    text = json.dumps({"tool": "slackloop", "format": FORMAT, **more}, sort_keys=True, indent=0)
    part = folder / f"{MARKER}.part"
    part.write_text(text + "\n", encoding="utf-8")
    os.replace(part, folder / MARKER)


def entries_of(folder: Path) -> Iterator[tuple[str, os.DirEntry[str]]]:
    """Everything below a folder by its path from there, with ``/``; links are given and never followed."""
    waiting = [""]
    while waiting:
        here = waiting.pop()
        with os.scandir(folder / here) as found:
            for entry in found:
                path = f"{here}/{entry.name}" if here else entry.name
                yield path, entry
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(path)


def _is_file(entry: os.DirEntry[str]) -> bool:
    return entry.is_file(follow_symlinks=False)


def digest_of(path: Path) -> str:
    """SHA-256 of a plain file, in hex."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


class OutputRefused(Exception):
    """The output folder may not be written; the message says why and what to do."""


PREFIX = "slackloop-"
LOCK = "in-use.lock"


@contextmanager
def scratch_folder() -> Iterator[Path]:
    """A folder for the block; whatever this process asks of ``tempfile`` meanwhile lies in it too."""
    clear_scratch()
    folder = Path(tempfile.mkdtemp(prefix=PREFIX))
    lock = FileLock(folder / LOCK, timeout=0, thread_local=False)
    lock.acquire()
    before, tempfile.tempdir = tempfile.tempdir, str(folder)
    try:
        yield folder
    finally:
        tempfile.tempdir = before
        lock.release()
        shutil.rmtree(folder, ignore_errors=True)


def clear_scratch() -> None:
    """Remove the folders of processes that were killed; those in use, and those of another person, stay."""
    for folder in Path(tempfile.gettempdir()).glob(f"{PREFIX}*"):
        with suppress(OSError, Timeout):
            if folder.is_symlink() or not (folder / LOCK).is_file() or not os.access(folder, os.W_OK):
                continue
            with FileLock(folder / LOCK, timeout=0, thread_local=False):
                shutil.rmtree(folder, ignore_errors=True)
