"""A document set by Typst in a process of its own: its memory is given back when it is done, and both cores work.

The process (``setter``) is given a folder with every source file and answers with the PDF, or with what Typst refused.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import AbstractContextManager, contextmanager, nullcontext
from contextvars import copy_context
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from slackloop.render.typst.joined_pdf import joined_pdf
from slackloop.render.typst.print_text import literal
from slackloop.render.typst.setter import ANSWER, MADE, SETTINGS, PrintError
from slackloop.source.source_file import write_file

SETTER = "slackloop.render.typst.setter"
"""The module whose ``main`` sets a folder."""
LARGE_GIVEN_BACK = {"MALLOC_MMAP_THRESHOLD_": str(128 * 1024)}
"""Keeps GNU's C library at giving large pieces of memory back when they are freed; by itself it stops, and one process
in three then held 40 MB more."""
NO_GLYPH = ("could not be displayed", "missing codepoints", "array index out of bounds")
"""How Typst refuses an archival document with a text that has no glyph, or a glyph that has no text. The last is its
own fault, at pictures of several characters joined to one and at marks that turn the direction of text."""


Files = Mapping[str, bytes]
Over = Callable[[Any], AbstractContextManager[Any]]
"""What watches over a process of the press while it runs."""


class CannotShow(PrintError):
    """The fonts cannot show something that is written in the document."""


def lay_sources(parts: Iterable[Files], timestamp: datetime, folder: Path) -> Iterator[Path]:
    """Lay the files of a document, or of each of its parts, ``main.typ`` first read, into ``folder`` to be set.

    Gives the folder of each part as soon as its files lie there.
    """
    if timestamp.tzinfo is None:
        raise PrintError("the time stamp of the PDF names no time zone")
    for number, files in enumerate(parts):
        part = folder / f"{number:04}"
        part.mkdir()
        for name, data in files.items():
            write_file(part / name, data)
        write_file(part / SETTINGS, json.dumps({"time": timestamp.isoformat()}))
        yield part


def set_document(parts: Iterable[Path], over: Over = nullcontext) -> bytes:
    """The PDF of what lies in the folders of its parts, set one after the other and joined; they are gone then.

    ``over`` is entered with each process while it runs. Raises ``PrintError``, or ``MemoryError`` where a process got
    no memory.
    """
    made = []
    for part in parts:
        with _process(part) as process, over(process):
            _, said = process.communicate()
        made.append(_answer(part, said))
        shutil.rmtree(part)
    return joined_pdf(made)


class Press:
    """Sets documents while this process does something else, one after the other, so that memory holds one.

    At its end, what is not done is dropped.
    """

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(max_workers=1)
        self._running: subprocess.Popen[bytes] | None = None
        self._is_closed = False

    def __enter__(self) -> Press:
        return self

    def __exit__(self, *_: object) -> None:
        self._is_closed = True
        if self._running is not None:
            self._running.kill()
        self._pool.shutdown(cancel_futures=True)

    def begin(self, work: Callable[[Over], bytes]) -> Future[bytes]:
        """The PDF that ``work`` will give; it is called with what watches over its processes."""
        return self._pool.submit(copy_context().run, work, self._over)  # it speaks the language of who asks

    @contextmanager
    def _over(self, process: subprocess.Popen[bytes]) -> Iterator[None]:
        self._running = process
        try:
            if self._is_closed:
                process.kill()
            yield
        finally:
            self._running = None


@dataclass(frozen=True, slots=True)
class Unset:
    """A document whose source files lie ready in ``sources``, and the name of its PDF; both in the same folder."""

    sources: str
    name: str

    def set(self, fresh: Path, over: Over = nullcontext) -> None:
        """Set it in the folder ``fresh``, where its sources go away; raises as ``set_document``."""
        write_file(fresh / self.name, set_document(sorted((fresh / self.sources).iterdir()), over))
        (fresh / self.sources).rmdir()


def _process(folder: Path) -> subprocess.Popen[bytes]:
    start = f"import sys; sys.path[:] = {sys.path!r}; from {SETTER} import main; main(sys.argv[1])"
    return subprocess.Popen(
        [sys.executable, "-P", "-c", start, str(folder)], env={**os.environ, **LARGE_GIVEN_BACK},
        stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
    )  # fmt: skip


def _answer(folder: Path, said: bytes) -> bytes:
    """The PDF of a folder whose process has ended; raises as ``set_document``."""
    answer = folder / ANSWER
    if not answer.is_file():
        raise MemoryError(said.decode(errors="replace").strip()[-500:] or "the process that prints was ended")
    refused = json.loads(answer.read_text(encoding="utf-8"))["refused"]
    if refused:
        told = f"the document could not be printed: {refused}"
        raise CannotShow(told) if any(sign in refused for sign in NO_GLYPH) else PrintError(told)
    return (folder / MADE).read_bytes()


def look_files(*names: str) -> dict[str, bytes]:
    """The files of the look by name."""
    from slackloop.reference.table_file import data_folder  # who waits for the press has no need of it

    return {name: (data_folder("content") / "print" / name).read_bytes() for name in names}


def date_value(timestamp: datetime) -> str:
    """A date as Typst writes it."""
    return f"datetime(year:{timestamp.year},month:{timestamp.month},day:{timestamp.day})"


def attach(attachments: Mapping[str, bytes], files: dict[str, bytes]) -> list[str]:
    """Lines that keep ``attachments`` inside the PDF as its source; their data is added to ``files``."""
    lines = []
    for number, (name, data) in enumerate(sorted(attachments.items()), 1):
        kind = MIME_TYPES.get(name.rpartition(".")[2].lower(), "application/octet-stream")
        files[f"attached-{number}"] = data
        lines.append(
            f'#pdf.attach({literal(name)},read("attached-{number}",encoding:none),relationship:"source",'
            f"mime-type:{literal(kind)},description:{literal('Attached to the handbook: ' + name)})"
        )
    return lines


MIME_TYPES = {
    "yml": "application/yaml", "yaml": "application/yaml", "json": "application/json", "csv": "text/csv",
    "md": "text/markdown", "txt": "text/plain",
}  # fmt: skip
