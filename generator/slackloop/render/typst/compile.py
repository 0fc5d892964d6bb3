"""Source files for Typst set as one PDF/A-3a that is also PDF/UA-1."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

import typst

from slackloop.reference.folder import data_folder
from slackloop.render.typst.fonts import print_fonts
from slackloop.render.typst.press import ANSWER, SETTINGS, PrintError
from slackloop.render.typst.text import literal


def compile_folder(folder: Path, timestamp: datetime) -> bytes:
    """What lies in ``folder``, ``main.typ`` first read, as the bytes of a PDF.

    ``timestamp`` must name its time zone: it is the only time in the file, so that the same files give the same bytes.
    Raises ``PrintError`` for what Typst refuses.
    """
    try:
        compiler = typst.Compiler(input=folder / "main.typ", root=folder, font_paths=print_fonts().loaded)
        data = compiler.compile(format="pdf", pdf_standards=["a-3a", "ua-1"], timestamp=timestamp)
    except typst.TypstError as refused:
        raise PrintError(str(refused)) from refused
    if not isinstance(data, bytes):
        raise PrintError("no document came back")
    return data


def main(place: str) -> None:
    """Set what lies in the folder ``place``: what a press starts in a process of its own."""
    folder = Path(place)
    settings = json.loads((folder / SETTINGS).read_text(encoding="utf-8"))
    refused = ""
    try:
        (folder / "made.pdf").write_bytes(compile_folder(folder, datetime.fromisoformat(settings["time"])))
    except PrintError as problem:
        refused = str(problem)
    (folder / ANSWER).write_text(json.dumps({"refused": refused}), encoding="utf-8")


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
