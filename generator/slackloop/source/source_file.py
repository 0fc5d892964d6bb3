"""A file read as text with every refusal as a finding: size, kind, encoding, characters that YAML cannot hold.

Writing a file so that a failure names it: the system names a file where it is opened, not where the disk is full.
"""

from __future__ import annotations

import re
import stat
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from slackloop.source.finding import Finding, Placed, place_finding

LARGEST_BYTES = 8_000_000
"""Most bytes a job file or a standard may have (8 MB); far more than 20,000 boxes take."""

_LINE_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufeff\ufffe\uffff]")
"""Characters that cannot stand in a text file: controls, and marks of byte order inside the text."""


@dataclass(frozen=True)
class SourceFile:
    """A file by the name that messages use, with its text; lines break where YAML breaks them."""

    name: str
    text: str

    @cached_property
    def lines(self) -> list[str]:
        """The lines without their breaks."""
        return _LINE_BREAK.split(self.text)

    def line(self, number: int) -> str:
        """Line ``number``, counted from 1; empty where there is none."""
        return self.lines[number - 1] if 1 <= number <= len(self.lines) else ""

    def place(self, finding: Finding, line: int, column: int) -> Placed:
        """Put a finding in this file; a place past its end is the end of the last line that says something."""
        if line > len(self.lines) - (self.lines[-1] == ""):
            line = max((number for number, text in enumerate(self.lines, 1) if text.strip()), default=1)
            column = len(self.line(line)) + 1
        return place_finding(finding, self.name, line, column, self.line(line))


def read_source(
    path: Path, name: str, most_bytes: int = LARGEST_BYTES, printable_only: bool = True
) -> tuple[SourceFile | None, tuple[Placed, ...]]:
    """Read a file as UTF-8 text; what cannot be read comes back as findings and no file.

    ``name`` is how messages call the file. A byte order mark is accepted and dropped. A file with a character that
    cannot be printed is refused, unless not ``printable_only``.
    """
    raw, failure = read_regular(path, most_bytes)
    if raw is None:
        return None, (place_finding(failure, name, 1, 1, ""),)
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        finding = Finding("error", "file-not-utf8", "the file is UTF-16, not UTF-8", expected="UTF-8 text",
                          hint="save the file again with the encoding UTF-8")  # fmt: skip
        return None, (place_finding(finding, name, 1, 1, ""),)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8-sig", errors="replace")
        lines = _LINE_BREAK.split(before)
        shown = _LINE_BREAK.split(raw.decode("utf-8-sig", errors="replace"))
        finding = Finding("error", "file-not-utf8",
                          f"byte {error.start} of the file, 0x{raw[error.start]:02X}, is not UTF-8 text",
                          expected="UTF-8 text", hint="save the file again with the encoding UTF-8")  # fmt: skip
        line = len(lines)
        return None, (place_finding(finding, name, line, len(lines[-1]) + 1, shown[line - 1]),)
    source = SourceFile(name, text)
    bad = _unprintable(source) if printable_only else ()
    return (None, bad) if bad else (source, ())


def read_regular(path: Path, most_bytes: int) -> tuple[bytes | None, Finding]:
    """The bytes of a plain file of at most ``most_bytes``, or nothing and why.

    What the path leads to is asked before it is opened: a pipe or a device would never end, and opening one waits.
    """
    none = Finding("error", "file-missing", "there is no such file")
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            what = "a folder" if stat.S_ISDIR(status.st_mode) else "not a plain file"
            return None, Finding("error", "file-unreadable", f"this is {what}", expected="a plain file of text")
        if status.st_size > most_bytes:
            return None, _too_large(status.st_size, most_bytes)
        with path.open("rb") as stream:
            raw = stream.read(most_bytes + 1)
    except FileNotFoundError:
        return None, none
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        return None, Finding("error", "file-unreadable", f"the file cannot be read: {reason.lower()}")
    return (raw, none) if len(raw) <= most_bytes else (None, _too_large(len(raw), most_bytes))


def _too_large(size: int, most_bytes: int) -> Finding:
    return Finding(
        "error",
        "file-too-large",
        f"the file has {size / 1e6:.1f} MB; at most {most_bytes / 1e6:.0f} MB are read",
        expected="a job file: a few hundred boxes take less than 0.1 MB" if most_bytes == LARGEST_BYTES else "",
    )


def _unprintable(source: SourceFile) -> tuple[Placed, ...]:
    match = UNPRINTABLE.search(source.text)
    if match is None:
        return ()
    lines = _LINE_BREAK.split(source.text[: match.start()])
    finding = Finding("error", "file-control-character",
                      f"the character U+{ord(match[0]):04X} cannot stand in a YAML file",
                      expected="text that can be printed", hint="delete the character")  # fmt: skip
    return (source.place(finding, len(lines), len(lines[-1]) + 1),)


def write_new_file(path: Path, text: str) -> None:
    """Write a text file that is not there yet whole, or leave none; raises ``OSError`` with its name."""
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise
    except OSError as problem:
        if problem.filename is None:  # it was made, and could not be written to its end
            problem.filename = str(path)
            path.unlink(missing_ok=True)
        raise


def write_file(path: Path, data: bytes | str) -> None:
    """Write bytes, or text as UTF-8; raises ``OSError`` with the file's name, whatever failed."""
    try:
        path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
    except OSError as problem:
        if problem.filename is None:
            problem.filename = str(path)
        raise
