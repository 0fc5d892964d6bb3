"""A handbook's folder: written aside, then put in place whole, with a person's own files in it.

The folder carries a marker. A folder without one was made by somebody else and is never touched. While a build
writes, the last good folder stays in place; a build that is killed leaves it there, and the next one clears up.

Two folders exchange their names in one step, so that at no moment either name is without a folder.

Linux has ``renameat2`` with RENAME_EXCHANGE (man page renameat2(2)), macOS ``renamex_np`` with RENAME_SWAP (man page
rename(2)). Python offers neither. Other systems, and disks that do not know it, take two renames.

A lock beside an output folder, so that two builds to one folder never mix.

The operating system frees the lock when a process dies, so the file that a killed build leaves blocks nobody.
"""

from __future__ import annotations

import ctypes
import os
import re
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from filelock import FileLock, Timeout

from slackloop.output.kept import Kept, keep_files, remove_folder
from slackloop.output.marker import FORMAT, Marker, OutputRefused, Owner, begin_marker, read_marker, seal_marker

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
_RENAME_SWAP = 2


def exchange(one: Path, other: Path) -> bool:
    """Let two folders on one disk change names; False where the system cannot, and then nothing has happened."""
    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "linux":
            answer = library.renameat2(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE)
        elif sys.platform == "darwin":
            answer = library.renamex_np(os.fsencode(one), os.fsencode(other), _RENAME_SWAP)
        else:
            return False
    except (OSError, AttributeError, TypeError):
        return False
    return bool(answer == 0)


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the lock of a folder for the block; the folder above is made where it is not there.

    Raises ``OutputRefused`` at once where another build holds it, and where nothing can be written beside the folder.
    """
    name = folder.parent / f".{folder.name}.lock"
    lock = FileLock(name, timeout=0, thread_local=False)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        lock.acquire()
    except Timeout:
        raise OutputRefused(f"Another build is writing {folder}. Wait until it ends.") from None
    except OSError as error:
        raise OutputRefused(f"{folder} cannot be written: {(error.strerror or str(error)).lower()}.") from error
    try:
        yield
    finally:
        with suppress(OSError):  # before the release: whoever waits for this file finds it gone and makes a new one
            name.unlink()
        lock.release()


ASIDE = ".new"
"""Ending of a folder that a build is writing; what is in it is worth nothing."""
OLD = ".old"
"""Ending of a folder that gave its place to a new one; what a person put in it is taken along before it goes."""


class Output:
    """One build's hold on a folder: it writes into ``fresh``, which takes the place of ``folder`` at the end."""

    def __init__(self, folder: Path, fresh: Path) -> None:
        self.folder, self.fresh = folder, fresh
        self.in_place = False
        self.kept: tuple[Kept, ...] = ()


def check_output(folder: Path, owner: Owner | None = None) -> None:
    """Raise ``OutputRefused`` unless ``folder`` is absent, empty, or made by this tool for ``owner``.

    A link is refused too: putting a folder in its place would leave what it points to unchanged.
    """
    if folder.is_symlink():
        raise OutputRefused(f"{folder} is a link. Name the folder itself.")
    if not folder.exists():
        return
    if not folder.is_dir():
        raise OutputRefused(f"{folder} is a file. Name a folder for the handbook.")
    marker = read_marker(folder)
    if marker is None:
        if any(folder.iterdir()):
            raise OutputRefused(
                f"{folder} holds files that this tool did not make, so nothing in it was changed. "
                "Name a new or empty folder, or move those files away."
            )
        return
    _check_marker(folder, marker, owner)


def _check_marker(folder: Path, marker: Marker, owner: Owner | None) -> None:
    if marker.format > FORMAT:
        raise OutputRefused(
            f"{folder} is from a newer version: output format {marker.format}, this one writes {FORMAT}."
        )
    if marker.files is None or marker.owner is None:
        raise OutputRefused(
            f"{folder} is from an earlier version, which kept no list of the files that it wrote. "
            "Files of your own may lie there, so nothing in it was changed. Name a new folder, or move this one away."
        )
    if owner is not None and owner != marker.owner:
        raise OutputRefused(
            f"{folder} holds the handbook of {marker.owner}; this is {owner}. Nothing was changed. "
            "Name another folder with -o, or move that one away."
        )


