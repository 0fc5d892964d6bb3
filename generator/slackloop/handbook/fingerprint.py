"""The fingerprint: one hash of everything that a copy of the handbook was made from.

It is a SHA-256 over the normalised job, the content files and the reference tables. The same inputs give the
same fingerprint on any machine; a changed comment or a changed order of keys in the job file does not change it.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from pathlib import Path

from slackloop.job.source_file import read_regular

LARGEST_FILE_BYTES = 1_000_000
"""Most bytes that a content file may have (1 MB)."""
TAG = b"slackloop fingerprint 1\n"


def fingerprint(normalised_job: bytes, tables_digest: str, content_folders: Iterable[Path]) -> str:
    """Hex digits of the hash; content is taken from the first folder that holds a file of that name."""
    total = hashlib.sha256(TAG)
    for part in (normalised_job, tables_digest.encode(), content_digest(content_folders).encode()):
        total.update(len(part).to_bytes(8, "big") + part)
    return total.hexdigest()


def content_digest(folders: Iterable[Path]) -> str:
    """Hash of every content file by its name below the folder, line ends made equal.

    A file of the first folder stands in place of one of the same name in a later folder; word files are laid over
    each other and all count.
    """
    files: dict[str, Path] = {}
    for rank, folder in enumerate(folders):
        if not folder.is_dir():
            continue
        for path in folder.rglob("*"):
            if path.is_file() and path.suffix in {".md", ".yml", ".typ"}:
                name = path.relative_to(folder).as_posix()
                files.setdefault(f"{rank}/{name}" if name.startswith("words/") else name, path)
    total = hashlib.sha256()
    for name in sorted(files):
        raw, _ = read_regular(files[name], LARGEST_FILE_BYTES)
        # A file that is not read is refused by the reader of content, so no handbook rests on this hash.
        body = (raw or b"").replace(b"\r\n", b"\n")
        total.update(os.fsencode(f"{name}\0{len(body)}\0") + body)
    return total.hexdigest()
