"""What a build leaves to be done when everything else is written: the document that takes most memory."""

from __future__ import annotations

import shutil
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path

from slackloop.render.typst.press import Over, set_document
from slackloop.source.written_file import write_file


@dataclass(frozen=True, slots=True)
class Unset:
    """A document whose source files lie ready in ``sources``, and the name of its PDF; both in the same folder."""

    sources: str
    name: str

    def set(self, fresh: Path, over: Over = nullcontext) -> None:
        """Set it in the folder ``fresh``, where its sources go away; raises as ``press.set_document``."""
        write_file(fresh / self.name, set_document(fresh / self.sources, over))
        (fresh / self.sources).rmdir()


@dataclass(frozen=True, slots=True)
class Written:
    """How far a build has come; ``warnings`` say what paper cannot show as it was written."""

    warnings: tuple[str, ...]
    unset: tuple[Unset, ...]

    def set(self, fresh: Path) -> None:
        """Set what is left, one after the other, so that memory holds one."""
        for each in self.unset:
            each.set(fresh)


def empty_folder(folder: Path) -> None:
    """Remove what a build wrote into its own fresh folder, before it begins once more; its marker stays."""
    for entry in folder.iterdir():
        if entry.is_dir():
            shutil.rmtree(entry)
        elif not entry.name.startswith("."):
            entry.unlink()