@contextmanager
def whole_folder(folder: Path, owner: Owner) -> Iterator[Output]:
    """Give a fresh folder to write into, and put it in place of ``folder`` when the block ends well.

    The fresh folder is a sibling, so that no file is copied. When the block raises, it is removed and ``folder``
    stays as it was. Raises ``OutputRefused`` before anything is written, and where ``folder`` cannot be replaced.
    """
    folder = Path(os.path.abspath(folder))
    check_output(folder, owner)
    with locked(folder):
        check_output(folder, owner)
        clear_leftovers(folder)
        output = Output(folder, _begin(folder))
        try:
            yield output
            _put_in_place(output, owner)
        finally:
            remove_folder(output.fresh)
            clear_leftovers(folder)


def _begin(folder: Path) -> Path:
    """A new folder beside ``folder``, as open to others as that one is."""
    try:
        fresh = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", suffix=ASIDE, dir=folder.parent))
        os.chmod(fresh, folder.stat().st_mode & 0o777 | 0o700 if folder.exists() else 0o777 & ~_umask())
        begin_marker(fresh)
    except OSError as error:
        raise OutputRefused(f"{folder} cannot be written: {(error.strerror or str(error)).lower()}.") from error
    return fresh


def _umask() -> int:
    """The process's file mode mask; reading it means setting it for a moment."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


def _put_in_place(output: Output, owner: Owner) -> None:
    """List what was written, take a person's files along, let the two folders change names, and remove the former one.

    A new folder first gets the ending of an old one: from the exchange on it is one.
    """
    folder, ready = output.folder, output.fresh.with_suffix(OLD)
    try:
        seal_marker(output.fresh, owner)
        if folder.exists():
            output.kept = keep_files(folder, output.fresh)
            os.rename(output.fresh, ready)
            if not exchange(ready, folder):
                _two_renames(ready, folder)
        else:
            os.rename(output.fresh, folder)
    except OSError as error:
        remove_folder(ready)
        name = f"{error.filename}: " if error.filename else ""
        why = name + (error.strerror or str(error)).lower()
        raise OutputRefused(f"{folder} cannot be replaced: {why}. It is as it was.") from error
    output.in_place = True


def _two_renames(ready: Path, folder: Path) -> None:
    """Where two folders cannot change names at once: a stop between the renames is mended by the next build."""
    old = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", suffix=OLD, dir=folder.parent))
    old.rmdir()
    os.rename(folder, old)
    try:
        os.rename(ready, folder)
    except OSError:
        os.rename(old, folder)
        raise


def clear_leftovers(folder: Path) -> None:
    """Remove what builds to this folder left beside it; the lock says that none of them still runs.

    A person's files in a former folder are taken along first. Where a stop left no folder in place, the former one
    gets its place back.
    """
    ours = re.compile(re.escape(f".{folder.name}-") + f"[a-z0-9_]{{8}}({re.escape(ASIDE)}|{re.escape(OLD)})")
    for path in sorted(folder.parent.iterdir()):
        match = ours.fullmatch(path.name)
        if match is None or path.is_symlink() or not path.is_dir():
            continue
        marker = read_marker(path)
        if marker is None:
            with suppress(OSError):
                path.rmdir()
        elif match[1] == ASIDE:
            remove_folder(path)
        elif marker.files is not None:
            _retire(path, folder)


def _retire(old: Path, folder: Path) -> None:
    """Remove a former folder, or let it be the folder again where there is none."""
    with suppress(OSError):
        if not os.path.lexists(folder):
            os.rename(old, folder)
            return
        keep_files(old, folder)
        remove_folder(old)
