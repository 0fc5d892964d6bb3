"""The content folders read into typed sections and words: a firm's own folder first, then ours.

Content that cannot be built from: every error in it at once, so that all are mended in one go.

What lies in a firm's content folder and would be passed over, so that the crew would get the standing text.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from slackloop.language.messages import TRANSLATED
from slackloop.sections.catalogue import (
    Cautions,
    Deferrals,
    Faults,
    FigureSources,
    Hazards,
    ProtectiveList,
    Tools,
    Words,
)
from slackloop.sections.section import PARTS, Section
from slackloop.sections.section_reader import read_section, read_typed
from slackloop.source.finding import Placed, by_place, found_at, render, with_line
from slackloop.source.source_file import UNPRINTABLE, read_regular
from slackloop.source.suggestions import nearest


class ContentError(Exception):
    """Content with errors; its text shows each with its place and its line."""

    def __init__(self, findings: tuple[Placed, ...]) -> None:
        self.findings = findings
        super().__init__(render(findings))


def refuse_faults(findings: Iterable[Placed]) -> None:
    """Raise ``ContentError`` with the errors among the findings, if there are any."""
    errors = tuple(finding for finding in findings if finding.level == "error")
    if errors:
        raise ContentError(errors)


WORDS = "words"
LIKE_A_STANDING_NAME = 0.8
"""How alike two names of sections are, from 0 to 1, for one to be taken for a slip of the other."""


def stray_findings(ours: Path, firm: Path, word_files: tuple[str, ...]) -> Iterator[Placed]:
    """An error for each name that looks like a slip of one that is read, a warning for anything else not read.

    Hidden files, which editors and systems leave, are nobody's text.
    """
    if not firm.is_dir():
        return
    folders = (*PARTS, WORDS)
    standing: dict[str, list[str]] = {part: _standing(ours / part) for part in PARTS}
    for path in _listed(firm):
        if path.name in folders and path.is_dir():
            known = [f"{name}.yml" for name in word_files]
            yield from _in_words(path, known) if path.name == WORDS else _in_part(path, standing)
        elif not (path.name in TRANSLATED and path.is_dir()):
            yield _not_read(path.name, f"folders that are read: {', '.join(folders)}", nearest(path.name, folders))


def _in_words(folder: Path, known: list[str]) -> Iterator[Placed]:
    read = f"files that are read: {', '.join(known)}"
    for path in _listed(folder):
        if path.name not in known:
            yield _not_read(f"{WORDS}/{path.name}", read, nearest(path.name, known))


def _in_part(folder: Path, standing: Mapping[str, list[str]]) -> Iterator[Placed]:
    """Names in the folder of one part; ``standing`` are the names of our sections by their part."""
    home = {name: part for part, names in standing.items() for name in names}
    for path in _listed(folder):
        name = f"{folder.name}/{path.name}"
        here = standing[folder.name]
        if path.suffix != ".md":
            likely = f"{path.stem}.md" if path.suffix.lower() in (".md", ".markdown", ".txt", ".mdown", "") else ""
            yield _not_read(name, "a section is a file whose name ends in .md", likely)
        elif path.name not in here and path.name in home:
            message = f"replaces no section here: that section's place is {home[path.name]}/{path.name}"
            yield found_at(name, 1, "content-not-read", message)
        elif path.name not in here:
            for near in get_close_matches(path.name, here, n=1, cutoff=LIKE_A_STANDING_NAME):
                message = f"adds a section and replaces none; to replace the standing section, name it {near}"
                yield found_at(name, 1, "content-name-near", message, "warning")


def _not_read(name: str, read: str, likely: str) -> Placed:
    if likely:
        message = f"is not read, so the standing text would be used; did you mean {likely}?"
        return found_at(name, 1, "content-not-read", message)
    return found_at(name, 1, "content-not-read", f"is not read; {read}", "warning")


def _listed(folder: Path) -> list[Path]:
    return sorted(path for path in folder.iterdir() if not path.name.startswith("."))


def _standing(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("*.md"))


WORD_FILES: dict[str, type[BaseModel]] = {
    "tools": Tools,
    "protective": ProtectiveList,
    "hazards": Hazards,
    "cautions": Cautions,
    "deferrals": Deferrals,
    "faults": Faults,
    "figures": FigureSources,
}

LARGEST_FILE_BYTES = 1_000_000


@dataclass(frozen=True, slots=True)
class Content:
    """Every section in printed order, and the words."""

    sections: tuple[Section, ...]
    words: Words
    findings: tuple[Placed, ...] = ()
    """What the reader found; ``load_content`` refuses errors, so only warnings are left."""
    lines: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """The lines of each file by its name, for findings in it."""

    def part(self, name: str) -> tuple[Section, ...]:
        """The sections of one part, in order."""
        return tuple(section for section in self.sections if section.front.part == name)

    def told(self, findings: Iterable[Placed]) -> tuple[Placed, ...]:
        """The findings with their lines, each once, sorted by place."""
        placed = {with_line(each, self.lines.get(each.file, ())) for each in findings}
        return tuple(sorted(placed, key=by_place))


def load_content(ours: Path, firm: Path | None = None) -> Content:
    """Content from the standing folder ``ours`` and, searched first, the folder ``firm``.

    Raises ``ContentError`` with every finding when a file cannot be read or does not fit.
    """
    content = read_content(ours, firm)
    refuse_faults(content.findings)
    return content


def read_content(ours: Path, firm: Path | None = None) -> Content:
    """As ``load_content``, but mistakes are kept in ``findings`` and nothing is raised."""
    findings: list[Placed] = []
    lines: dict[str, Sequence[str]] = {}
    sections: list[Section] = []
    for name, path, is_ours, overrides in _section_files(ours, firm):
        text = read_file(path, name, findings, lines)
        section, found = read_section(text, name) if text is not None else (None, ())
        findings += found
        if section is not None:
            _check_place(section, name, findings)
            sections.append(replace(section, ours=is_ours, overrides=overrides))
    words = _read_words(ours, firm, findings, lines)
    if firm is not None:
        findings += stray_findings(ours, firm, tuple(WORD_FILES))
    ordered = sorted(sections, key=lambda each: (PARTS.index(each.front.part), each.front.order, each.front.id))
    content = Content(tuple(ordered), words, lines=lines)
    return replace(content, findings=content.told(findings))


def _section_files(ours: Path, firm: Path | None) -> Iterator[tuple[str, Path, bool, bool]]:
    """Name, path, whether it is ours, and whether it overrides one of ours; sorted by name."""
    for part in PARTS:
        standing = _names(ours / part)
        own = _names(firm / part) if firm is not None else set()
        for name in sorted(standing | own):
            folder = firm if firm is not None and name in own else ours
            yield f"{part}/{name}", folder / part / name, name not in own, name in standing and name in own


def _names(folder: Path) -> set[str]:
    """Names of the Markdown files in a folder, those that cannot be read too; nothing when it is not there."""
    return {path.name for path in folder.glob("*.md")} if folder.is_dir() else set()


def read_file(path: Path, name: str, findings: list[Placed], lines: dict[str, Sequence[str]]) -> str | None:
    """The text of a file, kept out when it is no plain file, too large or not UTF-8; its lines go into ``lines``."""
    raw, failure = read_regular(path, LARGEST_FILE_BYTES)
    if raw is None:
        code = "file-unreadable" if failure.code == "file-missing" else failure.code
        findings.append(found_at(name, 1, code, failure.message))
        return None
    raw = raw.replace(b"\r\n", b"\n")
    lines[name] = raw.decode("utf-8-sig", errors="replace").split("\n")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8-sig", errors="replace").split("\n")
        message = f"byte {error.start} is no UTF-8"
        findings.append(found_at(name, len(before), "file-not-utf8", message, column=len(before[-1]) + 1))
        return None
    if (match := UNPRINTABLE.search(text)) is None:
        return text
    before = text[: match.start()].split("\n")
    message = f"the character U+{ord(match[0]):04X} cannot be printed: delete it"
    findings.append(found_at(name, len(before), "file-control-character", message, column=len(before[-1]) + 1))
    return None


def _check_place(section: Section, name: str, findings: list[Placed]) -> None:
    """The id must be the file's name and the part its folder's: addresses and overriding rest on them."""
    folder, _, file = name.removesuffix(".md").partition("/")
    if section.front.part != folder:
        message = f"part '{section.front.part}' is not the file's folder '{folder}'"
        findings.append(found_at(name, section.line_of("part"), "part-not-folder", message))
    if section.front.id != file:
        message = f"id '{section.front.id}' is not the file's name '{file}'"
        findings.append(found_at(name, section.line_of("id"), "id-not-file-name", message))


def _read_words(
    ours: Path, firm: Path | None, findings: list[Placed], lines: dict[str, Sequence[str]]
) -> Words:
    """Each word file of ours with the firm's entries laid over it."""
    found: dict[str, dict[str, Any]] = {}
    places: dict[str, dict[str, int]] = {}
    for key, model in WORD_FILES.items():
        found[key], places[key] = {}, {}
        for folder in (ours, firm):
            path = folder / "words" / f"{key}.yml" if folder is not None else None
            if path is None or not os.path.lexists(path):
                continue
            name = f"words/{key}.yml"
            text = read_file(path, name, findings, lines)
            read, line_of, wrong = read_typed(text or "", name, 0, model)
            findings += wrong
            if read is not None:
                entries = read.root  # type: ignore[attr-defined]
                found[key] |= entries
                places[key] |= {entry: line_of.get(entry, 1) for entry in entries}
    return Words(places=places, **found)
