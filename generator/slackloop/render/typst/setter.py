"""What sets one folder of sources with Typst, in a process of its own: it loads nothing that it does not need."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

ANSWER = "answer.json"
MADE = "made.pdf"
SETTINGS = "settings.json"


class PrintError(Exception):
    """A document could not be printed; the message says what Typst refused."""


def compile_folder(folder: Path, timestamp: datetime) -> bytes:
    """What lies in ``folder``, ``main.typ`` first read, as the bytes of one PDF/A-3a that is also PDF/UA-1.

    ``timestamp`` must name its time zone: it is the only time in the file, so that the same files give the same bytes.
    Raises ``PrintError`` for what Typst refuses.
    """
    import typst  # who waits for the press imports this module too, and stays small

    from slackloop.render.typst.print_fonts import print_fonts

    try:
        compiler = typst.Compiler(input=folder / "main.typ", root=folder, font_paths=print_fonts().loaded)
        data = compiler.compile(format="pdf", pdf_standards=["a-3a", "ua-1"], timestamp=timestamp)
    except typst.TypstError as refused:
        raise PrintError(str(refused)) from refused
    if not isinstance(data, bytes):
        raise PrintError("no document came back")
    return data


def main(place: str) -> None:
    """Set what lies in the folder ``place``, and write the PDF or what Typst refused beside it."""
    folder = Path(place)
    settings = json.loads((folder / SETTINGS).read_text(encoding="utf-8"))
    refused = ""
    try:
        (folder / MADE).write_bytes(compile_folder(folder, datetime.fromisoformat(settings["time"])))
    except PrintError as problem:
        refused = str(problem)
    (folder / ANSWER).write_text(json.dumps({"refused": refused}), encoding="utf-8")
