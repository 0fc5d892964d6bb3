"""Writing a file so that a failure names it: the system names a file where it is opened, not where the disk is full."""

from __future__ import annotations

from pathlib import Path


def write_file(path: Path, data: bytes | str) -> None:
    """Write bytes, or text as UTF-8; raises ``OSError`` with the file's name, whatever failed."""
    try:
        path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
    except OSError as problem:
        if problem.filename is None:
            problem.filename = str(path)
        raise
