"""The fingerprint: one hash of everything that a copy of the handbook was made from.

It is a SHA-256 over the normalised job, the content files and the reference tables. The same inputs give the
same fingerprint on any machine; a changed comment or a changed order of keys in the job file does not change it.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Collection, Iterable
from pathlib import Path

from slackloop.language.messages import TRANSLATED
from slackloop.sections.content import LARGEST_FILE_BYTES
from slackloop.source.source_file import read_regular

TAG = b"slackloop fingerprint 1\n"


def fingerprint(
    normalised_job: bytes, tables_digest: str, content_folders: Iterable[Path], releases: Iterable[str] = (),
    languages: Collection[str] = (),
) -> str:
    """Hex digits of the hash; content is taken from the first folder that holds a file of that name.

    ``releases`` are the digests of the releases before this revision: its history and its list of changes rest on them.
    """
    total = hashlib.sha256(TAG)
    for part in (normalised_job, tables_digest.encode(), content_digest(content_folders, languages).encode()):
        total.update(len(part).to_bytes(8, "big") + part)
    for digest in releases:
        total.update(b"release\n" + digest.encode())
    return total.hexdigest()


def draft_fingerprint(of: str) -> str:
    """The fingerprint of a copy that is released as a draft: its pages say so, so it is another copy."""
    return hashlib.sha256(TAG + b"draft\n" + of.encode()).hexdigest()


def content_digest(folders: Iterable[Path], languages: Collection[str] = ()) -> str:
    """Hash of every content file by its name below the folder, line ends made equal.

    A file of the first folder stands in place of one of the same name in a later folder; word files are laid over
    each other and all count. Text in another language counts where it is among ``languages``.
    """
    files: dict[str, Path] = {}
    for rank, folder in enumerate(folders):
        if not folder.is_dir():
            continue
        for path in folder.rglob("*"):
            if path.is_file() and path.suffix in {".md", ".yml", ".typ"}:
                name = path.relative_to(folder).as_posix()
                top = name.partition("/")[0]
                if top in TRANSLATED and top not in languages:
                    continue
                files.setdefault(f"{rank}/{name}" if name.startswith("words/") else name, path)
    total = hashlib.sha256()
    for name in sorted(files):
        raw, _ = read_regular(files[name], LARGEST_FILE_BYTES)
        # A file that is not read is refused by the reader of content, so no handbook rests on this hash.
        body = (raw or b"").replace(b"\r\n", b"\n")
        total.update(os.fsencode(f"{name}\0{len(body)}\0") + body)
    return total.hexdigest()
