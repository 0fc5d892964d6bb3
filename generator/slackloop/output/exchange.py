"""Two folders exchange their names in one step, so that at no moment either name is without a folder.

Linux has ``renameat2`` with RENAME_EXCHANGE (man page renameat2(2)), macOS ``renamex_np`` with RENAME_SWAP (man page
rename(2)). Python offers neither. Other systems, and disks that do not know it, take two renames.
"""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

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
