"""Source files for Typst set as one PDF/A-3a that is also PDF/UA-1."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import typst

from slackloop.reference.folder import data_folder
from slackloop.render.typst.fonts import print_fonts
from slackloop.render.typst.text import literal


class PrintError(Exception):
    """A document could not be printed; the message says what Typst refused."""


def compile_pdf(files: Mapping[str, bytes], timestamp: datetime) -> bytes:
    """Typst source files by name, ``main.typ`` first read, as the bytes of a PDF.

    ``timestamp`` must name its time zone: it is the only time in the file, so that the same files give the same bytes.
    """
    if timestamp.tzinfo is None:
        raise PrintError("the time stamp of the PDF names no time zone")
    try:
        # The package's own types leave out that the input may be several files by name.
        compiler = typst.Compiler(input=dict(files), font_paths=print_fonts().loaded)  # type: ignore[type-var]
        data = compiler.compile(format="pdf", pdf_standards=["a-3a", "ua-1"], timestamp=timestamp)
    except typst.TypstError as refused:
        raise PrintError(f"the document could not be printed: {refused}") from refused
    if not isinstance(data, bytes):
        raise PrintError("the document could not be printed: no document came back")
    return data


def look_files(*names: str) -> dict[str, bytes]:
    """The files of the look by name."""
    return {name: (data_folder("content") / "print" / name).read_bytes() for name in names}


def date_value(timestamp: datetime) -> str:
    """A date as Typst writes it."""
    return f"datetime(year:{timestamp.year},month:{timestamp.month},day:{timestamp.day})"


def attach(attachments: Mapping[str, bytes], files: dict[str, bytes]) -> list[str]:
    """Lines that keep ``attachments`` inside the PDF as its source; their data is added to ``files``."""
    lines = []
    for number, (name, data) in enumerate(sorted(attachments.items()), 1):
        kind = MIME_TYPES.get(name.rpartition(".")[2].lower(), "application/octet-stream")
        lines.append(
            f'#pdf.attach({literal(name)},{_bytes(data, f"attached-{number}", files)},relationship:"source",'
            f"mime-type:{literal(kind)},description:{literal('Attached to the handbook: ' + name)})"
        )
    return lines


def _bytes(data: bytes, name: str, files: dict[str, bytes]) -> str:
    """An expression for ``data``: a file for text, numbers for the rest, since Typst's files must be UTF-8."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return f"bytes(({''.join(f'{byte},' for byte in data)}))"
    files[name] = data
    return f'read("{name}",encoding:none)'


MIME_TYPES = {
    "yml": "application/yaml", "yaml": "application/yaml", "json": "application/json", "csv": "text/csv",
    "md": "text/markdown", "txt": "text/plain",
}  # fmt: skip
