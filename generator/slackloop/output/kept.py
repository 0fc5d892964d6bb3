"""What a person put into a handbook's folder, or changed there, goes along into the next handbook.

A file that stands in nobody's way keeps its place. Where the new handbook has a file of its own at that place, the
person's goes into the folder ``kept``. Files are linked, not moved, so that the old folder stays whole until the new
one is in its place.
"""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import takewhile
from pathlib import Path, PurePosixPath

from slackloop.output.marker import MARKER, digest_of, entries_of, read_marker

KEPT = "kept"


@dataclass(frozen=True)
class Kept:
    """One file, link or empty folder of a person's: where it was and where it lies now, from the handbook's folder."""

    was: str
    path: str


def keep_files(old: Path, new: Path) -> tuple[Kept, ...]:
    """Give every file of a person's in ``old`` a place in ``new`` too; ``old`` stays as it is.

    What lies in ``new`` already, as left by a call before, is given again and not doubled. Raises ``OSError`` where a
    file can be neither linked nor copied.
    """
    theirs = sorted(files_of_a_person(old))
    free = {path for path in theirs if _is_free(new, path)}
    kept, made = [], dict[Path, Path]()
    for path in sorted(theirs, key=lambda each: (each not in free, each)):
        place = next(place for place in _places(path) if _is_free(new, place) or _same(old / path, new / place))
        if not os.path.lexists(new / place):
            made |= _folders_above(old / path, new / place)
            _put(old / path, new / place)
        kept.append(Kept(path, place))
    for folder, like in sorted(made.items(), reverse=True):  # at the end: a folder may be closed to writing
        shutil.copymode(like, folder)
    return tuple(sorted(kept, key=lambda each: each.was))


def files_of_a_person(folder: Path) -> Iterator[str]:
    """Paths of what is not as the folder's marker lists it: files, links and empty folders; all where it lists none."""
    marker = read_marker(folder)
    listed = (marker.files if marker else None) or {}
    ours = {str(parent) for path in listed for parent in PurePosixPath(path).parents}
    for path, entry in entries_of(folder):
        if path in (MARKER, f"{MARKER}.part"):
            continue
        if entry.is_dir(follow_symlinks=False):
            if path not in ours and not any(Path(entry.path).iterdir()):
                yield path
        elif not (path in listed and entry.is_file(follow_symlinks=False) and digest_of(folder / path) == listed[path]):
            yield path


def _places(path: str) -> Iterator[str]:
    """Where a person's file may go, best first."""
    yield path
    own = PurePosixPath(path) if path.startswith(f"{KEPT}/") else PurePosixPath(KEPT, path)
    yield str(own)
    number = 2
    while True:
        yield str(own.with_name(f"{own.stem}-{number}{own.suffix}"))
        number += 1


def _is_free(folder: Path, path: str) -> bool:
    """Whether nothing lies at a place, and nothing but folders on the way to it."""
    if os.path.lexists(folder / path):
        return False
    above = [folder / parent for parent in PurePosixPath(path).parents]
    return all(stat.S_ISDIR(each.lstat().st_mode) for each in above if os.path.lexists(each))


def _same(one: Path, other: Path) -> bool:
    """Whether two entries are one file, or say the same."""
    try:
        first, second = one.lstat(), other.lstat()
        if os.path.samestat(first, second):
            return True
        if stat.S_IFMT(first.st_mode) != stat.S_IFMT(second.st_mode):
            return False
        if stat.S_ISLNK(first.st_mode):
            return os.readlink(one) == os.readlink(other)
        if stat.S_ISREG(first.st_mode):
            return first.st_size == second.st_size and digest_of(one) == digest_of(other)
        return stat.S_ISDIR(first.st_mode)
    except OSError:
        return False


def _folders_above(source: Path, target: Path) -> dict[Path, Path]:
    """Make the folders that ``target`` needs; each with the one that ``source`` lies in at that level."""
    needed = list(takewhile(lambda pair: not pair[0].exists(), zip(target.parents, source.parents, strict=False)))
    target.parent.mkdir(parents=True, exist_ok=True)
    return {folder: like for folder, like in needed if like.name == folder.name}


def _put(source: Path, target: Path) -> None:
    """Link one entry into the new folder, or copy it where the disk knows no links."""
    mode = source.lstat().st_mode
    if stat.S_ISLNK(mode):
        os.symlink(os.readlink(source), target)
    elif stat.S_ISDIR(mode):
        target.mkdir()
    elif os.name == "nt" or not _linked(source, target):
        if not stat.S_ISREG(mode):
            raise OSError(None, "neither a file nor a link, and this disk cannot take it along", str(source))
        shutil.copy2(source, target)


def _linked(source: Path, target: Path) -> bool:
    try:
        os.link(source, target, follow_symlinks=False)
    except OSError:
        return False
    return True


def remove_folder(folder: Path) -> None:
    """Remove a folder of ours, its marker last: a stop on the way leaves one that the next build knows as ours.

    What cannot be removed stays; folders that may not be written are made writable first.
    """
    for here, names, _ in os.walk(folder):
        for each in (Path(here), *(Path(here, name) for name in names)):
            if not each.is_symlink() and not os.access(each, os.R_OK | os.W_OK | os.X_OK):
                with suppress(OSError):
                    each.chmod(0o700)
    try:
        entries = [entry for entry in os.scandir(folder) if entry.name != MARKER]
    except OSError:
        return
    for entry in entries:
        if entry.is_dir(follow_symlinks=False):
            shutil.rmtree(entry.path, ignore_errors=True)
        else:
            with suppress(OSError):
                os.unlink(entry.path)
    if {entry.name for entry in os.scandir(folder)} <= {MARKER}:
        with suppress(OSError):
            (folder / MARKER).unlink()
            folder.rmdir()
