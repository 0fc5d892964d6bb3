"""Safe output: a folder is written aside and swapped in whole.

The folder that the tool makes carries a marker file. A folder without the marker was made by
somebody else and is never touched. While a build writes, the last good folder stays in place; a
build that is killed leaves it there, and the next build clears what the killed one left behind.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from slackloop.output.output_lock import LockHeld, held

MARKER = ".slackloop-output"
FORMAT = 1
ASIDE = ".new"
OLD = ".old"
LOCK = ".lock"


class OutputRefused(Exception):
    """The output folder may not be written; the message says why and what to do."""


def is_ours(folder: Path) -> bool:
    """Whether the folder carries a marker of this tool that can be read."""
    try:
        mark = json.loads((folder / MARKER).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return isinstance(mark, dict) and mark.get("tool") == "slackloop" and isinstance(mark.get("format"), int)


def check_output(folder: Path) -> None:
    """Raise ``OutputRefused`` unless ``folder`` is absent, empty or made by this tool.

    A link is refused too: swapping it would leave what it points to unchanged.
    """
    if folder.is_symlink():
        raise OutputRefused(f"{folder} is a link. Name the folder itself.")
    if not folder.exists():
        return
    if not folder.is_dir():
        raise OutputRefused(f"{folder} is a file. Name a folder for the handbook.")
    if any(folder.iterdir()) and not is_ours(folder):
        raise OutputRefused(
            f"{folder} holds files that this tool did not make, so nothing in it was changed. "
            "Name a new or empty folder, or move those files away."
        )
    if is_ours(folder):
        made = json.loads((folder / MARKER).read_text(encoding="utf-8"))["format"]
        if made > FORMAT:
            raise OutputRefused(f"{folder} is from a newer version: output format {made}, this one writes {FORMAT}.")


@contextmanager
def whole_folder(folder: Path) -> Iterator[Path]:
    """Give a fresh folder to write into, and put it in place of ``folder`` when the block ends well.

    The fresh folder is a sibling, so that the swap is a rename. When the block raises, it is removed
    and ``folder`` stays as it was. Raises ``OutputRefused`` before anything is written.
    """
    folder = Path(os.path.abspath(folder))
    check_output(folder)
    with _locked(folder):
        check_output(folder)
        _put_back(folder)
        _clear_leftovers(folder)
        aside = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", suffix=ASIDE, dir=folder.parent))
        try:
            os.chmod(aside, 0o777 & ~_umask())
            mark = json.dumps({"tool": "slackloop", "format": FORMAT}, sort_keys=True)
            (aside / MARKER).write_text(mark + "\n", encoding="utf-8")
            yield aside
            _swap(aside, folder)
        finally:
            shutil.rmtree(aside, ignore_errors=True)


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    """Hold the folder's lock; failures to take it or to write beside the folder become refusals."""
    with ExitStack() as stack:
        try:
            folder.parent.mkdir(parents=True, exist_ok=True)
            stack.enter_context(held(folder.parent / f".{folder.name}{LOCK}"))
        except LockHeld:
            raise OutputRefused(f"Another build is writing {folder}. Wait until it ends.") from None
        except OSError as error:
            raise OutputRefused(f"{folder} cannot be written: {error.strerror or error}.") from error
        yield


def _umask() -> int:
    """The process's file mode mask; reading it means setting it for a moment."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


def _old_name(folder: Path) -> Path:
    return folder.parent / f".{folder.name}{OLD}"


def _swap(aside: Path, folder: Path) -> None:
    """Rename ``aside`` to ``folder``; the former folder goes aside first and is removed last."""
    old = _old_name(folder)
    try:
        if folder.exists():
            os.rename(folder, old)
        os.rename(aside, folder)
    except OSError as error:
        _put_back(folder)
        raise OutputRefused(f"{folder} cannot be replaced: {error.strerror or error}. It is as it was.") from error
    shutil.rmtree(old, ignore_errors=True)


def _put_back(folder: Path) -> None:
    """A build killed between the two renames of a swap left the good folder aside: put it back."""
    old = _old_name(folder)
    if is_ours(old) and not folder.exists():
        os.rename(old, folder)


def _clear_leftovers(folder: Path) -> None:
    """Remove what killed builds to this folder left; the lock says that none of them still runs."""
    aside = re.compile(re.escape(f".{folder.name}-") + "[a-z0-9_]{8}" + re.escape(ASIDE))
    left = [path for path in folder.parent.iterdir() if aside.fullmatch(path.name)]
    for path in [*left, _old_name(folder)]:
        if path.is_symlink() or not path.is_dir():
            continue
        if is_ours(path):
            shutil.rmtree(path, ignore_errors=True)
        elif path in left:
            with suppress(OSError):
                path.rmdir()
