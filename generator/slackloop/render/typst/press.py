"""A document set by Typst in a process of its own: its memory is given back when it is done, and both cores work.

The process is given a folder with every source file and answers with the PDF, or with what Typst refused.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from slackloop.source.written_file import write_file

ANSWER = "answer.json"
SETTER = "slackloop.render.typst.compile"
"""The module whose ``main`` sets a folder, in a process of its own."""
SETTINGS = "settings.json"
NO_GLYPH = ("could not be displayed", "missing codepoints")
"""How Typst refuses an archival document with a text that has no glyph, or a glyph that has no text."""


class PrintError(Exception):
    """A document could not be printed; the message says what Typst refused."""


class CannotShow(PrintError):
    """The fonts cannot show something that is written in the document."""


@dataclass(frozen=True)
class Press:
    """A document that is being set."""

    folder: Path
    process: subprocess.Popen[bytes]

    def data(self) -> bytes:
        """The PDF, once it is set. Raises ``PrintError``, or ``MemoryError`` where the process got no memory."""
        _, said = self.process.communicate()
        answer = self.folder / ANSWER
        if not answer.is_file():
            raise MemoryError(said.decode(errors="replace").strip()[-500:] or "the process that prints was ended")
        refused = json.loads(answer.read_text(encoding="utf-8"))["refused"]
        if refused:
            told = f"the document could not be printed: {refused}"
            raise CannotShow(told) if any(sign in refused for sign in NO_GLYPH) else PrintError(told)
        return (self.folder / "made.pdf").read_bytes()


def start_press(files: Mapping[str, bytes], timestamp: datetime, folder: Path) -> Press:
    """Begin to set ``files``, ``main.typ`` first read, in ``folder``, which must be there and empty."""
    if timestamp.tzinfo is None:
        raise PrintError("the time stamp of the PDF names no time zone")
    for name, data in files.items():
        write_file(folder / name, data)
    write_file(folder / SETTINGS, json.dumps({"time": timestamp.isoformat()}))
    start = f"import sys; sys.path[:] = {sys.path!r}; from {SETTER} import main; main(sys.argv[1])"
    process = subprocess.Popen(
        [sys.executable, "-P", "-c", start, str(folder)],
        stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
    )  # fmt: skip
    return Press(folder, process)
